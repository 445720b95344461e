//! Schedules, checks and parts.

use super::dimension::read_unit;
use super::reader::Reader;
use super::{Cad, Check, Column, ColumnOf, Part, Row, Schedule, Value, keys};
use crate::limits::MOST_ROWS;
use crate::paths::from_folder;
use crate::yaml::{Entry, Node};
use crate::{Place, Slug};

pub(crate) fn read_schedule(
    reader: &mut Reader<'_>,
    entry: &Entry,
    place: Place,
) -> Option<Schedule> {
    let example = "servo: { columns: { neutral: deg }, rows: { jaw: [90 deg] } }";
    let map = reader.map(&entry.value, "a schedule", example)?;
    let [about, columns, rows] = reader.fields(map, "a schedule", keys::SCHEDULE);
    let mut schedule = Schedule {
        name: entry.key.value.clone(),
        place,
        about: reader.remark(about, map.flow),
        columns: Vec::new(),
        rows: Vec::new(),
        lost: false,
    };
    let Some(columns) = columns else {
        let message = format!("the schedule `{}` has no columns", schedule.name);
        let help = "add `columns: { channel: count, neutral: deg }`";
        reader.fault(Slug::BadValue, entry.key.span.start, message, help);
        schedule.lost = true;
        return Some(schedule);
    };
    let spoilt = reader.is_spoilt(columns);
    let columns = reader.map(&columns.value, "`columns`", "columns: { neutral: deg }");
    let entries = columns.map_or(&[][..], |map| &map.entries);
    schedule.columns = entries.iter().filter_map(|entry| read_column(reader, entry)).collect();
    // With a column missing the cells of every row would be out of step.
    schedule.lost = spoilt || columns.is_none() || schedule.columns.len() < entries.len();
    if schedule.lost {
        return Some(schedule);
    }
    schedule.lost = reader.is_spoilt(entry);
    let rows = rows.and_then(|entry| reader.map(&entry.value, "`rows`", "jaw_left: [0, 90 deg]"));
    let rows = rows.map_or(&[][..], |map| &map.entries);
    if let Some(entry) = rows.get(MOST_ROWS) {
        let message = format!(
            "with this row the schedule `{}` has more than {MOST_ROWS} rows",
            schedule.name
        );
        let help = "split the schedule into several";
        reader.fault(Slug::TooLarge, entry.key.span.start, message, help);
        schedule.lost = true;
        return Some(schedule);
    }
    for entry in rows {
        let row = read_row(reader, entry, &schedule.columns);
        schedule.lost |= row.is_none();
        schedule.rows.extend(row);
    }
    Some(schedule)
}

fn read_column(reader: &mut Reader<'_>, entry: &Entry) -> Option<Column> {
    let place = reader.name(&entry.key)?;
    let text = entry.value.as_scalar().is_some_and(|scalar| scalar.value == "text");
    let of = if text {
        ColumnOf::Text
    } else {
        read_unit(reader, &entry.value).map_or(ColumnOf::Faulty, ColumnOf::Quantity)
    };
    Some(Column { name: entry.key.value.clone(), of, place })
}

fn read_row(reader: &mut Reader<'_>, entry: &Entry, columns: &[Column]) -> Option<Row> {
    let place = reader.name(&entry.key)?;
    if columns.iter().any(|column| column.name == entry.key.value) {
        let message = format!("`{}` is already a column of this schedule", entry.key.value);
        reader.fault(Slug::DuplicateName, entry.key.span.start, message, "name the row otherwise");
        return None;
    }
    let list = reader.list(&entry.value, "a row", "jaw_left: [0, 90 deg]")?;
    if list.items.len() != columns.len() {
        let message = format!("this row has {} of {} cells", list.items.len(), columns.len());
        let names: Vec<_> = columns.iter().map(|column| column.name.as_str()).collect();
        let help = match names.is_empty() {
            true => "name its columns first: `columns: { channel: count, neutral: deg }`".into(),
            false => format!(
                "give one for each of {}; quote a cell that has a comma in it",
                names.join(", ")
            ),
        };
        reader.fault(Slug::BadValue, list.span.start, message, help);
        return None;
    }
    let cells = list.items.iter().zip(columns);
    let cells = cells.map(|(node, column)| read_cell(reader, node, list.flow, column)).collect();
    Some(Row { name: entry.key.value.clone(), place, cells })
}

fn read_cell(reader: &mut Reader<'_>, node: &Node, flow: bool, column: &Column) -> (Place, Value) {
    let place = reader.place(node.span().start);
    let value = match column.of {
        ColumnOf::Text => {
            reader.literal(node, flow, "the cell", "a text").map_or(Value::Faulty, Value::Text)
        }
        ColumnOf::Quantity(_) => {
            reader.expr(node, flow, "the cell", "90 deg").map_or(Value::Faulty, Value::Formula)
        }
        ColumnOf::Faulty => Value::Faulty,
    };
    (place, value)
}

pub(crate) fn read_check(reader: &mut Reader<'_>, entry: &Entry, place: Place) -> Option<Check> {
    let example = "{ require: gap >= 1 mm, why: it must not rub }";
    let Some(map) = reader.map(&entry.value, "a check", example) else {
        let name = entry.key.value.clone();
        return Some(Check { name, place, require: None, tight: None, why: None });
    };
    let [require, tight, why] = reader.fields(map, "a check", keys::CHECK);
    if require.is_none() {
        let message = format!("the check `{}` requires nothing", entry.key.value);
        let help = "add `require: gap >= 1 mm`";
        reader.fault(Slug::BadValue, entry.key.span.start, message, help);
    }
    let require = reader.field(require, map.flow, "gap >= 1 mm");
    let tight = reader.field(tight, map.flow, "0.5 mm");
    let why = reader.remark(why, map.flow);
    Some(Check { name: entry.key.value.clone(), place, require, tight, why })
}

pub(crate) fn read_part(
    reader: &mut Reader<'_>,
    entry: &Entry,
    place: Place,
    folder: &str,
) -> Option<Part> {
    let map = reader.map(&entry.value, "a part", "{ made: printed, quantity: 1 }")?;
    let [made, material, quantity, cost, mass, cad, uses, note] =
        reader.fields(map, "a part", keys::PART);
    let quantity = reader.field(quantity, map.flow, "1");
    let cost = reader.field(cost, map.flow, "1.20 GBP");
    let mass = reader.field(mass, map.flow, "38 g");
    let mut part = Part {
        name: entry.key.value.clone(),
        place,
        made: made.and_then(|made| reader.literal(&made.value, map.flow, "`made`", "printed")),
        material: reader.remark(material, map.flow),
        note: reader.remark(note, map.flow),
        quantity,
        cost,
        mass,
        cad: cad.and_then(|entry| read_cad(reader, entry, folder)),
        uses: Vec::new(),
    };
    if let Some(list) = uses.and_then(|entry| reader.list(&entry.value, "`uses`", "uses: [width]"))
    {
        let name = |item| reader.literal(item, list.flow, "a name", "width");
        part.uses = list.items.iter().filter_map(name).collect();
    }
    Some(part)
}

fn read_cad(reader: &mut Reader<'_>, entry: &Entry, folder: &str) -> Option<Cad> {
    let literal = reader.literal(&entry.value, true, "`cad`", "../cad/jaw.scad")?;
    let path = match from_folder(folder, literal.text()) {
        Ok(path) => Some(path),
        Err(unsafe_path) => {
            let message = unsafe_path.message(literal.text());
            reader.fault(Slug::UnsafePath, literal.scalar.span.start, message, unsafe_path.help());
            None
        }
    };
    Some(Cad { written: literal.text().to_owned(), path, place: literal.place })
}
