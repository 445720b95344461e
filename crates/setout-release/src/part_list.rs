//! The list of parts for spreadsheets.

use setout_export::{ExportFault, guarded, one_line, records};

use crate::record::{Record, RecordedMeasure, RecordedPart};

const HEADER: [&str; 9] =
    ["name", "letter", "quantity", "made", "material", "cost", "cost_unit", "mass", "mass_unit"];

/// The parts of a record as CSV: numbers bare, units beside them, texts that a spreadsheet would
/// compute kept from it.
pub(crate) fn part_list(record: &Record) -> Result<String, ExportFault> {
    let mut rows = vec![HEADER.map(str::to_owned)];
    rows.extend(record.parts.iter().map(row));
    records(rows.iter().map(|row| &row[..]))
}

fn row(part: &RecordedPart) -> [String; 9] {
    let text = |text: &Option<String>| guarded(&one_line(text.as_deref().unwrap_or_default()));
    let value = |of: &Option<RecordedMeasure>| {
        of.as_ref().map(|of| of.value.to_string()).unwrap_or_default()
    };
    let unit = |of: &Option<RecordedMeasure>| {
        of.as_ref().map(|of| guarded(&one_line(&of.unit))).unwrap_or_default()
    };
    [
        guarded(&one_line(&part.name)),
        part.letter.to_string(),
        part.quantity.map(|quantity| quantity.to_string()).unwrap_or_default(),
        text(&part.made),
        text(&part.material),
        value(&part.cost),
        unit(&part.cost),
        value(&part.mass),
        unit(&part.mass),
    ]
}
