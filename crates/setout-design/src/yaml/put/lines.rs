//! An entry put into a table that is written in lines.

use super::{Piece, Placed};
use crate::yaml::row::Row;
use crate::yaml::take::{Taken, position};
use crate::yaml::words::{self, column, line_end, line_start};
use crate::yaml::{Map, Node, read};

impl Piece<'_> {
    /// Behind the last entry of a section in lines.
    pub(super) fn behind_lines(&self, root: &Map, map: &Map) -> Vec<Placed> {
        let floor = position(root, self.section.key).map(|at| root.entries[at].key.span.end);
        let Some(row) = Row::of(self.text, &Node::Map(map.clone()), floor) else {
            return Vec::new();
        };
        let behind = |i: usize| {
            let lines = row.lines(i)?;
            let own = self.in_lines(column(self.text, row.span(i).start));
            self.inserted(lines.end, self.eol, &own, "")
        };
        let last = row.len().checked_sub(1);
        let own = last.map(|last| self.in_lines(column(self.text, row.span(last).start)));
        let below = last.zip(own).map(|(last, own)| self.below_gap(&row, last, "", &own));
        last.and_then(behind).into_iter().chain(below.into_iter().flatten()).collect()
    }

    /// Below a section's key that has nothing behind it.
    pub(super) fn below_key(&self, root: &Map) -> Option<Placed> {
        let entry = &root.entries[position(root, self.section.key)?];
        let end = line_end(self.text, entry.key.span.end);
        let own = self.in_lines(column(self.text, entry.key.span.start) + 2);
        self.inserted(end, self.eol, &own, "")
    }

    /// In a section of its own: behind those that usually stand before it, else behind the last.
    pub(super) fn as_new_section(&self, root: &Map) -> Vec<Placed> {
        let Some(row) = Row::of(self.text, &Node::Map(root.clone()), None) else {
            return Vec::new();
        };
        let rank = |key: &str| self.section.order.iter().position(|of| *of == key);
        let own = rank(self.section.key);
        let before = |i: &usize| rank(&root.entries[*i].key.value) < own;
        let last = (0..row.len()).rev().find(before).or(row.len().checked_sub(1));
        let indent = root.entries.first().map_or(0, |of| column(self.text, of.key.span.start));
        let gap = if self.has_gaps(root) { self.eol } else { "" };
        let behind = |i: usize| {
            let (eol, key) = (self.eol, self.section.key);
            let lead = format!("{eol}{gap}{}{key}:{eol}", " ".repeat(indent));
            let end = row.lines(i)?.end;
            self.inserted(end, &lead, &self.in_lines(indent + 2), "")
        };
        let below = last.map(|last| {
            let lead = format!("{}{}:{}", " ".repeat(indent), self.section.key, self.eol);
            self.below_gap(&row, last, &lead, &self.in_lines(indent + 2))
        });
        last.and_then(behind).into_iter().chain(below.into_iter().flatten()).collect()
    }

    /// Below the blank lines behind an entry, which may belong to a block that it ends with; or
    /// below comments as well, which a block at the end of what is put in would take for its own.
    fn below_gap(&self, row: &Row<'_>, i: usize, lead: &str, own: &str) -> Vec<Placed> {
        let place = |comments| {
            let at = row.behind_gap(i, comments)?;
            if at == 0 || self.text[..at].ends_with(['\n', '\r']) {
                return self.inserted(at, lead, own, self.eol);
            }
            self.inserted(at, &format!("{}{lead}", self.eol), own, "")
        };
        [false, true].into_iter().filter_map(place).collect()
    }

    /// Whether blank lines part the sections of this table, or of the other if this has one alone.
    fn has_gaps(&self, root: &Map) -> bool {
        let parted = |text: &str, root: &Map| {
            let starts = root.entries.iter().skip(1).map(|of| of.key.span.start);
            let blank_above = |start: usize| {
                let mut lines = words::lines(&text[..line_start(text, start)]);
                lines.pop();
                let above = lines.iter().rev().find(|line| !line.trim_start().starts_with('#'));
                above.is_some_and(|line| line.trim().is_empty())
            };
            starts.map(blank_above).next_back()
        };
        parted(self.text, root).or_else(|| {
            let tree = read(self.section.from).0?;
            parted(self.section.from, tree.as_map()?)
        }) == Some(true)
    }

    /// The lines of the entry with its key in another column.
    pub(super) fn in_lines(&self, column: usize) -> String {
        let Taken { lines, key_line, column: old, flow, .. } = self.taken;
        let indent = " ".repeat(column);
        let moved = lines.iter().enumerate().map(|(i, line)| {
            let bare = line.trim_start_matches([' ', '\t']);
            let blanks = line.len() - bare.len();
            if i <= *key_line {
                return format!("{indent}{bare}");
            }
            if line.is_empty() {
                return String::new();
            }
            let shifted = (blanks + column).saturating_sub(*old);
            let least = if *flow && !bare.is_empty() { column + 2 } else { 0 };
            format!("{}{bare}", " ".repeat(shifted.max(least)))
        });
        moved.collect::<Vec<_>>().join(self.eol)
    }
}
