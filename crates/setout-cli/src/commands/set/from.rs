//! Many values from a file of lines `name,value`.

use std::collections::{BTreeMap, HashMap};

use csv::{ReaderBuilder, StringRecord, Trim};
use setout::{Design, EditFault, Place, Source};

use crate::edits::{self, Wanted};
use crate::trouble::Trouble;

/// What a file asks for. Every fault has the line of the file that it comes from.
pub(super) struct ValueFile<'a> {
    path: &'a str,
    /// Each value with its line.
    rows: Vec<(usize, Wanted)>,
}

impl<'a> ValueFile<'a> {
    /// Reads a text of lines `name,value`, of which the first may be just these words. Formulas
    /// are only asked for where `over_formula` says so.
    pub(super) fn read(
        path: &'a str,
        text: &str,
        design: &Design,
        over_formula: bool,
    ) -> Result<Self, Vec<Trouble>> {
        let mut file = Self { path, rows: Vec::new() };
        let (mut troubles, mut lines) = (Vec::new(), HashMap::new());
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut reader = ReaderBuilder::new();
        let reader = reader.has_headers(false).flexible(true).trim(Trim::All);
        for (index, record) in reader.from_reader(text.as_bytes()).records().enumerate() {
            // The text is UTF-8 and rows may have any length, so that each can be read.
            let Ok(record) = record else { continue };
            if index == 0 && is_header(&record) {
                continue;
            }
            let line = record.position().map_or(1, |at| line_of(text, at.byte() as usize));
            match wanted(&record, design, over_formula) {
                Ok(one) => match lines.insert(one.name.clone(), line) {
                    None => file.rows.push((line, one)),
                    Some(first) => troubles.push(file.at(line, twice(&one.name, first))),
                },
                Err(trouble) => troubles.push(file.at(line, trouble)),
            }
        }
        if file.rows.is_empty() && troubles.is_empty() {
            let message = "there is no value in it";
            troubles.push(file.at(1, Trouble::bad_call(message, "write lines `name,value`")));
        }
        if troubles.is_empty() { Ok(file) } else { Err(troubles) }
    }

    fn at(&self, line: usize, trouble: Trouble) -> Trouble {
        let file = if self.path == "-" { "standard input" } else { self.path };
        Trouble { place: Some(Place { file: file.into(), line, column: 1 }), ..trouble }
    }

    /// Names and values.
    pub(super) fn values(&self) -> Vec<(&str, &str)> {
        self.rows.iter().map(|(_, one)| (one.name.as_str(), one.value.as_str())).collect()
    }

    /// Why the values are refused; faults in one of them stand at its line of the file.
    pub(super) fn refused(&self, fault: EditFault, texts: &dyn Source) -> Vec<Trouble> {
        let lines: BTreeMap<&str, usize> =
            self.rows.iter().map(|(line, one)| (one.name.as_str(), *line)).collect();
        let EditFault::Faults(faults) = fault else { return edits::troubles(fault, texts) };
        let one = |fault: setout::Fault| {
            let line = fault.place.file.strip_suffix('=').and_then(|name| lines.get(name));
            let troubles = edits::troubles(EditFault::Faults(vec![fault.clone()]), texts);
            troubles.into_iter().map(move |trouble| match line {
                Some(line) => self.at(*line, trouble),
                None => trouble,
            })
        };
        let mut troubles: Vec<Trouble> = faults.into_iter().flat_map(one).collect();
        troubles.sort_by(|a, b| a.place.cmp(&b.place));
        troubles
    }
}

/// The line of a record, which is said to begin at the line break before it, or at empty lines.
fn line_of(text: &str, byte: usize) -> usize {
    let (before, record) = text.split_at_checked(byte).unwrap_or((text, ""));
    let skipped = record.len() - record.trim_start_matches(['\r', '\n']).len();
    1 + before.matches('\n').count() + record[..skipped].matches('\n').count()
}

fn is_header(record: &StringRecord) -> bool {
    record.iter().map(str::to_ascii_lowercase).eq(["name", "value"])
}

fn wanted(record: &StringRecord, design: &Design, over_formula: bool) -> Result<Wanted, Trouble> {
    let (Some(name), Some(value), 2) = (record.get(0), record.get(1), record.len()) else {
        let help = "write `name,value`, and a value with a comma in it in double quotes";
        let message = format!("this line has {} of 2 fields", record.len());
        return Err(Trouble::bad_call(message, help));
    };
    let one = Wanted::of(design, name, value)?;
    match design.derived_by(&one.name).map_err(edits::refused)? {
        Some(formula) if !over_formula => {
            let name = one.name;
            Err(edits::refused(EditFault::IsFormula { name, formula }))
        }
        _ => Ok(one),
    }
}

fn twice(name: &str, first: usize) -> Trouble {
    let message = format!("`{name}` is given two values");
    Trouble::bad_call(message, format!("line {first} has it first; take one of them out"))
}
