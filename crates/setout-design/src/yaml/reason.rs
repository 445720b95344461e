//! Reasons of the parser that have one cause each, and are told at the place where it stopped.

use super::blame::Stop;
use super::gap::directive;
use super::words::{
    floor_boundary, is_blank, line_end, line_start, rest_of_line, rest_span, skip_blanks,
};
use super::{Problem, Span, explain::property, gap::tab, quote};

/// What the parser stopped at, if its reason alone says it.
pub(super) fn explained(text: &str, stop: &Stop) -> Option<Problem> {
    let at = floor_boundary(text, stop.at);
    let rest = rest_of_line(text, at);
    let here = at..at + rest.len();
    let says = |words: &str| stop.info.contains(words);
    if says("tag") || says("anchor") || says("handle") {
        return rest.starts_with(['!', '&', '*']).then(|| property(text, at, false));
    }
    if says("before directive") {
        return Some(directive(here));
    }
    let (message, help) = if says("after document end") {
        let message = "this stands on the line of three dots that ends the document";
        (message.to_owned(), "delete the line".to_owned())
    } else if says("comment intercepting") {
        let message = "a comment stands between the lines of one value";
        (message.to_owned(), "put the comment above the name, or the value on one line".to_owned())
    } else if says("scanning a block scalar") {
        let sign = rest.chars().next()?;
        (format!("a value that begins with {sign} must be quoted"), quote::advice(rest))
    } else if says("cannot start with '-'") {
        let message = "a dash stands before a comma or a bracket, with nothing behind it";
        let help = "delete the dash, or quote the item".to_owned();
        return Some(Problem::yaml(at..at + 1, message, help));
    } else if says("illegal placement of ':'") && is_first(text, at) {
        let message = "this colon stands on another line than its name";
        (message.to_owned(), "put the name and its colon on one line".to_owned())
    } else {
        return None;
    };
    Some(Problem::yaml(here, message, help))
}

fn is_first(text: &str, at: usize) -> bool {
    skip_blanks(text, line_start(text, at)) == at
}

/// A line that is indented less than the text block that it stands in, or a tab on a line above
/// that only looks empty.
pub(super) fn shallow_line(text: &str, at: usize) -> Problem {
    if let Some(span) = tab_above(text, at) {
        return tab(text, span);
    }
    let here = rest_span(text, at);
    let message = "this line is indented less than the text block that it stands in";
    Problem::yaml(here, message, "indent all lines of the block alike")
}

fn tab_above(text: &str, at: usize) -> Option<Span> {
    let top = line_start(text, 0);
    let mut start = line_start(text, at);
    let mut found = None;
    while start > top {
        start = line_start(text, start - 1);
        let line = &text[start..line_end(text, start)];
        if !line.trim_start_matches([' ', '\t']).is_empty() {
            break;
        }
        found = line.find('\t').map(|i| start + i).or(found);
    }
    let start = found?;
    let length = text.as_bytes()[start..].iter().take_while(|b| **b == b'\t').count();
    Some(start..start + length)
}

/// A line that begins with a tag or an anchor, or with `---`, says what is wrong with it.
pub(super) fn first_word(text: &str, first: usize) -> Option<Problem> {
    let line = rest_of_line(text, first);
    if line.starts_with(['!', '&', '*']) {
        return Some(property(text, first, false));
    }
    let behind =
        line.strip_prefix("---").filter(|rest| rest.bytes().next().is_some_and(is_blank))?;
    let start = first + line.len() - behind.trim_start().len();
    let message = "a name stands on the line of ---";
    Some(Problem::yaml(start..first + line.len(), message, "put it on the line below"))
}
