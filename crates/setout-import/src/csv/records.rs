//! The records of a file, by the columns that its header names.

use std::collections::HashMap;

use crate::entry::Draft;
use crate::report::{LeftOut, excerpt};

/// One record.
#[derive(Debug, Default)]
pub(super) struct Record {
    pub(super) name: String,
    pub(super) kind: String,
    pub(super) value: String,
    pub(super) unit: String,
    pub(super) min: String,
    pub(super) max: String,
    pub(super) tolerance: String,
    pub(super) note: String,
    pub(super) line: usize,
    pub(super) text: String,
}

const COLUMNS: [&str; 8] = ["name", "kind", "value", "unit", "min", "max", "tolerance", "note"];

impl Record {
    /// The first part of a dotted name.
    pub(super) fn table(&self) -> Option<&str> {
        self.name.split_once('.').map(|(table, _)| table)
    }

    pub(super) fn left_out(&self, why: String) -> LeftOut {
        LeftOut { line: self.line, text: self.text.clone(), why }
    }
}

/// All records below the header, but for the fingerprint of our own files.
pub(super) fn records(text: &str, draft: &mut Draft) -> Vec<Record> {
    let header = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    // Only the header says what separates; values may hold commas of their own.
    let separator = if header.contains(';') && !header.contains(',') { b';' } else { b',' };
    let mut reader = ::csv::ReaderBuilder::new();
    let reader = reader.has_headers(false).flexible(true).delimiter(separator);
    let mut columns = None;
    let mut records = Vec::new();
    for record in reader.from_reader(text.as_bytes()).records() {
        let Ok(record) = record else { continue };
        let line = record.position().map_or(0, |at| usize::try_from(at.line()).unwrap_or(0));
        let shown = excerpt(&record.iter().collect::<Vec<_>>().join(if separator == b';' {
            ";"
        } else {
            ","
        }));
        let Some(columns) = &columns else {
            match header_of(&record, draft) {
                Some(found) => columns = Some(found),
                None => {
                    let why = "the first line has to name the columns: name,value,unit".to_owned();
                    draft.left_out.push(LeftOut { line, text: shown, why });
                    return records;
                }
            }
            continue;
        };
        let read = read(&record, columns, line, &shown);
        let fingerprint = read.name == "fingerprint" && read.kind.is_empty() && line <= 2;
        if fingerprint {
            continue;
        }
        match wrong(&record, &read, columns.len()) {
            Some(why) => draft.left_out.push(read.left_out(why)),
            None => records.push(read),
        }
    }
    records
}

/// Which column stands where; `None` without a name and a value.
fn header_of(
    record: &::csv::StringRecord,
    draft: &mut Draft,
) -> Option<HashMap<&'static str, usize>> {
    let mut columns = HashMap::new();
    let mut unread = Vec::new();
    for (index, cell) in record.iter().enumerate() {
        let cell = cell.trim().to_lowercase();
        match COLUMNS.iter().find(|column| **column == cell) {
            Some(column) if !columns.contains_key(column) => {
                columns.insert(*column, index);
            }
            _ => unread.push(excerpt(&cell)),
        }
    }
    if !columns.contains_key("name") || !columns.contains_key("value") {
        return None;
    }
    if !unread.is_empty() {
        draft.assumed.push(format!("columns that are not read: {}", unread.join(", ")));
    }
    Some(columns)
}

fn read(
    record: &::csv::StringRecord,
    columns: &HashMap<&'static str, usize>,
    line: usize,
    text: &str,
) -> Record {
    let cell = |name: &str| {
        columns.get(name).and_then(|&index| record.get(index)).unwrap_or_default().trim().to_owned()
    };
    Record {
        name: cell("name"),
        kind: cell("kind"),
        value: columns
            .get("value")
            .and_then(|&index| record.get(index))
            .unwrap_or_default()
            .to_owned(),
        unit: cell("unit"),
        min: cell("min"),
        max: cell("max"),
        tolerance: cell("tolerance"),
        note: cell("note"),
        line,
        text: text.to_owned(),
    }
}

/// Why a record cannot be read: above all a decimal comma that takes it apart.
fn wrong(record: &::csv::StringRecord, read: &Record, columns: usize) -> Option<String> {
    if record.len() > columns.max(2)
        && record.iter().skip(columns).any(|cell| !cell.trim().is_empty())
    {
        return Some(format!(
            "it has {} cells under {columns} columns; a comma within a cell takes quotes, and a decimal one is a point",
            record.len()
        ));
    }
    read.name.is_empty().then(|| "it has no name".to_owned())
}
