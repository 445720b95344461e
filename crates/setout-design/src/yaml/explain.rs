//! The parser's reasons in plain words, and the faults that are none to the parser.

use super::blame::Stop;
use super::words::{floor_boundary, line_end, rest_of_line, skip_blanks};
use super::{Node, Problem, Scalar, Span, Style, quote};

/// A tag, an anchor or an alias, at its first byte.
pub(super) fn property(text: &str, start: usize, in_flow: bool) -> Problem {
    let value = value_at(text, start, in_flow);
    let span = start..(start + value.len()).max(start + 1).min(text.len());
    let what = match text.as_bytes().get(start) {
        Some(b'!') => "a tag",
        Some(b'&') => "an anchor",
        _ => "a reference to an anchor",
    };
    let sign = char::from(text.as_bytes().get(start).copied().unwrap_or(b'*'));
    let message =
        format!("{} begins with {sign}, which YAML takes for {what}", quote::shown(value));
    Problem::yaml(span, message, quote::advice(value))
}

/// The value that begins here: to the end of its line, or of its place inside brackets.
fn value_at(text: &str, start: usize, in_flow: bool) -> &str {
    if !in_flow {
        return rest_of_line(text, start);
    }
    let (span, _) = super::torn::whole(text, start);
    text[span].lines().next().unwrap_or_default().trim_end()
}

/// A node as the key it is meant to be.
pub(super) fn key(text: &str, node: Node) -> Result<Scalar, Problem> {
    let span = node.span();
    match node {
        Node::Scalar(key) if key.style == Style::Plain && key.value == "<<" => {
            let message = "<< would merge another map into this one, which a table has no use for";
            Err(Problem::yaml(span, message, "write the entries out"))
        }
        Node::Scalar(key) if !key.value.is_empty() => Ok(key),
        Node::Scalar(_) | Node::Empty(_) => {
            let span = span.start..span.end.max((span.start + 1).min(text.len()));
            let message = "there is no name before this colon";
            Err(Problem::yaml(span, message, "write the name before the colon"))
        }
        Node::Map(_) | Node::List(_) => {
            let message = "a name is one word, never a list or a map in brackets";
            Err(Problem::yaml(span, message, "write name: value"))
        }
    }
}

/// A second document in one file.
pub(super) fn second_document(text: &str, at: usize) -> Problem {
    let dashes = text[at..].starts_with("---");
    let span = at..if dashes { at + 3 } else { line_end(text, at) };
    if dashes {
        let message = "a second --- begins another document, and a file holds one";
        Problem::yaml(span, message, "delete the line, or move what follows into a file of its own")
    } else {
        let message = "this stands behind the line ... that ends the document";
        Problem::yaml(span, message, "delete the line with the three dots")
    }
}

/// A syntax error.
pub(super) fn syntax(text: &str, stop: &Stop) -> Problem {
    let value = stop.value(text).map(|(start, _)| {
        let start = skip_blanks(text, start);
        start..start + rest_of_line(text, start).len()
    });
    let value = value.filter(|span| !span.is_empty());
    by_first_sign(text, stop, value.as_ref())
        .or_else(|| by_quotes(text, stop, value.as_ref()))
        .or_else(|| by_brackets(text, stop))
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
    let here = at..at + rest_of_line(text, at).len();
    if info.contains("escape") || info.contains("hexadecimal") {
        let message = "in double quotes a backslash begins an escape, and there is none like this";
        let help = "write \\\\ for a backslash, or put the value in single quotes";
        return Some(Problem::yaml(here, message, help));
    }
    if info.contains("quoted scalar") && !info.contains("trailing content") {
        let value = text[here.clone()].trim_end_matches([',', ']', '}']);
        let mark = value.chars().next().unwrap_or('"');
        let message = format!("the quote that begins {} is never closed", quote::shown(value));
        let help = format!("put a {mark} behind the value, on the same line");
        return Some(Problem::yaml(here, message, help));
    }
    if !info.contains("trailing content") {
        return None;
    }
    let behind = quote::shown(&text[here.clone()]);
    let message = format!("{behind} stands behind a closing quote");
    let begins = |mark: char| value.is_some_and(|span| text[span.clone()].starts_with(mark));
    let help = if begins('\'') {
        "inside single quotes write '' for an apostrophe; quotes go round the whole value"
            .to_owned()
    } else if begins('"') {
        "inside double quotes write \\\" for a quote; quotes go round the whole value".to_owned()
    } else {
        quote::advice(value.map_or("", |span| &text[span.clone()]))
    };
    Some(Problem::yaml(here, message, help))
}

/// Brackets and braces that don't match.
fn by_brackets(text: &str, stop: &Stop) -> Option<Problem> {
    let at = floor_boundary(text, stop.at);
    let Some(bracket) = stop.bracket else {
        let stray = stop.info.contains("misplaced bracket");
        return stray.then(|| {
            let sign = text[at..].chars().next().unwrap_or(']');
            let message = format!("{sign} closes a bracket that was never opened");
            Problem::yaml(at..at + sign.len_utf8(), message, "delete it, or quote the whole value")
        });
    };
    let inner = stop.inner.unwrap_or(bracket);
    let opening = if text[inner..].starts_with('{') { '{' } else { '[' };
    let span = inner..inner + 1;
    let one_line = line_end(text, bracket) == line_end(text, at);
    let sign = text.as_bytes().get(at);
    if stop.info.contains("indentation") && !one_line && stop.closed_at(text).is_some() {
        let message = format!("this line belongs to the {opening} further up, but is not indented");
        let here = at..at + rest_of_line(text, at).len();
        let help = "indent it deeper than the name before the bracket, and close the bracket";
        return Some(Problem::yaml(here, message, help));
    }
    if stop.info.contains("cannot start with '-'") {
        let message = "a dash stands before a comma or a bracket, with nothing behind it";
        return Some(Problem::yaml(
            at..at + 1,
            message,
            "delete the dash, or quote the whole value",
        ));
    }
    if stop.info.contains("may not precede") {
        let help = "put a blank behind the colon";
        return Some(Problem::yaml(at..at + 1, "there is no blank behind this colon", help));
    }
    if one_line && sign == Some(&b',') {
        let message = "there is nothing before this comma";
        return Some(Problem::yaml(at..at + 1, message, "delete the comma, or write the value"));
    }
    let message = if one_line && matches!(sign, Some(b']' | b'}')) {
        format!("the {opening} is closed by a bracket of another kind")
    } else {
        format!("the {opening} is never closed")
    };
    let closing = if opening == '[' { ']' } else { '}' };
    let help = format!("put a {closing} at the end, or quote the whole value if it is a text");
    Some(Problem::yaml(span, message, help))
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
    let line = rest_of_line(text, first);
    let span = first..first + line.len();
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
    let span = at..at + rest_of_line(text, at).len();
    let message = format!("this cannot be read: {}", stop.info);
    let help =
        "look for a quote, a bracket, a colon or a blank that is missing, here or just before";
    Problem::yaml(span, message, help)
}
