//! Small questions about lines of text, asked in bytes.

use super::Span;

/// The character boundary at or before a byte; beyond the end, the end.
pub(super) fn floor_boundary(text: &str, byte: usize) -> usize {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte -= 1;
    }
    byte
}

/// The character boundary at or behind a byte; beyond the end, the end.
pub(super) fn ceil_boundary(text: &str, byte: usize) -> usize {
    let mut byte = byte.min(text.len());
    while !text.is_char_boundary(byte) {
        byte += 1;
    }
    byte
}

pub(super) fn is_break(byte: u8) -> bool {
    matches!(byte, b'\n' | b'\r')
}

pub(super) fn is_blank(byte: u8) -> bool {
    matches!(byte, b' ' | b'\t')
}

/// Where the line of a byte begins, behind a byte-order mark.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    let before = &text.as_bytes()[..at.min(text.len())];
    let start = before.iter().rposition(|b| is_break(*b)).map_or(0, |i| i + 1);
    if start == 0 && text.starts_with('\u{feff}') { 3 } else { start }
}

/// How many bytes stand before a byte on its line.
pub(super) fn column(text: &str, at: usize) -> usize {
    at.saturating_sub(line_start(text, at))
}

/// Where the line of a byte ends, before its line break.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    let at = at.min(text.len());
    let behind = &text.as_bytes()[at..];
    behind.iter().position(|b| is_break(*b)).map_or(text.len(), |i| at + i)
}

/// How many bytes the line break at a byte has; none at the end of the text.
pub(super) fn break_len(text: &str, at: usize) -> usize {
    match text.as_bytes().get(at..).unwrap_or_default() {
        [b'\r', b'\n', ..] => 2,
        [b'\r' | b'\n', ..] => 1,
        _ => 0,
    }
}

/// The byte behind the line break at a byte, if there is one.
pub(super) fn skip_break(text: &str, at: usize) -> usize {
    at + break_len(text, at)
}

/// Where the line break begins that ends before the start of a line.
pub(super) fn break_before(text: &str, line: usize) -> Option<usize> {
    match text.as_bytes().get(..line)? {
        [.., b'\r', b'\n'] => Some(line - 2),
        [.., b'\r' | b'\n'] => Some(line - 1),
        _ => None,
    }
}

/// The first line break of a text.
pub(super) fn break_of(text: &str) -> Option<&str> {
    let end = line_end(text, 0);
    text.get(end..skip_break(text, end)).filter(|found| !found.is_empty())
}

/// The lines of a text without their breaks.
pub(crate) fn lines(text: &str) -> Vec<&str> {
    let (mut lines, mut start) = (Vec::new(), 0);
    loop {
        let end = line_end(text, start);
        lines.push(&text[start..end]);
        if break_len(text, end) == 0 {
            return lines;
        }
        start = skip_break(text, end);
    }
}

/// The first byte at or behind `at` that is no blank.
pub(super) fn skip_blanks(text: &str, at: usize) -> usize {
    let behind = text.as_bytes().get(at..).unwrap_or_default();
    at + behind.iter().take_while(|b| is_blank(**b)).count()
}

/// Where the character at a byte stands; nowhere at the end of the text.
pub(super) fn character(text: &str, at: usize) -> Span {
    at..ceil_boundary(text, at + 1)
}

/// Where the text from `at` to the end of its line stands, without blanks around it and without a
/// comment.
pub(super) fn rest_span(text: &str, at: usize) -> Span {
    let start = skip_blanks(text, at);
    start..start + rest_of_line(text, start).len()
}

/// The text from `at` to the end of its line, without blanks around it and without a comment.
pub(super) fn rest_of_line(text: &str, at: usize) -> &str {
    let rest = text.get(at..line_end(text, at)).unwrap_or_default();
    let comment = rest.match_indices('#').map(|(i, _)| i).find(|i| {
        let before = i.checked_sub(1).and_then(|i| rest.as_bytes().get(i));
        before.is_none_or(|b| is_blank(*b))
    });
    rest[..comment.unwrap_or(rest.len())].trim_matches([' ', '\t'])
}
