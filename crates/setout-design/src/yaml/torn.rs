//! Formulas inside brackets or braces, torn apart at their commas.
//!
//! `[0, max(a, b)]` is read as the three items `0`, `max(a` and `b)`. An item whose parentheses
//! don't match is a fault; where the rest of it can be found, the pieces are put together again,
//! so that nobody complains about three items in place of two.

use super::words::skip_blanks;
use super::{Problem, Span, quote};

/// How many parentheses are opened but not closed, outside of strings; negative when a closing
/// one comes first.
pub(super) fn open_parentheses(item: &str) -> isize {
    let mut open = 0;
    let mut quote = None;
    for byte in item.bytes() {
        match (byte, quote) {
            (_, Some(mark)) if byte == mark => quote = None,
            (_, Some(_)) => {}
            (b'"' | b'\'', None) => quote = Some(byte),
            (b'(', None) => open += 1,
            (b')', None) if open == 0 => return -1,
            (b')', None) => open -= 1,
            _ => {}
        }
    }
    open
}

/// The bytes of the whole formula that begins at `start`, and whether it is complete.
pub(super) fn whole(text: &str, start: usize) -> (Span, bool) {
    let bytes = text.as_bytes();
    let mut open = 0usize;
    let mut at = start;
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'"' | b'\'' => at = closing_quote(bytes, at),
            b'[' | b']' | b'{' | b'}' => break,
            b',' if open == 0 => break,
            b'#' if at > start && bytes[at - 1].is_ascii_whitespace() => break,
            b'(' => open += 1,
            b')' if open == 0 => return (trimmed(text, start..at + 1), false),
            b')' => open -= 1,
            _ => {}
        }
        at += 1;
    }
    (trimmed(text, start..at.min(text.len())), open == 0)
}

/// Where a string ends: at its closing quote, or before the end of its line.
fn closing_quote(bytes: &[u8], at: usize) -> usize {
    let ends = |b: &u8| *b == bytes[at] || matches!(b, b'\n' | b'\r');
    let length = bytes[at + 1..].iter().position(ends);
    length.map_or(bytes.len(), |length| at + 1 + length)
}

fn trimmed(text: &str, span: Span) -> Span {
    let length = text[span.clone()].trim_end().len();
    span.start..span.start + length
}

/// The fault of a torn item.
pub(super) fn problem(text: &str, span: &Span, complete: bool) -> Problem {
    let value = &text[span.clone()];
    let shown = quote::shown(value);
    if complete {
        let message = format!("the comma in {shown} ends this item, as commas do inside brackets");
        return Problem::yaml(span.clone(), message, quote::advice(value));
    }
    let open = open_parentheses(value);
    if open < 0 {
        let message = format!("{shown} has a closing parenthesis and no opening one");
        return Problem::yaml(
            span.clone(),
            message,
            "write the opening one, or delete the closing one",
        );
    }
    let message = format!("{shown} has an opening parenthesis and no closing one");
    let mended = value.to_owned() + &")".repeat(open.unsigned_abs());
    let help = if value.contains(',') {
        format!("close it and {}", quote::advice(&mended))
    } else {
        format!("close it: {}", quote::shown(&mended))
    };
    Problem::yaml(span.clone(), message, help)
}

/// What goes wrong in braces without a blank behind the colon: `{a:1}` has a key `a:1`.
pub(super) fn glued(text: &str, key: &Span) -> Option<Problem> {
    let (name, value) = text[key.clone()].split_once(':')?;
    let message = format!("there is no blank behind the colon of {}", quote::shown(name));
    let help = format!("write {name}: {}", &value[skip_blanks(value, 0)..]);
    Some(Problem::yaml(key.clone(), message, help))
}
