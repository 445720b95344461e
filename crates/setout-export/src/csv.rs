//! CSV as RFC 4180 has it: one record an item, in the declared unit, lines ended by CR LF, no
//! byte-order mark.
//!
//! ```text
//! name,kind,value,unit,min,max,tolerance,note
//! fingerprint,,0123456789abcdef0123456789abcdef,,,,,
//! jaw.width,chosen,62,mm,55,70,printed,fits the frame
//! ```
//!
//! The second record is the file's fingerprint; names of the design hold a dot, so that none can
//! be taken for it. Columns of schedules are left out, since their cells are there.
//!
//! Spreadsheet programs take a cell that begins with `=`, `+`, `-` or `@` for a formula, also
//! behind a tab or carriage return. Such *texts* get an apostrophe in front; numbers are never
//! touched, -5 stays -5. A text that already begins with apostrophes and then one of these gets
//! one more, so that [`unguarded`] gives back every text as it was.

use std::collections::HashSet;

use crate::fault::ExportFault;
use crate::fingerprint::{Entry, as_fingerprint, fingerprint};
use crate::format::Format;
use crate::number::shortest;
use crate::sheet::{Item, Role, Sheet, Value, is_dotted_name};
use crate::text::{is_hidden, one_line};

/// A record of the file.
type Record = [String; 8];

const HEADER: [&str; 8] = ["name", "kind", "value", "unit", "min", "max", "tolerance", "note"];
const FINGERPRINT: &str = "fingerprint";

/// CSV in declared units, one record an item.
#[derive(Clone, Copy, Debug)]
pub struct Csv;

impl Format for Csv {
    fn name(&self) -> &'static str {
        "csv"
    }

    fn extensions(&self) -> &'static [&'static str] {
        &["csv"]
    }

    fn exported_name(&self, dotted: &str) -> Option<String> {
        is_dotted_name(dotted).then(|| dotted.to_owned())
    }

    fn write(&self, sheet: &Sheet) -> Result<String, Vec<ExportFault>> {
        let mut faults = Vec::new();
        let mut taken = HashSet::new();
        let mut records = Vec::with_capacity(sheet.items.len());
        for item in sheet.items.iter().filter(|item| item.role != Role::Column) {
            match checked_name(item, &mut taken).and_then(|()| record(item)) {
                Ok(record) => records.push(record),
                Err(fault) => faults.push(fault),
            }
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        draw(&records).map_err(|message| vec![ExportFault::NotWritten { format: "csv", message }])
    }

    fn fingerprint_of(&self, text: &str) -> Option<String> {
        let mut records = reader(text).into_records().map_while(Result::ok);
        let (header, stated) = (records.next()?, records.next()?);
        let ours = header == HEADER[..] && stated.get(0) == Some(FINGERPRINT);
        if ours { as_fingerprint(stated.get(2)?) } else { None }
    }

    fn entries_of(&self, text: &str) -> Option<Vec<Entry>> {
        self.fingerprint_of(text)?;
        let records = reader(text).into_records().skip(2);
        records
            .map(|record| {
                let record = record.ok()?;
                let cell = |index| record.get(index).map(str::to_owned);
                Some(Entry { name: cell(0)?, value: cell(2)?, unit: cell(3)? })
            })
            .collect()
    }
}

/// A cell of an exported file without the apostrophe that keeps spreadsheet programs from
/// taking it for a formula.
pub fn unguarded(cell: &str) -> &str {
    if is_guarded(cell) { &cell[1..] } else { cell }
}

fn is_guarded(cell: &str) -> bool {
    cell.starts_with('\'') && begins_formula(cell.trim_start_matches('\''))
}

fn begins_formula(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r'])
}

/// A text as a cell of an exported file: with an apostrophe in front if a spreadsheet program
/// would take it for a formula.
pub fn guarded(text: &str) -> String {
    if begins_formula(text) || is_guarded(text) { format!("'{text}") } else { text.to_owned() }
}

fn checked_name<'a>(item: &'a Item, taken: &mut HashSet<&'a str>) -> Result<(), ExportFault> {
    let name = item.name.clone();
    if !is_dotted_name(&name) {
        Err(ExportFault::BadName { name })
    } else if !taken.insert(&item.name) {
        let (first, second) = (name.clone(), name.clone());
        Err(ExportFault::DuplicateName { exported: name, first, second })
    } else {
        Ok(())
    }
}

fn record(item: &Item) -> Result<Record, ExportFault> {
    Ok([
        item.name.clone(),
        item.role.word().to_owned(),
        value_cell(&item.name, &item.value)?,
        guarded(&one_line(&item.unit)),
        limit_cell(&item.name, item.min)?,
        limit_cell(&item.name, item.max)?,
        remark_cell(item.tolerance.as_deref()),
        remark_cell(item.note.as_deref()),
    ])
}

fn value_cell(name: &str, value: &Value) -> Result<String, ExportFault> {
    match value {
        Value::Number(number) => number_cell(name, *number),
        Value::Text(text) if text.contains('\0') => {
            Err(ExportFault::NulInText { name: name.to_owned() })
        }
        Value::Text(text) => Ok(guarded(text)),
        Value::Truth(truth) => Ok(truth.to_string()),
        Value::List(cells) => {
            let cells: Result<Vec<_>, _> = cells.iter().map(|c| value_cell(name, c)).collect();
            cells.map(|cells| guarded(&cells.join(" ")))
        }
    }
}

fn number_cell(name: &str, number: f64) -> Result<String, ExportFault> {
    shortest(number).ok_or_else(|| ExportFault::NotFinite { name: name.to_owned() })
}

fn limit_cell(name: &str, limit: Option<f64>) -> Result<String, ExportFault> {
    limit.map_or_else(|| Ok(String::new()), |limit| number_cell(name, limit))
}

/// A tolerance or a note: for people, so hidden characters go, all but tabs and line ends.
fn remark_cell(text: Option<&str>) -> String {
    let kept = |&c: &char| !is_hidden(c) || matches!(c, '\t' | '\n' | '\r');
    guarded(&text.unwrap_or_default().chars().filter(kept).collect::<String>())
}

fn draw(records: &[Record]) -> Result<String, String> {
    let entries: Vec<Entry> = records
        .iter()
        .map(|[name, _, value, unit, ..]| Entry {
            name: name.clone(),
            value: value.clone(),
            unit: unit.clone(),
        })
        .collect();
    let stated = fingerprint("csv", &entries);
    let terminator = ::csv::Terminator::CRLF;
    let mut writer = ::csv::WriterBuilder::new().terminator(terminator).from_writer(Vec::new());
    let written = writer
        .write_record(HEADER)
        .and_then(|()| writer.write_record([FINGERPRINT, "", &stated, "", "", "", "", ""]))
        .and_then(|()| records.iter().try_for_each(|record| writer.write_record(record)));
    written.map_err(|error| error.to_string())?;
    let bytes = writer.into_inner().map_err(|error| error.to_string())?;
    String::from_utf8(bytes).map_err(|error| error.to_string())
}

/// Records as a text, each of as many cells: RFC 4180, lines ended by CR LF. Texts that a
/// spreadsheet must not compute have gone through [`guarded`] before.
///
/// # Errors
/// What the library says, which is nothing for records of one length.
pub fn records<'a>(records: impl IntoIterator<Item = &'a [String]>) -> Result<String, ExportFault> {
    let terminator = ::csv::Terminator::CRLF;
    let mut writer = ::csv::WriterBuilder::new().terminator(terminator).from_writer(Vec::new());
    let written = records.into_iter().try_for_each(|record| writer.write_record(record));
    let failed = |message: String| ExportFault::NotWritten { format: "csv", message };
    written.map_err(|error| failed(error.to_string()))?;
    let bytes = writer.into_inner().map_err(|error| failed(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| failed(error.to_string()))
}

fn reader(text: &str) -> ::csv::Reader<&[u8]> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    ::csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes())
}
