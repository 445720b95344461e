//! The text of a table with other fields in one of its dimensions.

use super::{Field, LineEdit};
use crate::document::is_literal_trap;
use crate::yaml::{NewEntry, Node, Scalar, SpliceError, Style, insert, node_at, read, splice};

/// The text with all fields, those first that are there, and the lines that differ.
pub(super) fn written(
    text: &str,
    path: &[&str],
    fields: &[(Field, &str)],
) -> Result<(String, Vec<LineEdit>), SpliceError> {
    let (tree, _) = read(text);
    let node = tree.as_ref().and_then(|tree| node_at(tree, path));
    let mut fields = fields.to_vec();
    fields.sort_by_key(|(field, _)| {
        (node.is_some_and(|node| scalar_of(node, *field).is_none()), *field)
    });
    let (mut text, mut lines) = (text.to_owned(), Vec::new());
    for (field, new) in fields {
        let next = with_field(&text, path, field, new)?;
        note_line(&text, &next, &mut lines);
        text = next;
    }
    Ok((text, lines))
}

/// The scalar of a field that is there.
fn scalar_of(node: &Node, field: Field) -> Option<&Scalar> {
    match (node, field) {
        (Node::Scalar(scalar), Field::Value) => Some(scalar),
        (Node::Map(map), Field::Value) => map.get("value").or(map.get("text"))?.as_scalar(),
        (Node::Map(map), field) => map.get(field.key())?.as_scalar(),
        _ => None,
    }
}

fn with_field(text: &str, path: &[&str], field: Field, new: &str) -> Result<String, SpliceError> {
    let (tree, _) = read(text);
    let stale = || SpliceError::Stale { at: 0 };
    let tree = tree.ok_or_else(stale)?;
    let node = node_at(&tree, path).ok_or_else(stale)?;
    let is_text = field == Field::Note
        || (field == Field::Value && node.as_map().is_some_and(|map| map.get("text").is_some()));
    // What YAML readers would take for a number or a truth is written in quotes.
    let quoted = is_text && is_literal_trap(new);
    let Some(scalar) = scalar_of(node, field) else {
        let (key, own_key) = (field.key(), Field::Value.key());
        return insert(text, NewEntry { path, own_key, key, new, quoted });
    };
    let flow = match node {
        Node::Map(map) => map.flow,
        _ => node_at(&tree, &path[..1]).and_then(Node::as_map).is_some_and(|map| map.flow),
    };
    let mut scalar = scalar.clone();
    if scalar.style == Style::Plain && quoted {
        scalar.style = Style::Double;
    }
    // A block keeps the line end that it had.
    let line_end = if scalar.value.ends_with('\n') { "\n" } else { "" };
    splice(text, &scalar, &format!("{new}{line_end}"), flow)
}

/// Notes the line that one more edit changed, together with an earlier edit of the same line.
fn note_line(before: &str, after: &str, lines: &mut Vec<LineEdit>) {
    let (was, is): (Vec<&str>, Vec<&str>) = (before.lines().collect(), after.lines().collect());
    let differs = |line: &usize| was.get(*line) != is.get(*line);
    let Some(at) = (0..is.len()).find(differs) else { return };
    let line = at + 1;
    let trimmed = |text: &&str| text.trim().to_owned();
    let after = is.get(at).map(trimmed).unwrap_or_default();
    let before = if is.len() > was.len() { None } else { was.get(at).map(trimmed) };
    match lines.iter_mut().find(|edit| edit.line == line && before.is_some()) {
        Some(edit) => edit.after = after,
        None => lines.push(LineEdit { line, before, after }),
    }
}
