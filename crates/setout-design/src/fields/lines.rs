//! The lines of things before and after an edit, told apart.

use std::collections::HashMap;

use super::LineEdit;
use super::wanted::Wanted;
use crate::common::{common, in_order};
use crate::yaml::{Lines, Node, read};

/// Lines of longer things are not compared one with another, but in their order.
const MOST_COMPARED: usize = 200;

/// The things of a text, each with its lines.
pub(super) struct Things<'t> {
    lines: Vec<&'t str>,
    /// The first line, from 0, and the one behind the last, by the keys on the way.
    of: HashMap<Vec<String>, (usize, usize)>,
}

impl<'t> Things<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let (tree, _) = read(text);
        let index = Lines::new(text);
        let mut of = HashMap::new();
        let mut open: Vec<(Vec<String>, &Node)> =
            tree.iter().map(|tree| (Vec::new(), tree)).collect();
        while let Some((path, node)) = open.pop() {
            let Node::Map(map) = node else { continue };
            for entry in &map.entries {
                let mut path = path.clone();
                path.push(entry.key.value.to_string());
                let end = entry.value.span().end.max(entry.key.span.end);
                let span = (index.line(entry.key.span.start) - 1, index.line(end));
                // Rows of schedules are the deepest things.
                if path.len() < 4 {
                    open.push((path.clone(), &entry.value));
                }
                of.insert(path, span);
            }
        }
        Self { lines: lines(text), of }
    }

    fn of_thing(&self, path: &[&str]) -> (usize, &[&'t str]) {
        let path: Vec<String> = path.iter().map(|key| (*key).to_owned()).collect();
        let (first, end) = self.of.get(&path).copied().unwrap_or((0, 0));
        (first, self.lines.get(first..end.min(self.lines.len())).unwrap_or_default())
    }
}

/// Lines as they are counted everywhere: LF, CRLF and a lone CR end one.
fn lines(text: &str) -> Vec<&str> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    text.split_inclusive('\n')
        .flat_map(|line| {
            let line = line.strip_suffix('\n').unwrap_or(line);
            line.strip_suffix('\r').unwrap_or(line).split('\r')
        })
        .collect()
}

/// The lines of a thing that differ.
pub(super) fn edits_of(
    wanted: &Wanted<'_>,
    path: &str,
    before: &Things<'_>,
    after: &Things<'_>,
) -> Vec<LineEdit> {
    let (start_before, old) = before.of_thing(&wanted.path);
    let (start_after, new) = after.of_thing(&wanted.path);
    let mut edits = Vec::new();
    let long = old.len().max(new.len()) > MOST_COMPARED;
    let kept = if long { in_order(old, new) } else { common(old, new) };
    let (mut i, mut j) = (0, 0);
    for (a, b) in kept.into_iter().chain([(old.len(), new.len())]) {
        while i < a || j < b {
            let side = |lines: &[&str], at: usize, end: usize| {
                (at < end).then(|| lines[at].trim().to_owned())
            };
            let (was, is) = (side(old, i, a), side(new, j, b));
            let line = if is.is_some() { start_after + j } else { start_before + i };
            edits.push(LineEdit {
                name: wanted.name.clone(),
                path: path.to_owned(),
                line: line + 1,
                before: was,
                after: is,
            });
            (i, j) = ((i + 1).min(a), (j + 1).min(b));
        }
        (i, j) = (a + 1, b + 1);
    }
    edits
}
