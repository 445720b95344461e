//! A text without one entry of a map, and that entry as it stood there.
//!
//! Only whole lines go, or what stands between two commas. That nothing else is gone is seen by
//! reading the result again.

use super::row::Row;
pub(crate) use super::taken::Taken;
use super::taken::comments;
use super::words::{break_before, line_end, line_start, rest_of_line, skip_blanks, skip_break};
use super::{Map, Node, Problem, Span, SpliceError};
use super::{read, same_except};

/// The text without an entry of a map that has others.
pub(crate) fn without(text: &str, path: &[&str], key: &str) -> Result<String, SpliceError> {
    let (tree, problems) = read(text);
    let stale = || SpliceError::Stale { at: 0 };
    let tree = tree.ok_or_else(stale)?;
    let (map, floor) = map_at(&tree, path).ok_or_else(stale)?;
    let index = position(map, key).ok_or_else(stale)?;
    let row = Row::of(text, &Node::Map(map.clone()), floor).ok_or_else(stale)?;
    let mut rest = tree.clone();
    map_at_mut(&mut rest, path).ok_or_else(stale)?.entries.remove(index);
    let ways = row.removals(index).into_iter().map(|way| vec![way]);
    let is_good = |result: &String| reads_as(result, Some(&rest), &problems);
    let mut results = ways.filter_map(|way| deleted(text, way));
    let at = map.entries[index].key.span.start;
    results.find(is_good).ok_or_else(|| unwritable(at, key))
}

/// The text without an entry of a section, and the entry. A section that has no other goes too;
/// its comments stay.
pub(crate) fn take(text: &str, section: &str, key: &str) -> Result<(String, Taken), SpliceError> {
    let (tree, problems) = read(text);
    let stale = || SpliceError::Stale { at: 0 };
    let tree = tree.ok_or_else(stale)?;
    let (map, floor) = map_at(&tree, &[section]).ok_or_else(stale)?;
    let index = position(map, key).ok_or_else(stale)?;
    let row = Row::of(text, &Node::Map(map.clone()), floor).ok_or_else(stale)?;
    let taken = Taken::of(text, &row, map, index);
    let mut rest = vec![tree.clone()];
    map_at_mut(&mut rest[0], &[section]).ok_or_else(stale)?.entries.remove(index);
    let mut ways: Vec<Vec<Span>> = row.removals(index).into_iter().map(|way| vec![way]).collect();
    if map.entries.len() == 1 {
        let mut bare = tree.clone();
        map_at_mut(&mut bare, &[]).ok_or_else(stale)?.entries.retain(|of| of.key.value != section);
        rest.insert(0, bare);
        let whole = section_removals(text, &tree, section, &row, &taken);
        ways.splice(0..0, whole.unwrap_or_default());
    }
    let is_good = |result: &String| {
        rest.iter().any(|rest| {
            let empty = rest.as_map().is_some_and(|map| map.entries.is_empty() && !map.flow);
            reads_as(result, (!empty).then_some(rest), &problems)
        })
    };
    let mut results = ways.into_iter().filter_map(|way| deleted(text, way));
    let at = row.span(index).start;
    let result = results.find(is_good).ok_or_else(|| unwritable(at, key))?;
    Ok((result, taken))
}

/// How a section that has one entry can be deleted.
fn section_removals(
    text: &str,
    tree: &Node,
    section: &str,
    row: &Row<'_>,
    taken: &Taken,
) -> Option<Vec<Vec<Span>>> {
    let root = tree.as_map()?;
    let entry = &root.entries[position(root, section)?];
    let (key, value) = (entry.key.span.clone(), entry.value.span());
    let flow = entry.value.as_map()?.flow;
    if flow && comments(text, value.clone(), entry).len() > taken.comments.len() {
        return None;
    }
    if root.flow {
        let whole = Row::of(text, tree, None)?;
        let index = position(root, section)?;
        let kept = |way: &Span| comments(text, way.clone(), entry).len() <= taken.comments.len();
        let ways = whole.removals(index).into_iter().filter(kept);
        return Some(ways.map(|way| vec![way]).collect());
    }
    if flow {
        let way = head(text, key.start, value.end);
        return Some(vec![vec![joined(text, &way)], vec![way]]);
    }
    let colon = text[key.end..].find(':')? + key.end + 1;
    let head = head(text, key.start, colon);
    let mut ways = Vec::new();
    for way in row.removals(0) {
        if way.start == head.end {
            let whole = head.start..way.end;
            ways.push(vec![joined(text, &whole)]);
            ways.push(vec![whole]);
        }
        ways.push(vec![head.clone(), way]);
    }
    Some(ways)
}

/// What stands from `start` to `end`: all of its lines, or what is before a comment.
fn head(text: &str, start: usize, end: usize) -> Span {
    let line = line_start(text, start);
    let behind = line_end(text, end);
    match text[end..behind].find('#') {
        Some(comment) if rest_of_line(text, end).is_empty() => start..end + comment,
        _ => line..skip_break(text, behind),
    }
}

/// Whole lines with one of the blank lines round them.
fn joined(text: &str, lines: &Span) -> Span {
    let is_blank = |line| skip_blanks(text, line) == line_end(text, line);
    let above = break_before(text, lines.start).map(|end| line_start(text, end));
    let blank_above = above.filter(|line| is_blank(*line));
    if lines.end == text.len() {
        return blank_above.unwrap_or(lines.start)..lines.end;
    }
    let first = above.is_none();
    if (first || blank_above.is_some()) && is_blank(lines.end) {
        return lines.start..skip_break(text, line_end(text, lines.end));
    }
    lines.clone()
}

/// The text without these bytes, which stand in order.
fn deleted(text: &str, spans: Vec<Span>) -> Option<String> {
    let mut result = String::with_capacity(text.len());
    let mut done = 0;
    for span in spans {
        result.push_str(text.get(done..span.start)?);
        done = span.end;
    }
    result.push_str(text.get(done..)?);
    Some(result)
}

/// Whether a text is read as this tree, with no other faults than before.
fn reads_as(text: &str, wanted: Option<&Node>, problems: &[Problem]) -> bool {
    let (tree, new_problems) = read(text);
    same_except(wanted, tree.as_ref(), &[]) && same_faults(problems, &new_problems)
}

/// Whether two texts have the same sorts of faults.
pub(super) fn same_faults(before: &[Problem], after: &[Problem]) -> bool {
    before.iter().map(|of| of.slug).eq(after.iter().map(|of| of.slug))
}

/// The map behind a path of keys, and the end of the last of these.
pub(super) fn map_at<'n>(tree: &'n Node, path: &[&str]) -> Option<(&'n Map, Option<usize>)> {
    let mut found = (tree.as_map()?, None);
    for key in path {
        let entry = found.0.entries.iter().find(|entry| entry.key.value == *key)?;
        found = (entry.value.as_map()?, Some(entry.key.span.end));
    }
    Some(found)
}

pub(super) fn map_at_mut<'n>(tree: &'n mut Node, path: &[&str]) -> Option<&'n mut Map> {
    let Node::Map(map) = tree else { return None };
    let mut map = map;
    for key in path {
        let entry = map.entries.iter_mut().find(|entry| entry.key.value == *key)?;
        let Node::Map(inner) = &mut entry.value else { return None };
        map = inner;
    }
    Some(map)
}

pub(super) fn position(map: &Map, key: &str) -> Option<usize> {
    map.entries.iter().position(|entry| entry.key.value == key)
}

fn unwritable(at: usize, key: &str) -> SpliceError {
    SpliceError::Inseparable { at, key: key.to_owned() }
}
