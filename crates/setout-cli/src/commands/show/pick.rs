//! From names that were typed to the things they stand for.

use setout::{Evaluation, Slug, nearest};

use super::Shown;
use super::group::Group;
use crate::trouble::Trouble;

/// The names of a design's tables, in order.
pub(super) fn tables(evaluation: &Evaluation) -> impl Iterator<Item = &str> {
    let files = evaluation.files().into_iter();
    let stems = files.filter_map(|path| path.rsplit('/').next()?.strip_suffix(".yaml"));
    stems.filter(|stem| *stem != "design")
}

/// What was asked for by name, and what of it there is not.
pub(super) fn picked<'a>(
    evaluation: &'a Evaluation,
    all: &Group,
    table: Option<&str>,
    names: &[String],
) -> (Shown<'a>, Vec<Trouble>) {
    let (listed, in_full) = (Group::default(), Group::default());
    let mut shown = Shown { evaluation, tables: Vec::new(), listed, in_full, whole: false };
    let mut missing = Vec::new();
    if let Some(table) = table.filter(|table| !list_table(&mut shown, all, table)) {
        let near = nearest(table, tables(evaluation));
        missing.push(no_such(format!("there is no table `{table}`"), near));
    }
    for name in names {
        let found = all.named(name);
        if !found.is_empty() {
            shown.in_full.add(found);
        } else if !list_table(&mut shown, all, name) {
            match ends_so(all, name).as_slice() {
                [full] => shown.in_full.add(all.named(full)),
                [] => missing.push(nothing_called(evaluation, all, name)),
                several => missing.push(ambiguous(name, several)),
            }
        }
    }
    (shown, missing)
}

/// The full names that a bare one may stand for.
fn ends_so(all: &Group, name: &str) -> Vec<String> {
    let ends_so = |full: &&str| full.strip_suffix(name).is_some_and(|table| table.ends_with('.'));
    all.names().filter(ends_so).map(str::to_owned).collect()
}

/// Lists a table, if there is one of this name.
fn list_table(shown: &mut Shown<'_>, all: &Group, table: &str) -> bool {
    let is_there = tables(shown.evaluation).any(|name| name == table);
    if is_there && !shown.tables.iter().any(|name| name == table) {
        shown.tables.push(table.to_owned());
        shown.listed.add(all.table(table));
    }
    is_there
}

fn nothing_called(evaluation: &Evaluation, all: &Group, name: &str) -> Trouble {
    let near = nearest(name, all.names().chain(tables(evaluation)));
    no_such(format!("nothing in this design is called `{name}`"), near)
}

fn no_such(message: String, near: Option<String>) -> Trouble {
    let help = match near {
        None => "setout show without a name lists everything".to_owned(),
        Some(near) => format!("did you mean `{near}`?"),
    };
    Trouble::not_found(message, help)
}

/// So many names are offered at most.
const OFFERED: usize = 5;

fn ambiguous(name: &str, full: &[String]) -> Trouble {
    let message = format!("`{name}` could be any of {} things", full.len());
    let offered: Vec<String> = full.iter().take(OFFERED).map(|name| format!("`{name}`")).collect();
    let help = format!("write {}", offered.join(" or "));
    Trouble::of_call(Slug::AmbiguousName.as_str(), message, help)
}
