//! Cells back into schedules, where all of one are there.

use std::collections::HashMap;

use super::records::Record;
use super::{are_names, entry, held};
use crate::entry::{Draft, Held, Plain, Schedule};

/// A cell: its row, its column, and the record.
type Cell<'a> = (&'a str, &'a str, &'a Record);

/// The schedules of all cells; those of an incomplete one are left out.
pub(super) fn schedules_of(cells: &[(String, &Record)], draft: &mut Draft) {
    let mut order: Vec<&str> = Vec::new();
    let mut groups: HashMap<&str, Vec<Cell<'_>>> = HashMap::new();
    for (name, record) in cells {
        let parts: Vec<&str> = name.split('.').collect();
        match parts.as_slice() {
            [schedule, row, column] if are_names(&parts) => {
                let group = groups.entry(schedule).or_insert_with(|| {
                    order.push(schedule);
                    Vec::new()
                });
                group.push((row, column, record));
            }
            _ => draft
                .left_out
                .push(record.left_out("it is the name of no dimension and no cell".into())),
        }
    }
    for name in order {
        let cells = &groups[name];
        match schedule(name, cells) {
            Ok(schedule) => draft.schedules.push(schedule),
            Err(why) => {
                let why = format!("its schedule `{name}` cannot be put together: {why}");
                draft
                    .left_out
                    .extend(cells.iter().map(|(.., record)| record.left_out(why.clone())));
            }
        }
    }
}

fn schedule(name: &str, cells: &[Cell<'_>]) -> Result<Schedule, String> {
    let rows = in_order(cells.iter().map(|(row, ..)| *row));
    let columns = in_order(cells.iter().map(|(_, column, _)| *column));
    if rows.len() * columns.len() != cells.len() {
        return Err("not all of its cells are there, each once".into());
    }
    let by_place: HashMap<(&str, &str), &Record> =
        cells.iter().map(|(row, column, record)| ((*row, *column), *record)).collect();
    let at = |row: &str, column: &str| {
        by_place.get(&(row, column)).copied().ok_or("not all of its cells are there, each once")
    };
    let mut units = Vec::new();
    for column in &columns {
        let cells: Result<Vec<&Record>, _> = rows.iter().map(|row| at(row, column)).collect();
        units.push(unit_of(column, &cells?)?);
    }
    let mut found =
        Schedule { name: name.into(), columns: Vec::new(), rows: Vec::new(), cells: Vec::new() };
    for row in &rows {
        let mut written = Vec::new();
        for (column, unit) in columns.iter().zip(&units) {
            let record = at(row, column)?;
            let (held, value) = held(record)?;
            let held = if unit == "text" { Held::Text(text_of(&held)) } else { held };
            written.push(held.clone());
            found.cells.push(entry(&format!("{name}.{row}.{column}"), held, value, record));
        }
        found.rows.push(((*row).to_owned(), written));
    }
    found.columns = columns.iter().map(|column| (*column).to_owned()).zip(units).collect();
    Ok(found)
}

fn in_order<'a>(names: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut seen = std::collections::HashSet::new();
    names.filter(|name| seen.insert(*name)).collect()
}

/// The unit of a column: `text` where not all cells are numbers.
fn unit_of(column: &str, cells: &[&Record]) -> Result<String, String> {
    let unit = cells.first().map_or("", |record| record.unit.as_str());
    if cells.iter().any(|record| record.unit != unit) {
        return Err(format!("the cells of `{column}` have different units"));
    }
    for record in cells {
        if !matches!(held(record)?.1, Plain::Number(_)) {
            return Ok("text".to_owned());
        }
    }
    Ok(unit.to_owned())
}

fn text_of(held: &Held) -> String {
    match held {
        Held::Formula(text) | Held::Text(text) => text.clone(),
    }
}
