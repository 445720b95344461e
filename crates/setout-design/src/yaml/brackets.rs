//! Brackets and braces that don't match, and what goes wrong inside them.

use super::blame::Stop;
use super::words::{character, floor_boundary, line_end, line_start, rest_span, skip_blanks};
use super::{Problem, Span, quote};

/// What the parser stopped at, if brackets have to do with it.
pub(super) fn explained(text: &str, stop: &Stop) -> Option<Problem> {
    let at = floor_boundary(text, stop.at);
    let Some(bracket) = stop.bracket else { return stray(text, stop, at) };
    let one_line = line_end(text, bracket) == line_end(text, at);
    let closed = stop.closed_at(text);
    if stop.info.contains("indentation") && !one_line && closed.is_some() {
        let message = "this line stands inside the brackets further up, but is not indented";
        let here = rest_span(text, at);
        let help = "indent it, and the line with the closing bracket, deeper than the name";
        return Some(Problem::yaml(here, message, help));
    }
    let closed = closed.is_some_and(|end| end > at && line_end(text, end) == line_end(text, at));
    let closed = closed && one_line || !one_line && balanced(text, stop.inner.unwrap_or(at), at);
    let inside = || closed.then(|| inside(text, stop, at)).flatten();
    sign(text, stop, at, closed).or_else(inside).or_else(|| Some(open(text, stop, at, one_line)))
}

fn stray(text: &str, stop: &Stop, at: usize) -> Option<Problem> {
    let sign = text[at..].chars().next().filter(|_| stop.info.contains("misplaced bracket"))?;
    let message = format!("{sign} closes a bracket that was never opened");
    Some(Problem::yaml(character(text, at), message, "delete it, or quote the whole value"))
}

/// A sign that means something else inside brackets.
fn sign(text: &str, stop: &Stop, at: usize, closed: bool) -> Option<Problem> {
    let here = character(text, at);
    if stop.info.contains("may not precede") {
        let message = "there is no blank behind this colon";
        return Some(Problem::yaml(here, message, "put a blank behind the colon"));
    }
    match text.as_bytes().get(at) {
        Some(b',') if closed => {
            let message = "there is nothing before this comma";
            Some(Problem::yaml(here, message, "delete the comma, or write the value"))
        }
        Some(b':') if closed => {
            let first = skip_blanks(text, line_start(text, at));
            if first < at && !text[first..at].contains([' ', ',', '[', '{']) {
                return Some(no_comma(text, rest_span(text, first)));
            }
            let message = "this colon with a blank behind it stands inside a value";
            Some(Problem::yaml(here, message, "quote the value that it belongs to"))
        }
        _ => None,
    }
}

/// Whether a bracket has its like behind the place where the parser stopped.
fn balanced(text: &str, bracket: usize, at: usize) -> bool {
    let mut open = Vec::new();
    for (i, byte) in text.bytes().enumerate().skip(bracket) {
        match byte {
            b'[' => open.push(b']'),
            b'{' => open.push(b'}'),
            b']' | b'}' if open.pop() != Some(byte) => return false,
            b']' | b'}' if open.is_empty() => return i >= at,
            _ => {}
        }
    }
    false
}

fn no_comma(text: &str, here: Span) -> Problem {
    let message = format!("there is no comma before {}", quote::shown(&text[here.clone()]));
    let help = "put a comma between the two, or quote them if they are one value";
    Problem::yaml(here, message, help)
}

/// What else goes wrong inside brackets that are closed.
fn inside(text: &str, stop: &Stop, at: usize) -> Option<Problem> {
    let here = rest_span(text, at);
    if here.is_empty() || matches!(text.as_bytes()[at], b']' | b'}') {
        return None;
    }
    if stop.info.contains("expected ','") {
        return Some(no_comma(text, here));
    }
    let message = format!("{} cannot stand inside brackets", quote::shown(&text[here.clone()]));
    Some(Problem::yaml(here, message, "quote the value that it belongs to"))
}

/// A bracket that is not closed, or not by its like.
fn open(text: &str, stop: &Stop, at: usize, one_line: bool) -> Problem {
    let inner = stop.inner.unwrap_or(at);
    let (opening, closing) = if text[inner..].starts_with('{') { ('{', '}') } else { ('[', ']') };
    let message = if one_line && matches!(text.as_bytes().get(at), Some(b']' | b'}')) {
        format!("the {opening} is closed by a bracket of another kind")
    } else {
        format!("the {opening} is never closed")
    };
    let help = format!("put a {closing} at the end, or quote the whole value if it is a text");
    Problem::yaml(character(text, inner), message, help)
}
