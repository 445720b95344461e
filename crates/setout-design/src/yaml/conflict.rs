//! What a merge leaves in a text where both sides changed the same lines.

use std::borrow::Cow;

use super::prepare::blanked;
use super::words::{break_len, line_end};
use super::{Problem, Span};

/// The marks in the order in which they stand; the second is there in some styles only.
const MARKS: [&str; 4] = ["<<<<<<<", "|||||||", "=======", ">>>>>>>"];

/// The text with blanks for the marks and for all but the first side, so that the rest can be
/// read; and a fault for every conflict.
pub(super) fn set_aside(text: &str) -> (Cow<'_, str>, Vec<Problem>) {
    let mut problems = Vec::new();
    let mut aside: Vec<Span> = Vec::new();
    if !text.contains(MARKS[0]) {
        return (Cow::Borrowed(text), problems);
    }
    let (mut start, mut state) = (0, None);
    while start < text.len() {
        let end = line_end(text, start);
        let mark = mark(&text[start..end]);
        match (mark, state) {
            (Some(0), None) => {
                problems.push(problem(start..end));
                aside.push(start..end);
                state = Some(0);
            }
            (Some(3), Some(_)) => {
                aside.push(start..end);
                state = None;
            }
            (Some(next @ 1..=2), Some(_)) => {
                aside.push(start..end);
                state = Some(next);
            }
            (_, Some(1..)) => aside.push(start..end),
            _ => {}
        }
        start = end + break_len(text, end);
    }
    (blanked(text, &aside), problems)
}

/// Which mark a line is.
fn mark(line: &str) -> Option<usize> {
    MARKS.iter().position(|mark| {
        line.strip_prefix(mark).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
    })
}

fn problem(span: Span) -> Problem {
    let message = "a merge left a conflict here, with both sides between its marks";
    let help =
        "keep what should stand, and delete the lines that begin with <<<<<<<, ======= and >>>>>>>";
    Problem::yaml(span, message, help)
}
