//! From an evaluation to the files that other programs read.

use std::collections::HashMap;

use setout_design::{Amount, DimensionResult, Evaluation, Export, Fault, Slug};
use setout_quantity::{Kind, nearest};

use crate::fault::ExportFault;
use crate::format::{Format, format_named, formats};
use crate::limits::within_export;
use crate::sheet::{Item, Measure, Role, Sheet, Value};
use crate::target::check_target;

/// The values of an evaluation in the form that every export format draws from. What could not be
/// computed is left out; write nothing while the evaluation has faults.
pub fn sheet(evaluation: &Evaluation) -> Sheet {
    let mut items: Vec<Item> = evaluation.dimensions().iter().filter_map(item).collect();
    for schedule in evaluation.schedules() {
        for (_, cells) in &schedule.rows {
            let cells = cells.iter().filter_map(item);
            items.extend(cells.map(|cell| Item { role: Role::Cell, ..cell }));
        }
        for (index, column) in schedule.columns.iter().enumerate() {
            let cells: Vec<&DimensionResult> =
                schedule.rows.iter().filter_map(|(_, cells)| cells.get(index)).collect();
            let unit = schedule.units[index].as_ref();
            items.push(column_item(&format!("{}.{column}", schedule.name), &cells, unit));
        }
    }
    let order = order_of_tables(evaluation);
    let table =
        |item: &Item| item.name.split('.').next().and_then(|table| order.get(table)).copied();
    items.sort_by_cached_key(|item| table(item).unwrap_or(usize::MAX));
    Sheet { design: evaluation.design().name().to_owned(), items }
}

/// Items are written table by table, whatever they are: the place of each table among the files.
fn order_of_tables(evaluation: &Evaluation) -> HashMap<&str, usize> {
    let mut order = HashMap::new();
    for (at, path) in evaluation.files().into_iter().enumerate() {
        let file = path.rsplit('/').next().unwrap_or(path);
        if let Some(table) = file.strip_suffix(".yaml") {
            order.entry(table).or_insert(at);
        }
    }
    order
}

fn item(dimension: &DimensionResult) -> Option<Item> {
    let role = if dimension.chosen { Role::Chosen } else { Role::Derived };
    let value = value(dimension.value.as_ref()?);
    Some(Item {
        base: base(dimension.unit.kind(), dimension.base, dimension.unit.is_reading()),
        min: dimension.min,
        max: dimension.max,
        tolerance: dimension.tolerance.clone(),
        note: dimension.note.clone(),
        ..Item::new(&dimension.name, role, value, dimension.unit.symbol())
    })
}

fn value(amount: &Amount) -> Value {
    match amount {
        Amount::Number { number, .. } => Value::Number(*number),
        Amount::Text(text) => Value::Text(text.clone()),
        Amount::Truth(truth) => Value::Truth(*truth),
    }
}

/// Lengths and angles in mm and deg, whatever unit they are shown in.
fn base(kind: Kind, value: Option<f64>, reading: bool) -> Option<Measure> {
    let unit = match kind {
        Kind::LENGTH => "mm",
        Kind::ANGLE => "deg",
        _ => return None,
    };
    let value = value.filter(|_| !reading)?;
    Some(Measure { value: Value::Number(value), unit: unit.into() })
}

fn column_item(
    name: &str,
    cells: &[&DimensionResult],
    unit: Option<&setout_quantity::Unit>,
) -> Item {
    let values = cells.iter().filter_map(|cell| cell.value.as_ref()).map(value).collect();
    let symbol = unit.map_or("", |unit| unit.symbol());
    let kind = unit.map_or(Kind::NUMBER, setout_quantity::Unit::kind);
    let bases: Option<Vec<Value>> =
        cells.iter().map(|cell| base(kind, cell.base, false).map(|base| base.value)).collect();
    let base = match kind {
        Kind::LENGTH => Some("mm"),
        Kind::ANGLE => Some("deg"),
        _ => None,
    };
    let base = base
        .zip(bases)
        .map(|(unit, cells)| Measure { value: Value::List(cells), unit: unit.into() });
    Item { base, ..Item::new(name, Role::Column, Value::List(values), symbol) }
}

/// What is wrong with the exports that a design lists: an unknown format, a path that an export
/// must not have.
pub fn export_faults(evaluation: &Evaluation) -> Vec<Fault> {
    let exports = evaluation.exports();
    let mut faults: Vec<Fault> =
        exports.iter().filter_map(|export| export_fault(evaluation, export)).collect();
    for (index, export) in exports.iter().enumerate() {
        let earlier = exports[..index].iter().find(|other| other.path == export.path);
        if let (Some(first), Some(path)) = (earlier, &export.path) {
            let message = format!("`{path}` is exported twice");
            let help = format!("line {} has it first; take one of them out", first.place.line);
            let place = export.place.clone();
            faults.push(Fault { place, slug: Slug::DuplicateName, message, help });
        }
    }
    faults
}

fn export_fault(evaluation: &Evaluation, export: &Export) -> Option<Fault> {
    let fault = |slug: Slug, message: String, help: String| {
        Some(Fault { place: export.place.clone(), slug, message, help })
    };
    let Some(format) = format_named(&export.format) else {
        let names: Vec<&str> = formats().iter().map(|format| format.name()).collect();
        let help = match nearest(&export.format, names.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("the formats are {}", names.join(", ")),
        };
        let message = format!("there is no export format `{}`", export.format.escape_debug());
        return fault(Slug::BadChoice, message, help);
    };
    // A path that is no path at all has its fault from reading.
    let path = export.path.as_deref()?;
    if evaluation.files().contains(&path) {
        let message = format!("`{}` is a table of this design", export.file);
        return fault(Slug::UnsafePath, message, "export to another file".into());
    }
    let wrong = check_target(format, &export.file).err()?;
    let help = format!("write for example `../cad/dimensions.{}`", format.extensions()[0]);
    fault(Slug::UnsafePath, wrong.to_string(), help)
}

/// The text of an export.
///
/// # Errors
/// Every item that the format cannot write, or that the text is too large.
pub fn export_text(
    evaluation: &Evaluation,
    format: &dyn Format,
) -> Result<String, Vec<ExportFault>> {
    let text = format.write(&sheet(evaluation))?;
    within_export(0, &text).map_err(|fault| vec![fault])?;
    Ok(text)
}
