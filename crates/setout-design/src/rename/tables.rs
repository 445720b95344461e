//! Which table a name means, and how a rename is refused.

use setout_quantity::nearest;

use crate::model::Symbols;
use crate::subject::Subject;
use crate::{Design, EditFault, Fault, Place, Slug};

/// The table that a name means, of which nothing else can be meant: its own name, that of its
/// file, or the path of that.
pub(super) fn table_of_name(design: &Design, name: &str) -> Result<Option<u32>, EditFault> {
    let path = |table: u32| {
        let file = design.material.tables[table as usize].file;
        design.material.files[file as usize].path.to_string()
    };
    let tables = &design.model.symbols.tables;
    let Some(table) = tables.get(name) else {
        let file = |table: &u32| {
            let own = format!("{}.yaml", design.model.symbols.table_names[*table as usize]);
            // What is in a table under this name goes before.
            path(*table) == name || own == name && Subject::find(design, name).is_err()
        };
        return Ok((0..design.material.tables.len() as u32).find(file));
    };
    let bearers: Vec<String> = match Subject::find(design, name) {
        Ok(subject) => vec![subject.full_name()],
        Err(EditFault::Ambiguous { candidates, .. }) => candidates,
        Err(_) => return Ok(Some(*table)),
    };
    let candidates = bearers.into_iter().chain([path(*table)]).collect();
    Err(EditFault::Ambiguous { name: name.to_owned(), candidates })
}

pub(super) fn no_table(symbols: &Symbols, table: &str, name: &str) -> EditFault {
    let mut tables: Vec<&str> = symbols.table_names.iter().map(String::as_str).collect();
    tables.sort_unstable();
    let help = match nearest(table, tables.iter().copied()) {
        Some(near) => format!("did you mean `{near}.{name}`?"),
        None => format!("the tables are {}; to have another, make its file first", list(&tables)),
    };
    let message = format!("there is no table `{table}`");
    EditFault::NotFound { name: format!("{table}.{name}"), message, help }
}

/// The first few of some names.
fn list(names: &[&str]) -> String {
    const MOST: usize = 12;
    let shown = names[..names.len().min(MOST)].join(", ");
    if names.len() > MOST { format!("{shown} and {} more", names.len() - MOST) } else { shown }
}

pub(super) fn start_of(path: &str) -> Place {
    Place { file: path.into(), line: 1, column: 1 }
}

pub(super) fn refuse<T>(
    place: Place,
    slug: Slug,
    message: impl Into<String>,
    help: impl Into<String>,
) -> Result<T, EditFault> {
    let (message, help) = (message.into(), help.into());
    Err(EditFault::Faults(vec![Fault { place, slug, message, help }]))
}
