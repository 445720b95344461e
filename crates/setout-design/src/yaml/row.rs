//! What belongs to an entry of a map or an item of a list: its lines, its comments, its comma.

use super::words::{break_before, break_len, column, line_end, line_start, rest_of_line};
use super::words::{skip_blanks, skip_break};
use super::{Node, Span};

/// The entries of a map or the items of a list.
#[derive(Debug)]
pub(super) struct Row<'t> {
    text: &'t str,
    /// Each from its key, or its dash, to the end of its value.
    spans: Vec<Span>,
    flow: bool,
    /// What stands above the line of this byte belongs to something else.
    floor: Option<usize>,
}

impl<'t> Row<'t> {
    /// The row of a node; `floor` is the end of the key that it stands behind.
    pub(super) fn of(text: &'t str, node: &Node, floor: Option<usize>) -> Option<Self> {
        let (flow, spans) = match node {
            Node::Map(map) => {
                let span = |entry: &super::Entry| entry.key.span.start..entry.value.span().end;
                (map.flow, map.entries.iter().map(span).collect())
            }
            Node::List(list) => {
                let span = |item: &Node| {
                    let item = item.span();
                    let start = if list.flow { Some(item.start) } else { dash(text, item.start) };
                    Some(start?..item.end)
                };
                (list.flow, list.items.iter().map(span).collect::<Option<_>>()?)
            }
            _ => return None,
        };
        let floor = if flow { Some(node.span().start) } else { floor };
        Some(Self { text, spans, flow, floor })
    }

    pub(super) fn text(&self) -> &'t str {
        self.text
    }

    /// The bytes from the key or the dash to the end of the value.
    pub(super) fn span(&self, i: usize) -> Span {
        self.spans[i].clone()
    }

    pub(super) fn len(&self) -> usize {
        self.spans.len()
    }

    /// Whether it stands in brackets or braces.
    pub(super) fn is_flow(&self) -> bool {
        self.flow
    }

    /// The lines that are its own, without their last line break: comments that adjoin it above,
    /// and those below that are indented deeper. None if it shares a line with something.
    pub(super) fn lines(&self, i: usize) -> Option<Span> {
        let span = &self.spans[i];
        let start = line_start(self.text, span.start);
        let behind = rest_of_line(self.text, span.end);
        let alone = self.text[start..span.start].trim().is_empty()
            && (behind.is_empty() || self.flow && behind == ",");
        alone.then(|| self.above(i, start)..self.below(i))
    }

    /// From the line of its key or dash to the end of its last line, with the line break. None if
    /// it shares a line with something.
    pub(super) fn own_lines(&self, i: usize) -> Option<Span> {
        let lines = self.lines(i)?;
        Some(line_start(self.text, self.spans[i].start)..skip_break(self.text, lines.end))
    }

    /// Where the first comment above begins that belongs to it. A deeper one belongs to what
    /// stands above, if there is anything.
    fn above(&self, i: usize, mut start: usize) -> usize {
        let floor = if i == 0 { self.floor } else { Some(self.spans[i - 1].end) };
        let own = column(self.text, self.spans[i].start);
        while let Some(end) = break_before(self.text, start) {
            let line = line_start(self.text, end);
            let indent = skip_blanks(self.text, line) - line;
            let comment = self.text[line + indent..end].starts_with('#');
            if !comment || floor.is_some_and(|floor| line <= floor) || i > 0 && indent > own {
                break;
            }
            start = line;
        }
        start
    }

    /// The end of its last line, or of the last comment below that is indented deeper than it.
    fn below(&self, i: usize) -> usize {
        let own = column(self.text, self.spans[i].start);
        let mut end = line_end(self.text, self.spans[i].end);
        while !self.flow && break_len(self.text, end) > 0 {
            let line = skip_break(self.text, end);
            let first = skip_blanks(self.text, line);
            if first - line <= own || !self.text[first..].starts_with('#') {
                break;
            }
            end = line_end(self.text, line);
        }
        end
    }

    /// Where the blank lines end that follow its lines, and with `comments` these too. Blank lines
    /// may belong to a block before them, and comments must not come to belong to one.
    pub(super) fn behind_gap(&self, i: usize, comments: bool) -> Option<usize> {
        let mut line = skip_break(self.text, self.lines(i)?.end);
        loop {
            let (first, end) = (skip_blanks(self.text, line), line_end(self.text, line));
            let passed = first == end || comments && self.text[first..].starts_with('#');
            if !passed || break_len(self.text, end) == 0 {
                return Some(if passed { end } else { line });
            }
            line = skip_break(self.text, end);
        }
    }

    /// Where the comma behind it stands, in brackets or braces.
    pub(super) fn comma(&self, i: usize) -> Option<usize> {
        if !self.flow {
            return None;
        }
        let mut at = self.spans[i].end;
        loop {
            match self.text.as_bytes().get(at)? {
                b',' => return Some(at),
                b'#' => at = line_end(self.text, at),
                b if b.is_ascii_whitespace() => at += 1,
                _ => return None,
            }
        }
    }

    /// The bytes that could be deleted for it to be gone, the best way first.
    pub(super) fn removals(&self, i: usize) -> Vec<Span> {
        let mut ways = Vec::new();
        if let Some(lines) = self.lines(i) {
            let end = skip_break(self.text, lines.end);
            ways.extend(self.with_blank_line(i, lines.start..end));
            ways.push(lines.start..end);
            ways.extend(self.behind_gap(i, false).map(|end| lines.start..end));
        }
        if self.flow {
            ways.extend(self.within_a_line(i));
        }
        ways
    }

    /// The lines with one of the blank lines that then would follow each other.
    fn with_blank_line(&self, i: usize, lines: Span) -> Option<Span> {
        let above = break_before(self.text, lines.start)?;
        let first = line_start(self.text, above);
        let is_first = i == 0 && self.floor.is_some_and(|floor| first <= floor);
        let is_blank = |line| skip_blanks(self.text, line) == line_end(self.text, line);
        if lines.end == self.text.len() {
            return is_blank(first).then_some(first..lines.end);
        }
        let below = skip_break(self.text, line_end(self.text, lines.end));
        ((is_blank(first) || is_first) && is_blank(lines.end)).then_some(lines.start..below)
    }

    /// The entry with its comma, and without its comments.
    fn within_a_line(&self, i: usize) -> Vec<Span> {
        let Span { start, end } = self.span(i);
        let mut ways = Vec::new();
        let plain = |span: &Span| !self.text[span.clone()].contains(['#', '\n', '\r']);
        if let Some(next) = self.spans.get(i + 1) {
            ways.extend(Some(start..next.start).filter(|_| plain(&(end..next.start))));
        } else if i > 0 {
            let before = self.spans[i - 1].end;
            ways.extend(Some(before..end).filter(|_| plain(&(before..start))));
        }
        let comma = self.comma(i).filter(|comma| plain(&(end..*comma)));
        let behind = comma.map(|comma| skip_blanks(self.text, comma + 1));
        ways.push(start..behind.unwrap_or(end));
        ways
    }
}

/// The dash before an item.
fn dash(text: &str, item: usize) -> Option<usize> {
    let before = text.get(..item)?.trim_end_matches([' ', '\t']);
    before.ends_with('-').then(|| before.len() - 1)
}
