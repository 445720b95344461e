//! The parser's reasons in plain words.
//!
//! The value that the parser stumbled over says more than its message, so it is looked at first.

use super::blame::Stop;
use super::words::{floor_boundary, line_end, rest_of_line, rest_span, skip_blanks};
use super::{Problem, Span, brackets, explain::property, quote, reason};

/// What the parser stopped at.
pub(super) fn explained(text: &str, stop: &Stop) -> Problem {
    let value = stop.value(text).map(|(start, _)| {
        let start = skip_blanks(text, start);
        rest_span(text, start)
    });
    let value = value.filter(|span| !span.is_empty());
    by_first_sign(text, stop, value.as_ref())
        .or_else(|| by_comment(text, stop))
        .or_else(|| by_quotes(text, stop, value.as_ref()))
        .or_else(|| reason::explained(text, stop))
        .or_else(|| brackets::explained(text, stop))
        .or_else(|| by_line(text, stop, value.as_ref()))
        .unwrap_or_else(|| unknown(text, stop))
}

/// A value whose first character means something else to YAML.
fn by_first_sign(text: &str, stop: &Stop, value: Option<&Span>) -> Option<Problem> {
    let span = value?.clone();
    let value = &text[span.clone()];
    let first = value.chars().next()?;
    if matches!(first, '!' | '&' | '*') {
        return Some(property(text, span.start, false));
    }
    let list = stop.info.contains("block sequence entries");
    let block = stop.info.contains("block scalar") && span.contains(&stop.at);
    let stray = matches!(first, ',' | ']' | '}');
    if !(matches!(first, '@' | '`' | '%' | '?') || list || block || stray) {
        return None;
    }
    let advice = quote::advice(value);
    if value.starts_with("- ") {
        let message = "a value that begins with a dash and a blank is taken for a list";
        return Some(Problem::yaml(span, message, format!("take out the blank, or {advice}")));
    }
    let message = format!("a value that begins with {first} must be quoted");
    Some(Problem::yaml(span, message, advice))
}

/// Quotes that don't close, or close too early, and escapes.
fn by_quotes(text: &str, stop: &Stop, value: Option<&Span>) -> Option<Problem> {
    let at = floor_boundary(text, stop.at);
    let info = &stop.info;
    let here = rest_span(text, at);
    if info.contains("escape") || info.contains("hexadecimal") {
        let message = "in double quotes a backslash begins an escape, and there is none like this";
        let help = "write \\\\ for a backslash, or put the value in single quotes";
        return Some(Problem::yaml(here, message, help));
    }
    if info.contains("trailing content") {
        let message =
            format!("{} stands behind a closing quote", quote::shown(&text[here.clone()]));
        let value = value.filter(|_| stop.bracket.is_none()).map_or("", |span| &text[span.clone()]);
        return Some(Problem::yaml(here, message, quote::advice(inside_quotes(value))));
    }
    if !info.contains("quoted scalar") {
        return None;
    }
    let value = text[here.clone()].trim_end_matches([',', ']', '}']);
    let mark = value.chars().next().unwrap_or('"');
    let message = format!("the quote that begins {} is never closed", quote::shown(value));
    let help = format!("put a {mark} behind the value, on the same line");
    Some(Problem::yaml(here, message, help))
}

/// What is meant to stand in quotes that have quotes of the same kind inside.
fn inside_quotes(value: &str) -> &str {
    let inside = |mark: char| value.strip_prefix(mark)?.strip_suffix(mark);
    inside('"').or_else(|| inside('\'')).unwrap_or(value)
}

/// A comment glued to what stands before it.
fn by_comment(text: &str, stop: &Stop) -> Option<Problem> {
    let at = floor_boundary(text, stop.at);
    let glued = at > 0 && !text.as_bytes()[at - 1].is_ascii_whitespace();
    if !glued || text.as_bytes().get(at) != Some(&b'#') {
        return None;
    }
    let help = "put a blank before the # if it begins a comment, else quote the whole value";
    Some(Problem::yaml(at..line_end(text, at), "there is no blank before this #", help))
}

/// Colons and indentation.
fn by_line(text: &str, stop: &Stop, value: Option<&Span>) -> Option<Problem> {
    let at = floor_boundary(text, stop.at);
    if stop.info.contains("simple key expect") || stop.scalar_has_no_colon(text) {
        return Some(no_colon(text, stop.line(text)));
    }
    let behind = value.filter(|span| line_end(text, span.start) == line_end(text, at));
    if let Some(span) =
        behind.filter(|span| span.start < at || stop.info.contains("mapping values"))
    {
        let value = &text[span.clone()];
        let colon = stop.info.contains("mapping values");
        let message = if colon {
            format!("the value {} holds a colon and a blank", quote::shown(value))
        } else {
            format!("{} stands behind a closing bracket", quote::shown(rest_of_line(text, at)))
        };
        let place = if colon { span.clone() } else { at..span.end.max(at) };
        return Some(Problem::yaml(place, message, quote::advice(value)));
    }
    if stop.info.contains("in block scalar") {
        return Some(reason::shallow_line(text, at));
    }
    let known = [
        "mapping values",
        "expected key",
        "indentation",
        "'-' indicator",
        "<document start>",
        "block sequence",
    ];
    known.iter().any(|known| stop.info.contains(known)).then(|| indentation(text, stop.line(text)))
}

fn no_colon(text: &str, first: usize) -> Problem {
    if let Some(problem) = reason::first_word(text, first) {
        return problem;
    }
    let line = rest_of_line(text, first);
    let span = first..first + line.len();
    if line.contains(": ") || line.ends_with(':') {
        let message = "what stands before this colon is no name";
        return Problem::yaml(span, message, "write a short name, and all of it on this line");
    }
    if let Some((name, value)) = line.split_once(':').filter(|(_, value)| !value.is_empty()) {
        let message = format!("there is no blank behind the colon of {}", quote::shown(name));
        return Problem::yaml(span, message, format!("write {name}: {}", value.trim_start()));
    }
    let message = format!("there is no colon in {}", quote::shown(line));
    let help = match line.split_once([' ', '=']).filter(|(name, _)| is_name(name)) {
        Some((name, value)) => format!("write {name}: {}", value.trim_start_matches([' ', '='])),
        None => "write name: value".to_owned(),
    };
    Problem::yaml(span, message, help)
}

fn is_name(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_alphabetic())
        && word.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_')
}

fn indentation(text: &str, first: usize) -> Problem {
    if let Some(problem) = reason::first_word(text, first) {
        return problem;
    }
    let line = rest_of_line(text, first);
    let span = first..first + line.len();
    if line.starts_with("- ") || line == "-" {
        let message = "this item of a list stands where a name is wanted";
        return Problem::yaml(
            span,
            message,
            "write name: value, or line it up with the other items",
        );
    }
    let message = "the blanks before this line fit no line above it";
    Problem::yaml(span, message, "line it up with the other names of its group")
}

fn unknown(text: &str, stop: &Stop) -> Problem {
    let at = floor_boundary(text, stop.at);
    let span = rest_span(text, at);
    let message = format!("this cannot be read: {}", stop.info);
    let help =
        "look for a quote, a bracket, a colon or a blank that is missing, here or just before";
    Problem::yaml(span, message, help)
}
