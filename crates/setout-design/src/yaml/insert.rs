//! New entries in maps of a text, in the way in which their other entries are written.
//!
//! As with a changed scalar, whether it went well is seen by reading the result again: without
//! the new entries it must be what was there before.

use super::row::Row;
use super::take::same_faults;
use super::words::{break_of, column, line_end};
use super::{Map, Node, Scalar, Span, SpliceError, Style, quote, read, same_except};

/// What is to stand in a map.
#[derive(Clone, Debug)]
pub(crate) struct NewEntries<'e> {
    /// The keys on the way to the map, or to one value that is to become a map.
    pub(crate) path: Vec<&'e str>,
    /// The key under which the one value then stands.
    pub(crate) own_key: &'e str,
    /// The new keys and what stands behind them.
    pub(crate) entries: Vec<(&'e str, New)>,
}

/// A new value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum New {
    /// One text.
    One(Word),
    /// A list of them, written in brackets.
    List(Vec<Word>),
}

/// A text, and whether it is quoted in any case.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Word {
    pub(crate) text: String,
    pub(crate) quoted: bool,
}

impl Word {
    /// As it is written; quotes only where it needs them.
    pub(super) fn written(&self, in_flow: bool) -> String {
        if !self.quoted && quote::is_plain(&self.text, in_flow) {
            return self.text.clone();
        }
        quote::double(&self.text)
    }

    /// A scalar that it is to be written over, in quotes if it needs them.
    pub(crate) fn over(&self, scalar: &Scalar) -> Scalar {
        let plain = scalar.style == Style::Plain && self.quoted;
        Scalar { style: if plain { Style::Double } else { scalar.style }, ..scalar.clone() }
    }

    fn is(&self, node: &Node) -> bool {
        node.as_scalar().is_some_and(|scalar| scalar.value == self.text)
    }
}

impl New {
    /// As it is written behind a key.
    pub(super) fn written(&self, in_flow: bool) -> String {
        match self {
            Self::One(word) => word.written(in_flow),
            Self::List(words) => {
                let words: Vec<String> = words.iter().map(|word| word.written(true)).collect();
                format!("[{}]", words.join(", "))
            }
        }
    }

    /// Whether a node says this.
    pub(super) fn is(&self, node: &Node) -> bool {
        match (self, node) {
            (Self::One(word), node) => word.is(node),
            (Self::List(words), Node::List(list)) => {
                words.len() == list.items.len()
                    && words.iter().zip(&list.items).all(|(word, item)| word.is(item))
            }
            _ => false,
        }
    }
}

/// What takes the place of some bytes.
pub(super) type Patch = (Span, String);

/// The text with new entries behind the others of their maps. A map in lines gets lines, one in
/// braces gets them behind a comma, and one value becomes a map in braces.
pub(crate) fn insert(text: &str, groups: &[NewEntries<'_>]) -> Result<String, SpliceError> {
    if let Some(result) = at_once(text, groups) {
        return Ok(result);
    }
    let mut text = text.to_owned();
    for group in groups {
        for entry in &group.entries {
            text = one(&text, &NewEntries { entries: vec![entry.clone()], ..group.clone() })?;
        }
    }
    Ok(text)
}

/// All of them where each would best stand.
fn at_once(text: &str, groups: &[NewEntries<'_>]) -> Option<String> {
    let (before, problems) = read(text);
    let before = before?;
    let mut patches = Vec::new();
    for group in groups {
        patches.extend(candidates(text, &before, group).into_iter().next()?);
    }
    patches.sort_by_key(|(span, _)| span.start);
    let result = patched(text, &patches)?;
    let (after, new_problems) = read(&result);
    let good = is_before_with(&before, after?, groups) && same_faults(&problems, &new_problems);
    good.then_some(result)
}

/// One entry, wherever it can stand.
fn one(text: &str, group: &NewEntries<'_>) -> Result<String, SpliceError> {
    let (before, problems) = read(text);
    let stale = || SpliceError::Stale { at: 0 };
    let before = before.ok_or_else(stale)?;
    let at = node_at(&before, &group.path).ok_or_else(stale)?.span().start;
    let is_good = |result: &String| {
        let (after, new_problems) = read(result);
        let groups = std::slice::from_ref(group);
        after.is_some_and(|after| is_before_with(&before, after, groups))
            && same_faults(&problems, &new_problems)
    };
    let mut results = candidates(text, &before, group).into_iter();
    let new = group.entries.first().map_or_else(String::new, |(_, new)| new.written(false));
    let result = results.find_map(|patches| patched(text, &patches).filter(is_good));
    result.ok_or(SpliceError::Unwritable { at, new })
}

/// The ways in which the entries can stand in the map, the best first.
fn candidates(text: &str, tree: &Node, group: &NewEntries<'_>) -> Vec<Vec<Patch>> {
    match node_at(tree, &group.path) {
        Some(Node::Map(map)) if map.flow => in_braces(text, map, group),
        Some(Node::Map(map)) => {
            let floor = key_end(tree, &group.path);
            in_lines(text, map, floor, group).into_iter().map(|patch| vec![patch]).collect()
        }
        Some(Node::Scalar(scalar)) => vec![vec![as_map(text, scalar, group)]],
        _ => Vec::new(),
    }
}

/// The node behind a path of keys.
pub(crate) fn node_at<'n>(tree: &'n Node, path: &[&str]) -> Option<&'n Node> {
    path.iter().try_fold(tree, |node, key| node.as_map()?.get(key))
}

pub(super) fn node_at_mut<'n>(tree: &'n mut Node, path: &[&str]) -> Option<&'n mut Node> {
    path.iter().try_fold(tree, |node, key| {
        let Node::Map(map) = node else { return None };
        map.entries.iter_mut().find(|entry| entry.key.value == *key).map(|entry| &mut entry.value)
    })
}

/// The end of the last key of a path.
pub(super) fn key_end(tree: &Node, path: &[&str]) -> Option<usize> {
    let (last, above) = path.split_last()?;
    let map = node_at(tree, above)?.as_map()?;
    map.entries.iter().find(|entry| entry.key.value == *last).map(|entry| entry.key.span.end)
}

/// Behind the last entry that lets them stand there: in lines of their own if it has one, else
/// on its line.
fn in_braces(text: &str, map: &Map, group: &NewEntries<'_>) -> Vec<Vec<Patch>> {
    let pieces: Vec<String> =
        group.entries.iter().map(|(key, new)| format!("{key}: {}", new.written(true))).collect();
    let mut found = Vec::new();
    if let Some(row) = Row::of(text, &Node::Map(map.clone()), None) {
        found.extend(row.new_lines(&pieces));
    }
    let piece = format!(", {}", pieces.join(", "));
    let ends = map.entries.iter().rev().map(|entry| entry.value.span().end);
    found.extend(ends.map(|end| vec![(end..end, piece.clone())]));
    found
}

/// In lines of their own behind the last entry that lets them stand there.
fn in_lines(text: &str, map: &Map, floor: Option<usize>, group: &NewEntries<'_>) -> Vec<Patch> {
    let Some(row) = Row::of(text, &Node::Map(map.clone()), floor) else { return Vec::new() };
    let at = |i: usize| {
        let end = row.lines(i)?.end;
        let start = format!("{}{}", eol(text), " ".repeat(column(text, row.span(i).start)));
        let line = |(key, new): &(&str, New)| format!("{start}{key}: {}", new.written(false));
        Some((end..end, group.entries.iter().map(line).collect::<String>()))
    };
    (0..row.len()).rev().filter_map(at).collect()
}

impl Row<'_> {
    /// Lines of their own behind the last entry in brackets or braces, if that has such lines.
    pub(super) fn new_lines(&self, pieces: &[String]) -> Option<Vec<Patch>> {
        let last = self.len().checked_sub(1)?;
        let (end, text) = (self.span(last).end, self.text());
        let behind = self.lines(last)?.end;
        let start = format!("{}{}", eol(text), " ".repeat(column(text, self.span(last).start)));
        let comma = self.comma(last).is_some();
        let parted = pieces.join(&format!(",{start}"));
        let line = format!("{start}{parted}{}", if comma { "," } else { "" });
        let first = if comma { "" } else { "," };
        Some(vec![(end..end, first.to_owned()), (behind..behind, line)])
    }
}

/// The line break of a text: its first one.
pub(super) fn eol(text: &str) -> &str {
    break_of(text).unwrap_or("\n")
}

/// The text with patches, which stand in order.
pub(super) fn patched(text: &str, patches: &[Patch]) -> Option<String> {
    let mut result = String::with_capacity(text.len() + 64);
    let mut done = 0;
    for (span, new) in patches {
        result.push_str(text.get(done..span.start)?);
        result.push_str(new);
        done = span.end;
    }
    result.push_str(text.get(done..)?);
    Some(result)
}

/// One value as a map in braces; a comment behind the header of a block stays behind it.
fn as_map(text: &str, scalar: &Scalar, group: &NewEntries<'_>) -> Patch {
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
    let new = |(key, new): &(&str, New)| format!(", {key}: {}", new.written(true));
    let new: String = group.entries.iter().map(new).collect();
    (scalar.span.clone(), format!("{{ {}: {old}{new} }}{comment}", group.own_key))
}

/// Whether a tree is another one but for the new entries.
fn is_before_with(before: &Node, mut after: Node, groups: &[NewEntries<'_>]) -> bool {
    let all = groups.iter().all(|group| take_back(before, &mut after, group).is_some());
    all && same_except(Some(before), Some(&after), &[])
}

/// Takes new entries out of a tree again; none if they are not there as they should be.
fn take_back(before: &Node, after: &mut Node, group: &NewEntries<'_>) -> Option<()> {
    let old = node_at(before, &group.path)?;
    let node = node_at_mut(after, &group.path)?;
    let Node::Map(map) = &mut *node else { return None };
    for (key, new) in &group.entries {
        let index = map.entries.iter().position(|of| of.key.value == *key)?;
        if !new.is(&map.entries.remove(index).value) {
            return None;
        }
    }
    if let (Node::Scalar(old_value), [only]) = (old, &map.entries[..]) {
        let kept = only.value.as_scalar().map(|value| value.value.trim());
        if only.key.value != group.own_key || kept != Some(old_value.value.trim()) {
            return None;
        }
        *node = old.clone();
    }
    Some(())
}
