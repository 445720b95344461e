//! A tree as the values that an editor takes it for: scalars by the core schema of YAML 1.2.

use serde_json::Value;
use setout_design::yaml::{Node, Scalar, Style};

pub(crate) fn of(node: &Node) -> Value {
    match node {
        Node::Empty(_) => Value::Null,
        Node::List(list) => list.items.iter().map(of).collect(),
        Node::Map(map) => {
            map.entries.iter().map(|entry| (entry.key.value.clone(), of(&entry.value))).collect()
        }
        Node::Scalar(scalar) => value(scalar),
    }
}

fn value(scalar: &Scalar) -> Value {
    let text = scalar.value.as_str();
    if scalar.style != Style::Plain {
        return text.into();
    }
    match text {
        "" | "~" | "null" | "Null" | "NULL" => Value::Null,
        "true" | "True" | "TRUE" => true.into(),
        "false" | "False" | "FALSE" => false.into(),
        _ => number(text).map_or_else(|| text.into(), Value::from),
    }
}

/// A number in decimal; those to another base, and infinity, have a fault of their own.
fn number(text: &str) -> Option<f64> {
    let has_digit = text.bytes().any(|b| b.is_ascii_digit());
    let signs = text.bytes().all(|b| b.is_ascii_digit() || b"+-.eE".contains(&b));
    if has_digit && signs { text.parse().ok() } else { None }
}
