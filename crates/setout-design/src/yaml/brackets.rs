//! Brackets and braces that don't match, and what goes wrong inside them.

use super::blame::Stop;
use super::words::{floor_boundary, line_end, rest_of_line};
use super::{Problem, Span};

/// What the parser stopped at, if brackets have to do with it.
pub(super) fn explained(text: &str, stop: &Stop) -> Option<Problem> {
    let at = floor_boundary(text, stop.at);
    let Some(bracket) = stop.bracket else { return stray(text, stop, at) };
    let one_line = line_end(text, bracket) == line_end(text, at);
    let closed = stop.closed_at(text);
    if stop.info.contains("indentation") && !one_line && closed.is_some() {
        let message = "this line stands inside the brackets further up, but is not indented";
        let here = at..at + rest_of_line(text, at).len();
        let help = "indent it, and the line with the closing bracket, deeper than the name";
        return Some(Problem::yaml(here, message, help));
    }
    let closed = closed.is_some_and(|end| end > at && line_end(text, end) == line_end(text, at));
    sign(text, stop, at, one_line && closed).or_else(|| Some(open(text, stop, at, one_line)))
}

fn stray(text: &str, stop: &Stop, at: usize) -> Option<Problem> {
    let sign = text[at..].chars().next().filter(|_| stop.info.contains("misplaced bracket"))?;
    let message = format!("{sign} closes a bracket that was never opened");
    Some(Problem::yaml(at..at + 1, message, "delete it, or quote the whole value"))
}

/// A sign that means something else inside brackets.
fn sign(text: &str, stop: &Stop, at: usize, closed: bool) -> Option<Problem> {
    let here: Span = at..at + 1;
    if stop.info.contains("cannot start with '-'") {
        let message = "a dash stands before a comma or a bracket, with nothing behind it";
        return Some(Problem::yaml(here, message, "delete the dash, or quote the item"));
    }
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
            let message = "this colon with a blank behind it stands inside a value";
            Some(Problem::yaml(here, message, "quote the value that it belongs to"))
        }
        _ => None,
    }
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
    Problem::yaml(inner..inner + 1, message, help)
}
