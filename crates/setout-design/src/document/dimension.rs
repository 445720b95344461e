//! A dimension, in its short form or its long one.

use setout_quantity::{Unit, UnitFault};

use super::common::read_spread;
use super::reader::Reader;
use super::tolerance::{self, Tolerance};
use super::{Dimension, Expr, Literal, Value};
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
        spread: None,
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
    let known =
        ["value", "text", "unit", "min", "max", "travel", "tolerance", "spread", "note", "one_of"];
    let [value, text, unit, min, max, travel, tolerance, spread, note, one_of] =
        reader.fields(map, "a dimension", known);
    let quantity_only = [unit, min, max, travel, tolerance, spread].into_iter().flatten().next();
    into.value = match (value, text) {
        (Some(value), None) => formula(reader, &value.value, map.flow),
        (None, Some(text)) => {
            if let Some(odd) = quantity_only {
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
    into.unit = unit.and_then(|entry| read_unit(reader, &entry.value));
    into.min = limit(reader, min, map.flow);
    into.max = limit(reader, max, map.flow);
    into.travel = travel.and_then(|entry| read_travel(reader, entry));
    into.tolerance = tolerance.and_then(|entry| read_tolerance(reader, entry));
    into.spread = spread.and_then(|entry| read_spread(reader, entry));
    into.note = reader.remark(note, map.flow);
    into.one_of = one_of.map_or_else(Vec::new, |entry| read_choices(reader, entry));
}

fn limit(reader: &mut Reader<'_>, entry: Option<&Entry>, flow: bool) -> Option<Expr> {
    entry.and_then(|entry| reader.expr(&entry.value, flow, "the limit", "18 mm"))
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
        UnitFault::Unknown { symbol, nearest, .. } => {
            let message = format!("there is no unit `{}`", symbol.escape_debug());
            let help = nearest.map_or_else(
                || "write a unit such as mm, deg, g, N·m, A or count".to_owned(),
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

fn read_travel(reader: &mut Reader<'_>, entry: &Entry) -> Option<[Expr; 2]> {
    let example = "[0 deg, 28 deg]";
    let list = reader.list(&entry.value, "`travel`", example)?;
    let [from, to] = &list.items[..] else {
        let message = format!("a travel has two ends, and here are {}", list.items.len());
        let help = format!("write for example `{example}`; quote an end that has a comma in it");
        reader.fault(Slug::BadValue, list.span.start, message, help);
        return None;
    };
    let from = reader.expr(from, list.flow, "an end of the travel", "0 deg");
    let to = reader.expr(to, list.flow, "an end of the travel", "28 deg");
    Some([from?, to?])
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
    let choice = |item| reader.literal(item, list.flow, "a choice", "M4");
    list.items.iter().filter_map(choice).collect()
}
