//! A dimension, in its short form or its long one.

use setout_quantity::{Unit, UnitFault};

use super::common::{read_shares, read_spread};
use super::reader::Reader;
use super::tolerance::{self, Tolerance};
use super::{Dimension, Expr, Literal, Value, keys};
use crate::yaml::{Entry, Map, Node};
use crate::{Place, Slug};

pub(crate) fn read_dimension(reader: &mut Reader<'_>, entry: &Entry, place: Place) -> Dimension {
    let mut dimension = Dimension {
        name: entry.key.value.clone(),
        place,
        value: Value::Faulty,
        unit: None,
        min: None,
        max: None,
        travel: None,
        tolerance: None,
        tolerance_at: None,
        spread: None,
        shares: None,
        note: None,
        one_of: Vec::new(),
    };
    match &entry.value {
        Node::Map(map) => read_long(reader, entry, map, &mut dimension),
        node => dimension.value = formula(reader, node, false),
    }
    dimension
}

fn formula(reader: &mut Reader<'_>, node: &Node, flow: bool) -> Value {
    reader.expr(node, flow, "the value", "62 mm").map_or(Value::Faulty, Value::Formula)
}

fn read_long(reader: &mut Reader<'_>, entry: &Entry, map: &Map, into: &mut Dimension) {
    let [value, text, unit, min, max, travel, tolerance, spread, shares, note, one_of] =
        reader.fields(map, "a dimension", keys::DIMENSION);
    let quantity_only = [unit, min, max, travel, tolerance, spread, shares];
    let is_text = value.is_none() && text.is_some();
    into.value = match (value, text) {
        (Some(value), None) => formula(reader, &value.value, map.flow),
        (None, Some(text)) => {
            for odd in quantity_only.into_iter().flatten() {
                let message = format!("a text has no `{}`", odd.key.value);
                let help = "take it out, or write `value:` instead of `text:`";
                reader.fault(Slug::BadValue, odd.key.span.start, message, help);
            }
            let literal = reader.literal(&text.value, map.flow, "the text", "M4");
            literal.map_or(Value::Faulty, Value::Text)
        }
        (Some(_), Some(text)) => {
            let message = "a dimension has a value or a text, not both";
            reader.fault(Slug::BadValue, text.key.span.start, message, "take one of them out");
            Value::Faulty
        }
        (None, None) => {
            let message = format!("`{}` has no value", entry.key.value);
            let help = "add `value: 62 mm`, or `text: M4` for a text";
            reader.fault(Slug::BadValue, entry.key.span.start, message, help);
            Value::Faulty
        }
    };
    if !is_text {
        into.unit = unit.and_then(|entry| read_unit(reader, &entry.value));
        into.min = reader.field(min, map.flow, "18 mm").map(Box::new);
        into.max = reader.field(max, map.flow, "70 mm").map(Box::new);
        into.travel = travel.map(|entry| Box::new(read_travel(reader, entry)));
        into.tolerance = tolerance.and_then(|entry| read_tolerance(reader, entry)).map(Box::new);
        into.tolerance_at = tolerance.map(|entry| Box::new(reader.place(entry.value.span().start)));
        into.spread = spread.and_then(|entry| read_spread(reader, entry));
        into.shares = shares.and_then(|entry| read_shares(reader, entry)).map(Box::new);
    }
    into.note = reader.remark(note, map.flow);
    into.one_of = one_of.map_or_else(Vec::new, |entry| read_choices(reader, entry));
}

/// A unit behind a key. Bare `%` is no YAML, so it comes quoted.
pub(crate) fn read_unit(reader: &mut Reader<'_>, node: &Node) -> Option<Unit> {
    let scalar = reader.scalar(node, "the unit", "mm")?;
    match reader.units().read(scalar.value.trim()) {
        Ok(unit) => Some(unit),
        Err(fault) => {
            let (slug, message, help) = unit_refusal(&scalar.value, fault);
            reader.fault(slug, scalar.span.start, message, help);
            None
        }
    }
}

fn unit_refusal(text: &str, fault: UnitFault) -> (Slug, String, String) {
    match fault {
        UnitFault::Unknown { symbol, .. } if symbol.is_empty() => (
            Slug::UnknownUnit,
            format!("`{}` is no unit", text.escape_debug()),
            "write a unit such as mm; for a plain number write \"\"".into(),
        ),
        UnitFault::Unknown { symbol, nearest, .. } => {
            let message = format!("there is no unit `{}`", symbol.escape_debug());
            let help = nearest.map_or_else(
                || {
                    "write a unit such as mm, deg, g, N·m, A or count; a column can also be text"
                        .into()
                },
                |near| format!("did you mean `{near}`?"),
            );
            (Slug::UnknownUnit, message, help)
        }
        UnitFault::NotCompound { symbol, .. } => (
            Slug::UnitMismatch,
            format!("`{symbol}` cannot be part of a compound unit"),
            "for a temperature difference, write K; leave a count out".into(),
        ),
        _ => (
            Slug::UnknownUnit,
            format!("`{}` is no unit", text.escape_debug()),
            "write the unit alone, such as mm or N·m, without blanks inside".into(),
        ),
    }
}

/// The ends of a travel. Ends that cannot be read are there all the same, without a formula: an
/// axis whose travel is not known does not stand still.
fn read_travel(reader: &mut Reader<'_>, entry: &Entry) -> [Expr; 2] {
    let example = "[0 deg, 28 deg]";
    let Some(list) = reader.list(&entry.value, "`travel`", example) else {
        return [reader.unread(&entry.value), reader.unread(&entry.value)];
    };
    let [from, to] = &list.items[..] else {
        let message = format!("a travel has two ends, and here are {}", list.items.len());
        let help = format!("write for example `{example}`; quote an end that has a comma in it");
        reader.fault(Slug::BadValue, list.span.start, message, help);
        return [reader.unread(&entry.value), reader.unread(&entry.value)];
    };
    let mut end =
        |node, example| reader.expr_or_unread(node, list.flow, "an end of the travel", example);
    [end(from, "0 deg"), end(to, "28 deg")]
}

fn read_tolerance(reader: &mut Reader<'_>, entry: &Entry) -> Option<Tolerance> {
    let scalar = reader.scalar(&entry.value, "the tolerance", "±0.2 mm")?;
    match tolerance::read(&scalar.value, reader.units()) {
        Ok(tolerance) => Some(tolerance),
        Err((slug, message, help)) => {
            reader.fault(slug, scalar.span.start, message, help);
            None
        }
    }
}

fn read_choices(reader: &mut Reader<'_>, entry: &Entry) -> Vec<Literal> {
    let Some(list) = reader.list(&entry.value, "`one_of`", "[M3, M4, M5]") else {
        return Vec::new();
    };
    if list.items.is_empty() {
        let help = "write for example `[M3, M4, M5]`";
        reader.fault(Slug::BadChoice, list.span.start, "there is nothing to choose from", help);
    }
    let choice = |item| reader.literal(item, list.flow, "a choice", "M4");
    list.items.iter().filter_map(choice).collect()
}
