//! What the parser is given to read.
//!
//! The parser takes a tab in some places and stops at it in others, and it stops at the first
//! control character. It is therefore given blanks in their place, byte for byte, so that every
//! place stays the same and one run finds everything else. The tabs themselves are judged where
//! they stand in the true text: between tokens they are faults, within quotes they are not.

use std::borrow::Cow;

use super::words::{break_len, line_end, line_start, skip_blanks};
use super::{Problem, Span};

/// How many control characters of one text are named.
const MOST_NAMED: usize = 10;

/// Bytes as text.
///
/// # Errors
/// The place of the first byte that is no UTF-8.
pub fn utf8(bytes: &[u8]) -> Result<&str, Problem> {
    std::str::from_utf8(bytes).map_err(|error| {
        let start = error.valid_up_to();
        let wide = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
        let encoding = if wide { "; it looks like UTF-16" } else { "" };
        let message = format!("the file is not UTF-8 text{encoding}");
        Problem::yaml(start..start + 1, message, "save the file as UTF-8 in the editor")
    })
}

/// The text with blanks for tabs and control characters, and the faults of the latter.
pub(super) fn prepare(text: &str) -> (Cow<'_, str>, Vec<Problem>) {
    let (spans, problems) = unreadable_characters(text);
    let directives = directives(text);
    if directives.is_empty() {
        return (blanked(text, &spans), problems);
    }
    let parsed = blanked(&blanked(text, &directives), &spans).into_owned();
    (Cow::Owned(parsed), problems)
}

/// Where tabs and control characters stand, and the faults of the latter.
fn unreadable_characters(text: &str) -> (Vec<Span>, Vec<Problem>) {
    let mut spans: Vec<Span> = Vec::new();
    let mut problems: Vec<Problem> = Vec::new();
    // Nearly every text has none, and a look at its bytes is enough to know.
    let bytes = text.as_bytes();
    let pairs = bytes.iter().zip(bytes.get(1..).unwrap_or_default());
    let found = pairs.fold(false, |found, (byte, next)| found | may_be_unreadable(*byte, *next));
    if !(found || bytes.last().is_some_and(|last| may_be_unreadable(*last, b' '))) {
        return (spans, problems);
    }
    let mut more = 0;
    for (i, c) in text.char_indices().filter(|(i, c)| !is_readable(*i, *c)) {
        let span = i..i + c.len_utf8();
        if c != '\t' && problems.len() < MOST_NAMED {
            problems.push(unreadable(span.clone(), c));
        } else if c != '\t' {
            more += 1;
        }
        match spans.last_mut() {
            Some(last) if last.end == i => last.end = span.end,
            _ => spans.push(span),
        }
    }
    if let Some(last) = problems.last_mut().filter(|_| more > 0) {
        last.message += &format!(", and {more} more behind it");
    }
    (spans, problems)
}

/// Whether two bytes may begin a character that is not read: a control character of ASCII, U+0080
/// to U+009F, U+FEFF or what follows U+FFFD. Without branches, so that many are seen at once.
fn may_be_unreadable(byte: u8, next: u8) -> bool {
    let control = (byte < b' ') & (byte != b'\n') & (byte != b'\r') | (byte == 0x7f);
    let upper_control = (byte == 0xc2) & (next < 0xa0);
    let special = (byte == 0xef) & ((next == 0xbb) | (next == 0xbf));
    control | upper_control | special
}

/// The lines before the first content that begin with `%`. The parser counts bytes in them where
/// it counts characters everywhere else, and would give wrong places for all that follows.
fn directives(text: &str) -> Vec<Span> {
    let mut spans = Vec::new();
    let mut start = line_start(text, 0);
    while start < text.len() {
        let end = line_end(text, start);
        match text.as_bytes()[start] {
            b'%' => spans.push(start..end),
            b'#' | b'\n' | b'\r' => {}
            _ if skip_blanks(text, start) == end => {}
            _ => break,
        }
        start = end + break_len(text, end);
    }
    spans
}

fn is_readable(at: usize, c: char) -> bool {
    match c {
        '\n' | '\r' => true,
        '\u{feff}' => at == 0,
        '\u{fffe}' | '\u{ffff}' => false,
        _ => !c.is_control(),
    }
}

fn unreadable(span: Span, c: char) -> Problem {
    let (message, help) = match c {
        '\u{feff}' => (
            "a byte-order mark stands inside the text".to_owned(),
            "delete it; it may only be the very first character of a file",
        ),
        '\0' => (
            "there is a NUL character here, which no text has".to_owned(),
            "delete it; if there are many, save the file as UTF-8 in the editor",
        ),
        _ => (
            format!("there is an invisible control character here (U+{:04X})", u32::from(c)),
            "delete it",
        ),
    };
    Problem::yaml(span, message, help)
}

/// The text with blanks in some places, as many as there were bytes.
pub(super) fn blanked<'t>(text: &'t str, spans: &[Span]) -> Cow<'t, str> {
    if spans.is_empty() {
        return Cow::Borrowed(text);
    }
    let mut result = String::with_capacity(text.len());
    let mut done = 0;
    for span in spans {
        result.push_str(&text[done..span.start]);
        let breaks = |c: char| matches!(c, '\n' | '\r');
        for c in text[span.clone()].chars() {
            if breaks(c) {
                result.push(c);
            } else {
                result.extend(std::iter::repeat_n(' ', c.len_utf8()));
            }
        }
        done = span.end;
    }
    result.push_str(&text[done..]);
    Cow::Owned(result)
}
