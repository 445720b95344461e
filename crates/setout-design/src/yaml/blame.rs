//! Where the parser stopped, and which entry is to blame for it.
//!
//! The parser often notices a fault lines later: an unclosed bracket at the next colon, a missing
//! colon at the next name.

use super::Span;
use super::build::{Builder, Frame, Kind, Slot};
use super::words::{break_len, column, is_blank, line_end, line_start, skip_blanks};

/// A line that begins with more than this before its colon begins with no name.
const LONGEST_NAME: usize = 100;

/// What is known at the place where the parser stopped.
#[derive(Debug)]
pub(super) struct Stop {
    pub(super) at: usize,
    /// The parser's reason.
    pub(super) info: String,
    /// The outermost bracket or brace that is still open.
    pub(super) bracket: Option<usize>,
    /// The innermost one.
    pub(super) inner: Option<usize>,
    /// The last key outside of brackets.
    key: Option<Span>,
    /// Whether that key still waits for its value.
    waiting: bool,
    scalar: Span,
}

impl Stop {
    pub(super) fn new(at: usize, info: &str, builder: &Builder<'_>) -> Self {
        let flow = builder.stack.iter().position(|frame| frame.flow);
        let block: Option<&Frame> = match flow {
            Some(i) => i.checked_sub(1).and_then(|i| builder.stack.get(i)),
            None => builder.stack.last(),
        };
        let (key, waiting) = match block.map(|frame| &frame.kind) {
            Some(Kind::Map(_, Slot::Value(key))) => (Some(key.span.clone()), true),
            Some(Kind::Map(entries, _)) => {
                (entries.last().map(|entry| entry.key.span.clone()), false)
            }
            _ => (None, false),
        };
        let inner = builder.stack.iter().rfind(|frame| frame.closes).map(|frame| frame.start);
        let bracket = flow.and_then(|i| builder.stack.get(i)).map(|frame| frame.start);
        let scalar = builder.last_scalar.clone();
        Self { at, info: info.to_owned(), bracket, inner, key, waiting, scalar }
    }

    /// Where the value to blame begins, behind its colon or dash, and the column of its entry.
    pub(super) fn value(&self, text: &str) -> Option<(usize, usize)> {
        let Some(key) = &self.key else {
            let bracket = self.bracket?;
            let before = &text.as_bytes()[..bracket];
            let start = bracket - before.iter().rev().take_while(|b| is_blank(**b)).count();
            return Some((start, column(text, start.checked_sub(1)?)));
        };
        let same_line = line_end(text, key.end) == line_end(text, self.at);
        if !self.waiting && self.bracket.is_none() && !same_line {
            return None;
        }
        let colon = skip_blanks(text, key.end);
        let start = if text.as_bytes().get(colon) == Some(&b':') { colon + 1 } else { key.end };
        Some((start, column(text, key.start)))
    }

    /// Where the outermost open bracket is closed after all, though by a line that is not indented.
    pub(super) fn closed_at(&self, text: &str) -> Option<usize> {
        let start = self.bracket?;
        let mut open = 0usize;
        let mut line = 0;
        for (i, byte) in text.bytes().enumerate().skip(start) {
            match byte {
                b'[' | b'{' => open += 1,
                b']' | b'}' if open == 1 => return Some(i + 1),
                b']' | b'}' => open -= 1,
                b'\n' => line = i + 1,
                // A name at the start of a line belongs to the next entry.
                b':' if line > 0
                    && i - line < LONGEST_NAME
                    && !text[line..i].trim_start().is_empty()
                    && !text[line..i].trim_start().contains([' ', '[', '{', ',']) =>
                {
                    return None;
                }
                _ => {}
            }
        }
        None
    }

    /// The first byte that is no blank on the line to blame.
    pub(super) fn line(&self, text: &str) -> usize {
        let at = self.at.min(text.len());
        if self.scalar_has_no_colon(text) {
            return self.scalar.start;
        }
        let start = line_start(text, at);
        let first = skip_blanks(text, start);
        let late = ["simple key expect", "illegal placement of ':'"];
        let noticed_late = at <= first && late.iter().any(|late| self.info.contains(late));
        if noticed_late || first >= text.len() { content_line_before(text, start) } else { first }
    }

    /// Whether a line without a colon was read as one text with the line behind it.
    pub(super) fn scalar_has_no_colon(&self, text: &str) -> bool {
        let start = self.scalar.start;
        let alone = skip_blanks(text, line_start(text, start)) == start;
        let goes_on = line_end(text, start) < line_end(text, self.at) && self.scalar.end <= self.at;
        self.info.contains("mapping values")
            && alone
            && goes_on
            && self.scalar.contains(&line_end(text, start))
    }
}

/// The first word of the last line with content before the line that begins at `start`.
fn content_line_before(text: &str, start: usize) -> usize {
    let mut end = start;
    while end > 0 {
        let line = line_start(text, end - 1).min(end - 1);
        let first = skip_blanks(text, line);
        let content = text.as_bytes().get(first).is_some_and(|b| !b"\r\n#".contains(b));
        if content && first < end {
            return first;
        }
        end = line;
    }
    start
}

/// What to blank out so that the rest can be read: the value to blame, else its line with all that
/// is indented below it. None if that has been tried.
pub(super) fn hole(text: &str, stop: &Stop, holes: &[Span]) -> Option<Span> {
    let flow = stop.bracket.is_some();
    let value = stop.value(text).map(|(start, column)| {
        let closed = stop.closed_at(text).map_or(0, |at| line_end(text, at));
        start..entry_end(text, start, column, flow).max(closed)
    });
    let line = (!flow).then(|| {
        let first = stop.line(text);
        let blanks = &text[first - column(text, first)..first];
        // What is indented with tabs says nothing about the lines behind it.
        let column = if blanks.contains('\t') { usize::MAX } else { blanks.len() };
        first..entry_end(text, first, column, false)
    });
    let fresh = |hole: &Span| {
        let content = text.get(hole.clone()).is_some_and(|text| !text.trim().is_empty());
        content && holes.iter().all(|old| hole.end <= old.start || old.end <= hole.start)
    };
    value.into_iter().chain(line).find(fresh)
}

/// The end of the last line that belongs to an entry of this column: those indented deeper, and
/// the bracket that closes it.
fn entry_end(text: &str, from: usize, column: usize, flow: bool) -> usize {
    let mut end = line_end(text, from);
    let mut at = end;
    loop {
        let next = at + break_len(text, at);
        if next == at {
            return end;
        }
        at = line_end(text, next);
        let first = skip_blanks(text, next);
        let closing = flow && matches!(text.as_bytes().get(first), Some(b']' | b'}'));
        if first == at {
            continue;
        }
        if first - next <= column && !closing {
            return end;
        }
        end = at;
    }
}
