//! Parts of YAML that the parser accepts and a table has no use for.

use super::words::{line_end, rest_of_line};
use super::{Node, Problem, Scalar, Style, quote};

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
