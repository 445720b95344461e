//! Writing scalars back into the text they were read from.
//!
//! Only the bytes of the scalar change. Whether that went well is not reasoned out but seen: the
//! result is read again and compared with what was there before.

use std::borrow::Cow;
use std::fmt;

use super::words::{break_len, line_end, line_start};
use super::{Scalar, Style, quote, read, same_except};

/// A scalar of a text and the value it is to have.
#[derive(Clone, Copy, Debug)]
pub struct Edit<'e> {
    /// The scalar, as it was read from the text; a key or a value.
    pub scalar: &'e Scalar,
    /// Its new value.
    pub new: &'e str,
    /// Whether it stands inside brackets or braces.
    pub in_flow: bool,
}

/// Why a scalar could not be written back. The text is as it was.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum SpliceError {
    /// The text has no such scalar at this byte: it was read from another text.
    Stale {
        /// Where the scalar ought to begin.
        at: usize,
    },
    /// No way of writing the value gives it back when read, or it would change something else.
    Unwritable {
        /// Where the scalar begins.
        at: usize,
        /// The value.
        new: String,
    },
    /// An entry could not be taken out, or put in, without changing something else.
    Inseparable {
        /// Where it begins.
        at: usize,
        /// Its key.
        key: String,
    },
}

impl fmt::Display for SpliceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Stale { .. } => f.write_str("the text has changed since it was read"),
            Self::Unwritable { new, .. } => {
                write!(f, "{} cannot be written here without changing more", quote::shown(new))
            }
            Self::Inseparable { key, .. } => {
                write!(f, "the lines of {} cannot be told from those round it", quote::shown(key))
            }
        }
    }
}

impl std::error::Error for SpliceError {}

/// The text with one scalar changed. Everything else stays as it is, byte for byte: comments,
/// spacing, line ends, a byte-order mark. The way of quoting is kept where it can be.
///
/// # Errors
/// If the scalar is not of this text, or the value cannot be written there.
pub fn splice(
    text: &str,
    scalar: &Scalar,
    new: &str,
    in_flow: bool,
) -> Result<String, SpliceError> {
    splice_all(text, &[Edit { scalar, new, in_flow }])
}

/// The text with several scalars changed at once; it is read again only once.
///
/// # Errors
/// As [`splice`]; then nothing is changed.
pub fn splice_all(text: &str, edits: &[Edit<'_>]) -> Result<String, SpliceError> {
    let mut edits = edits.to_vec();
    edits.sort_by_key(|edit| edit.scalar.span.start);
    let wanted: Vec<_> = edits.iter().map(|edit| (edit.scalar.span.start, edit.new)).collect();
    let before = read(text);
    let at = wanted.first().map_or(0, |(at, _)| *at);
    let overlaps = edits.windows(2).any(|pair| pair[0].scalar.span.end > pair[1].scalar.span.start);
    let unchanged: Vec<_> =
        edits.iter().map(|edit| (edit.scalar.span.start, edit.scalar.value.as_str())).collect();
    if overlaps || !same_except(before.0.as_ref(), before.0.as_ref(), &unchanged) {
        return Err(SpliceError::Stale { at });
    }
    for kept in [true, false] {
        let result = written(text, &edits, kept).ok_or(SpliceError::Stale { at })?;
        let after = read(&result);
        let faults = |problems: &[super::Problem]| {
            problems.iter().map(|problem| problem.slug).collect::<Vec<_>>()
        };
        if same_except(before.0.as_ref(), after.0.as_ref(), &wanted)
            && faults(&before.1) == faults(&after.1)
        {
            return Ok(result);
        }
    }
    let new = wanted.first().map_or_else(String::new, |(_, new)| (*new).to_owned());
    Err(SpliceError::Unwritable { at, new })
}

/// The text with all edits, in the scalars' own way of writing or all in double quotes.
fn written(text: &str, edits: &[Edit<'_>], kept: bool) -> Option<String> {
    let mut result = String::with_capacity(text.len() + 64);
    let mut done = 0;
    for edit in edits {
        let span = edit.scalar.span.clone();
        result.push_str(text.get(done..span.start)?);
        let source = text.get(span.clone())?;
        let own = if kept { in_own_style(text, edit) } else { None };
        result.push_str(&own.unwrap_or_else(|| in_double_quotes(source, edit)));
        done = span.end;
    }
    result.push_str(text.get(done..)?);
    Some(result)
}

fn in_own_style(text: &str, edit: &Edit<'_>) -> Option<String> {
    let new = edit.new;
    let one_line = !new.chars().any(quote::needs_escape);
    match edit.scalar.style {
        Style::Plain => quote::is_plain(new, edit.in_flow).then(|| new.to_owned()),
        Style::Single => one_line.then(|| quote::single(new)),
        Style::Double => Some(quote::double(new)),
        Style::Literal | Style::Folded => in_block(text, edit.scalar, new),
    }
}

fn in_double_quotes(source: &str, edit: &Edit<'_>) -> String {
    let quoted = quote::double(edit.new);
    if !matches!(edit.scalar.style, Style::Literal | Style::Folded) {
        return quoted;
    }
    // A comment behind the header stays where it was.
    let header = &source[..line_end(source, 0)];
    let comment = header.trim_start_matches(|c| "|>+-0123456789".contains(c));
    quoted + comment
}

/// The header with one line below it. The chomping sign follows what the value ends with; a break
/// kept by `+` would be one for each empty line behind the block, so `+` is never left.
fn in_block(text: &str, scalar: &Scalar, new: &str) -> Option<String> {
    let source = &text[scalar.span.clone()];
    let line = new.strip_suffix('\n').unwrap_or(new);
    let begins_badly = line.is_empty() || line.starts_with([' ', '\t']);
    if begins_badly || line.contains('\t') || line.chars().any(quote::needs_escape) {
        return None;
    }
    let header_end = line_end(source, 0);
    let line_break = source.get(header_end..header_end + break_len(source, header_end))?;
    let content = scalar.source_offset(scalar.value.find(|c| c != '\n')?);
    let indent = text.get(line_start(text, content)..content)?;
    let chomping = if new.ends_with('\n') { "" } else { "-" };
    let header = chomped(&source[..header_end], chomping);
    let indented = !line_break.is_empty() && !indent.is_empty() && indent.trim().is_empty();
    indented.then(|| format!("{header}{line_break}{indent}{line}"))
}

/// A block header with another chomping sign.
fn chomped<'h>(header: &'h str, sign: &str) -> Cow<'h, str> {
    let indicators = header.bytes().skip(1).take_while(|b| b"+-0123456789".contains(b)).count() + 1;
    let (indicators, rest) = header.split_at(indicators);
    if indicators.contains(['+', '-']) || !sign.is_empty() {
        Cow::Owned(format!("{}{sign}{rest}", indicators.replace(['+', '-'], "")))
    } else {
        Cow::Borrowed(header)
    }
}
