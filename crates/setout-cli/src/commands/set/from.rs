//! Many values from a file of lines `name,value`.

use std::collections::{BTreeMap, HashMap};

use csv::{ReaderBuilder, StringRecord, Trim};
use setout::{Design, EditFault, Fault, Field, FieldEdit, Place, Source};

use crate::edits::{self, WantedField};
use crate::trouble::Trouble;

/// What a file asks for. Every fault has the line of the file that it comes from.
pub(super) struct ValueFile<'a> {
    path: &'a str,
    /// Each value with its line.
    rows: Vec<(usize, WantedField)>,
}

impl<'a> ValueFile<'a> {
    /// Reads a text of lines `name,value`, of which the first may be just these words. A name may
    /// be that of a field. Formulas are only asked for where `over_formula` says so.
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
                Ok(one) => match lines.insert((one.name.clone(), one.field), line) {
                    None => file.rows.push((line, one)),
                    Some(first) => troubles.push(file.at(line, twice(&one.called(), first))),
                },
                Err(found) => {
                    troubles.extend(found.into_iter().map(|trouble| file.at(line, trouble)));
                }
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

    /// Whether it holds values alone.
    pub(super) fn is_plain(&self) -> bool {
        self.rows.iter().all(|(_, one)| one.field == Field::Value)
    }

    /// Names and values.
    pub(super) fn values(&self) -> Vec<(&str, &str)> {
        self.rows
            .iter()
            .map(|(_, one)| (one.name.as_str(), one.new.as_deref().unwrap_or_default()))
            .collect()
    }

    /// All of it as fields.
    pub(super) fn fields(&self) -> Vec<WantedField> {
        self.rows.iter().map(|(_, one)| one.clone()).collect()
    }

    /// Why the values are refused; faults in one of them stand at its line of the file.
    pub(super) fn refused(
        &self,
        design: &Design,
        fault: EditFault,
        texts: &dyn Source,
    ) -> Vec<Trouble> {
        let lines: BTreeMap<String, usize> =
            self.rows.iter().map(|(line, one)| (one.called(), *line)).collect();
        let (faults, texts): (Vec<Fault>, &dyn Source) = match &fault {
            EditFault::Faults(faults) => (faults.clone(), texts),
            EditFault::Brings { faults, texts } => (self.in_rows(design, faults, texts), texts),
            _ => return edits::troubles(fault, texts),
        };
        let one = |fault: Fault| {
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

    /// Faults in the tables as they would be, at the rows that they come from.
    fn in_rows(&self, design: &Design, faults: &[Fault], texts: &setout::Memory) -> Vec<Fault> {
        let edits: Vec<FieldEdit<'_>> = self.rows.iter().map(|(_, one)| one.edit()).collect();
        let blamed = design.blamed(texts, &edits, faults);
        let moved = |(fault, row): (&Fault, Option<usize>)| {
            let Some(row) = row else { return fault.clone() };
            let file = format!("{}=", self.rows[row].1.called()).into();
            Fault { place: Place { file, line: 1, column: 1 }, ..fault.clone() }
        };
        faults.iter().zip(blamed).map(moved).collect()
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

fn wanted(
    record: &StringRecord,
    design: &Design,
    over_formula: bool,
) -> Result<WantedField, Vec<Trouble>> {
    let (Some(name), Some(value), 2) = (record.get(0), record.get(1), record.len()) else {
        let help = "write `name,value`, and a value with a comma in it in double quotes";
        let message = format!("this line has {} of 2 fields", record.len());
        return Err(vec![Trouble::bad_call(message, help)]);
    };
    let refused = |fault| vec![edits::refused(fault)];
    let one = WantedField::of(design, name, value)?;
    match design.formula_of(&one.name, one.field).map_err(refused)? {
        Some(formula) if !over_formula => {
            let name = one.called();
            Err(refused(EditFault::IsFormula { name, formula }))
        }
        _ => Ok(one),
    }
}

fn twice(name: &str, first: usize) -> Trouble {
    let message = format!("`{name}` is given two values");
    Trouble::bad_call(message, format!("line {first} has it first; take one of them out"))
}
