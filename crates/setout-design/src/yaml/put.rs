//! An entry taken out of one text put into another, in the way in which that one is written.
//!
//! Its lines move as they are, but for their indentation. Only what stood in lines and comes to
//! stand in braces is written anew.

use super::row::Row;
use super::take::{Taken, map_at_mut, position, same_faults};
use super::words::{break_of, column, line_end, line_start, skip_blanks};
use super::{Entry, Lines, Map, Node, Scalar, Span, SpliceError, Style};
use super::{quote, read, same_except};

/// Where an entry is to stand.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Section<'s> {
    /// The key of the map it is put into; the map is made if there is none.
    pub(crate) key: &'s str,
    /// The keys of a table in their usual order.
    pub(crate) order: &'s [&'s str],
    /// The text that the entry comes from, whose manners count where this text has none.
    pub(crate) from: &'s str,
}

/// A text with an entry put in.
#[derive(Clone, Debug)]
pub(crate) struct Put {
    /// The whole text.
    pub(crate) text: String,
    /// The first line of the entry, with its comments.
    pub(crate) line: usize,
    /// How many lines these are.
    pub(crate) count: usize,
}

/// The text with an entry as the last of a section.
pub(crate) fn put(text: &str, section: Section<'_>, taken: &Taken) -> Result<Put, SpliceError> {
    let (tree, problems) = read(text);
    let piece = Piece { text, section, taken, eol: eol(text, section.from) };
    let candidates = match &tree {
        None | Some(Node::Empty(_)) => vec![piece.as_only_section()],
        Some(Node::Map(root)) => piece.into_root(root),
        _ => Vec::new(),
    };
    let key = taken.entry.key.value.as_str();
    let said = tree.as_ref().filter(|tree| !matches!(tree, Node::Empty(_)));
    let is_good = |(result, _): &Placed| {
        let (Some(mut after), new_problems) = read(result) else { return false };
        let found = withdraw(&mut after, section.key, key, said);
        // Without it, all is as it was before.
        found.is_some_and(|found| alike(&found.value, &taken.entry.value))
            && same_except(said, Some(&after).filter(|_| said.is_some()), &[])
            && same_faults(&problems, &new_problems)
    };
    let fault = SpliceError::Inseparable { at: 0, key: key.to_owned() };
    let (text, own) = candidates.into_iter().find(is_good).ok_or(fault)?;
    let line_of = |byte| Lines::new(&text).line(byte);
    let (line, last) = (line_of(own.start), line_of(own.end));
    Ok(Put { text, line, count: last + 1 - line })
}

fn eol<'t>(text: &'t str, from: &'t str) -> &'t str {
    break_of(text).or(break_of(from)).unwrap_or("\n")
}

/// Takes the new entry out of the tree again, and its section if that was not there before.
fn withdraw(after: &mut Node, section: &str, key: &str, before: Option<&Node>) -> Option<Entry> {
    let map = map_at_mut(after, &[section])?;
    let index = position(map, key)?;
    let entry = map.entries.remove(index);
    let known = before.and_then(|tree| tree.as_map()?.get(section));
    let emptied = map.entries.is_empty();
    let root = map_at_mut(after, &[])?;
    match known {
        None if emptied => root.entries.retain(|of| of.key.value != section),
        Some(Node::Empty(_)) if emptied => {
            let of = root.entries.iter_mut().find(|of| of.key.value == section)?;
            of.value = known?.clone();
        }
        _ => {}
    }
    Some(entry)
}

/// Whether two values say the same, however they are written.
fn alike(a: &Node, b: &Node) -> bool {
    match (a, b) {
        (Node::Scalar(a), Node::Scalar(b)) => content(a) == content(b),
        (Node::List(a), Node::List(b)) => {
            a.items.len() == b.items.len() && a.items.iter().zip(&b.items).all(|(a, b)| alike(a, b))
        }
        (Node::Map(a), Node::Map(b)) => {
            let same =
                |(a, b): (&Entry, &Entry)| a.key.value == b.key.value && alike(&a.value, &b.value);
            a.entries.len() == b.entries.len() && a.entries.iter().zip(&b.entries).all(same)
        }
        (Node::Empty(a), Node::Empty(b)) => a.is_empty() == b.is_empty(),
        _ => false,
    }
}

/// The value without the line ends that only a block has.
fn content(scalar: &Scalar) -> &str {
    match scalar.style {
        Style::Literal | Style::Folded => scalar.value.trim_end_matches('\n'),
        _ => &scalar.value,
    }
}

/// A text, and the bytes of the entry's own lines in it.
type Placed = (String, Span);

struct Piece<'t> {
    text: &'t str,
    section: Section<'t>,
    taken: &'t Taken,
    eol: &'t str,
}

impl Piece<'_> {
    /// The text with something put in.
    fn inserted(&self, at: usize, lead: &str, own: &str, tail: &str) -> Option<Placed> {
        let (before, behind) = (self.text.get(..at)?, self.text.get(at..)?);
        let start = at + lead.len();
        Some((format!("{before}{lead}{own}{tail}{behind}"), start..start + own.len()))
    }

    /// At the end of a text that says nothing yet.
    fn as_only_section(&self) -> Placed {
        let (text, eol) = (self.text, self.eol);
        let ended = text.is_empty() || text == "\u{feff}" || text.ends_with(['\n', '\r']);
        let gap = if ended { "" } else { eol };
        let lead = format!("{text}{gap}{}:{eol}", self.section.key);
        let own = self.in_lines(2);
        (format!("{lead}{own}{eol}"), lead.len()..lead.len() + own.len())
    }

    fn into_root(&self, root: &Map) -> Vec<Placed> {
        match root.get(self.section.key) {
            Some(Node::Map(map)) if map.flow => self.into_braces(map),
            Some(Node::Map(map)) => self.behind_lines(root, map),
            Some(Node::Empty(_)) if !root.flow => self.below_key(root).into_iter().collect(),
            None if root.flow => self.into_root_in_braces(root),
            None => self.as_new_section(root),
            _ => Vec::new(),
        }
    }

    /// Behind the last entry of a section in lines.
    fn behind_lines(&self, root: &Map, map: &Map) -> Vec<Placed> {
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
    fn below_key(&self, root: &Map) -> Option<Placed> {
        let entry = &root.entries[position(root, self.section.key)?];
        let end = line_end(self.text, entry.key.span.end);
        let own = self.in_lines(column(self.text, entry.key.span.start) + 2);
        self.inserted(end, self.eol, &own, "")
    }

    /// In a section of its own: behind those that usually stand before it, else behind the last.
    fn as_new_section(&self, root: &Map) -> Vec<Placed> {
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
                let mut lines = super::words::lines(&text[..line_start(text, start)]);
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
    fn in_lines(&self, column: usize) -> String {
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

/// In braces.
impl Piece<'_> {
    fn into_braces(&self, map: &Map) -> Vec<Placed> {
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

    fn into_root_in_braces(&self, root: &Map) -> Vec<Placed> {
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
            return super::words::lines(&self.taken.source).join(self.eol);
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
