//! A new entry in a map of a text, in the way in which its other entries are written.
//!
//! As with a changed scalar, whether it went well is seen by reading the result again: without
//! the new entry it must be what was there before.

use super::words::{break_len, line_end, line_start};
use super::{Map, Node, Scalar, SpliceError, Style, quote, read, same_except};

/// What is to stand in a map.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NewEntry<'e> {
    /// The keys on the way to the map, or to one value that is to become a map.
    pub(crate) path: &'e [&'e str],
    /// The key under which the one value then stands.
    pub(crate) own_key: &'e str,
    /// The new key.
    pub(crate) key: &'e str,
    /// The new value.
    pub(crate) new: &'e str,
    /// Whether the new value is quoted in any case.
    pub(crate) quoted: bool,
}

/// The text with a new entry behind the others. A map in lines gets a line, one in braces gets it
/// behind a comma, and one value becomes a map in braces.
pub(crate) fn insert(text: &str, entry: NewEntry<'_>) -> Result<String, SpliceError> {
    let (before, problems) = read(text);
    let stale = SpliceError::Stale { at: 0 };
    let Some(before) = before else { return Err(stale) };
    let Some(node) = node_at(&before, entry.path) else { return Err(stale) };
    let candidates = match node {
        Node::Map(map) if map.flow => in_braces(text, map, entry),
        Node::Map(map) => in_lines(text, map, entry),
        Node::Scalar(scalar) => vec![as_map(text, scalar, entry)],
        _ => Vec::new(),
    };
    let is_good = |result: &String| {
        let (after, new_problems) = read(result);
        let slugs = |of: &[super::Problem]| of.iter().map(|of| of.slug).collect::<Vec<_>>();
        let same = after.is_some_and(|after| is_new_entry(&before, after, node, entry));
        same && slugs(&problems) == slugs(&new_problems)
    };
    let (at, new) = (node.span().start, entry.new.to_owned());
    candidates.into_iter().find(is_good).ok_or(SpliceError::Unwritable { at, new })
}

/// The node behind a path of keys.
pub(crate) fn node_at<'n>(tree: &'n Node, path: &[&str]) -> Option<&'n Node> {
    path.iter().try_fold(tree, |node, key| node.as_map()?.get(key))
}

fn node_at_mut<'n>(tree: &'n mut Node, path: &[&str]) -> Option<&'n mut Node> {
    path.iter().try_fold(tree, |node, key| {
        let Node::Map(map) = node else { return None };
        map.entries.iter_mut().find(|entry| entry.key.value == *key).map(|entry| &mut entry.value)
    })
}

/// Behind the last entry that lets it stand there.
fn in_braces(text: &str, map: &Map, entry: NewEntry<'_>) -> Vec<String> {
    let piece = format!(", {}: {}", entry.key, written(entry, true));
    let ends = map.entries.iter().rev().map(|entry| entry.value.span().end);
    ends.filter_map(|end| put(text, end, &piece)).collect()
}

/// In a line of its own behind the last entry that lets it stand there.
fn in_lines(text: &str, map: &Map, entry: NewEntry<'_>) -> Vec<String> {
    let line = format!("{}: {}", entry.key, written(entry, false));
    let at = |of: &super::Entry| {
        let key = of.key.span.start;
        let indent = text.get(line_start(text, key)..key)?;
        let end = line_end(text, of.value.span().end);
        let piece = format!("{}{indent}{line}", break_of(text));
        indent.trim().is_empty().then(|| put(text, end, &piece))?
    };
    map.entries.iter().rev().filter_map(at).collect()
}

/// The line break of the text: its first one.
fn break_of(text: &str) -> &str {
    let end = line_end(text, 0);
    text.get(end..end + break_len(text, end)).filter(|b| !b.is_empty()).unwrap_or("\n")
}

fn put(text: &str, at: usize, piece: &str) -> Option<String> {
    Some(format!("{}{piece}{}", text.get(..at)?, text.get(at..)?))
}

/// One value as a map in braces; a comment behind the header of a block stays behind it.
fn as_map(text: &str, scalar: &Scalar, entry: NewEntry<'_>) -> String {
    let source = &text[scalar.span.clone()];
    let value = scalar.value.trim();
    let block = matches!(scalar.style, Style::Literal | Style::Folded);
    let one_line = !source.contains(['\n', '\r']);
    let old = match scalar.style {
        Style::Single | Style::Double if one_line => source.to_owned(),
        _ if quote::is_plain(value, true) => value.to_owned(),
        _ => quote::double(value),
    };
    let header = &source[..line_end(source, 0)];
    let comment = header.trim_start_matches(|c| "|>+-0123456789".contains(c));
    let comment = if block { comment } else { "" };
    let new = format!("{}: {}", entry.key, written(entry, true));
    let map = format!("{{ {}: {old}, {new} }}{comment}", entry.own_key);
    format!("{}{map}{}", &text[..scalar.span.start], &text[scalar.span.end..])
}

fn written(entry: NewEntry<'_>, in_flow: bool) -> String {
    if !entry.quoted && quote::is_plain(entry.new, in_flow) {
        return entry.new.to_owned();
    }
    quote::double(entry.new)
}

/// Whether a tree is another one but for the new entry.
fn is_new_entry(before: &Node, mut after: Node, old: &Node, entry: NewEntry<'_>) -> bool {
    let Some(node) = node_at_mut(&mut after, entry.path) else { return false };
    let Node::Map(map) = &mut *node else { return false };
    let Some(index) = map.entries.iter().position(|of| of.key.value == entry.key) else {
        return false;
    };
    let new = map.entries.remove(index).value;
    if let (Node::Scalar(old_value), [only]) = (old, &map.entries[..]) {
        let kept = only.value.as_scalar().map(|value| value.value.trim());
        if only.key.value != entry.own_key || kept != Some(old_value.value.trim()) {
            return false;
        }
        *node = old.clone();
    }
    let is_new = new.as_scalar().is_some_and(|value| value.value == entry.new);
    is_new && same_except(Some(before), Some(&after), &[])
}
