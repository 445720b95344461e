//! An entry put into a table that is written in braces.

use super::{Piece, Placed, content};
use crate::yaml::row::Row;
use crate::yaml::take::Taken;
use crate::yaml::words::{self, column, line_start, skip_blanks};
use crate::yaml::{Entry, Map, Node, Scalar, Style, quote};

impl Piece<'_> {
    pub(super) fn in_braces(&self, map: &Map) -> Vec<Placed> {
        let own = self.in_flow();
        if map.entries.is_empty() {
            let at = map.span.start + 1;
            let blank = if self.text[at..].starts_with(' ') { "" } else { " " };
            return self.inserted(at, " ", &own, blank).into_iter().collect();
        }
        let Some(row) = Row::of(self.text, &Node::Map(map.clone()), None) else {
            return Vec::new();
        };
        let mut found: Vec<_> = self.in_line_of_braces(map, &row).into_iter().collect();
        let lead = self.lead(map);
        let behind = |i: usize| self.inserted(row.span(i).end, &lead, &own, "");
        found.extend((0..row.len()).rev().filter_map(behind));
        found
    }

    /// In a line of its own where the last entry has one.
    fn in_line_of_braces(&self, map: &Map, row: &Row<'_>) -> Option<Placed> {
        let last = row.len().checked_sub(1)?;
        let (end, lines) = (row.span(last).end, row.lines(last)?);
        let comma = row.comma(last);
        let gap = &self.text[end..lines.end];
        let (comma, tail) = if comma.is_some() { ("", ",") } else { (",", "") };
        let own = format!("{}{}", self.comment_lines(map).concat(), self.in_flow());
        let lead = format!("{comma}{gap}{}{}", self.eol, self.indent(map));
        let (before, behind) = (&self.text[..end], &self.text[lines.end..]);
        let start = end + lead.len();
        Some((format!("{before}{lead}{own}{tail}{behind}"), start..start + own.len()))
    }

    /// What parts the entry from the one before: its comments, if it has any.
    fn lead(&self, map: &Map) -> String {
        let comments = self.comment_lines(map);
        if comments.is_empty() {
            return ", ".to_owned();
        }
        format!(",{}{}{}", self.eol, self.indent(map), comments.concat())
    }

    /// The comments of the entry, each with the line break and indentation behind it.
    fn comment_lines(&self, map: &Map) -> Vec<String> {
        let line = |comment: &String| format!("{comment}{}{}", self.eol, self.indent(map));
        let Taken { flow, comments, outer, .. } = self.taken;
        let told = if *flow { outer } else { comments };
        told.iter().map(line).collect()
    }

    /// The indentation of a line inside these braces.
    fn indent(&self, map: &Map) -> String {
        let row = Row::of(self.text, &Node::Map(map.clone()), None);
        let own = row.and_then(|row| {
            let line = (0..row.len()).find(|i| row.lines(*i).is_some())?;
            Some(column(self.text, row.span(line).start))
        });
        let line = line_start(self.text, map.span.start);
        let below = skip_blanks(self.text, line) - line + 2;
        " ".repeat(own.unwrap_or(below))
    }

    pub(super) fn in_root_of_braces(&self, root: &Map) -> Vec<Placed> {
        let own = format!("{}: {{ {} }}", self.section.key, self.in_flow());
        if root.entries.is_empty() {
            return self.inserted(root.span.start + 1, " ", &own, " ").into_iter().collect();
        }
        let lead = self.lead(root);
        let ends = root.entries.iter().rev().map(|entry| entry.value.span().end);
        ends.filter_map(|end| self.inserted(end, &lead, &own, "")).collect()
    }

    /// What stood in braces stands there as it did.
    fn in_flow(&self) -> String {
        if self.taken.flow {
            return words::lines(&self.taken.source).join(self.eol);
        }
        let Entry { key, value } = &self.taken.entry;
        format!("{}: {}", scalar(key), node(value))
    }
}

/// A value as it can stand in braces.
fn node(of: &Node) -> String {
    match of {
        Node::Scalar(of) => scalar(of),
        Node::Empty(_) => String::new(),
        Node::List(list) => {
            format!("[{}]", list.items.iter().map(node).collect::<Vec<_>>().join(", "))
        }
        Node::Map(map) if map.entries.is_empty() => "{}".to_owned(),
        Node::Map(map) => {
            let entry = |of: &Entry| format!("{}: {}", scalar(&of.key), node(&of.value));
            format!("{{ {} }}", map.entries.iter().map(entry).collect::<Vec<_>>().join(", "))
        }
    }
}

fn scalar(of: &Scalar) -> String {
    let value = content(of);
    match of.style {
        Style::Plain if quote::is_plain(value, true) => value.to_owned(),
        Style::Single if !value.chars().any(quote::needs_escape) => quote::single(value),
        _ => quote::double(value),
    }
}
