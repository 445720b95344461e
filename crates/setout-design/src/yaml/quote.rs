//! Putting a text in quotes: for an edit, and for the mend of a fault.

use super::words::is_blank;

/// Longer values are not repeated in messages.
const LONGEST_SHOWN: usize = 60;

/// A value as a message names it.
pub(super) fn shown(value: &str) -> String {
    let clean = value.split_whitespace().collect::<Vec<_>>().join(" ");
    if clean.chars().count() <= LONGEST_SHOWN {
        return format!("`{clean}`");
    }
    let start: String = clean.chars().take(LONGEST_SHOWN - 1).collect();
    format!("`{start}…`")
}

/// The mend for a value that YAML reads otherwise than it was meant.
pub(super) fn advice(value: &str) -> String {
    let clean = value.split_whitespace().collect::<Vec<_>>().join(" ");
    if clean.is_empty() || clean.chars().count() > LONGEST_SHOWN {
        return "quote the whole value".to_owned();
    }
    format!("quote the whole value: {}", suggested(&clean))
}

/// The quotes that need least inside.
fn suggested(value: &str) -> String {
    if value.contains('\'') && !value.contains(['"', '\\']) {
        format!("\"{value}\"")
    } else {
        single(value)
    }
}

/// In single quotes. Right for values of one line only.
pub(super) fn single(value: &str) -> String {
    format!("'{}'", value.replace('\'', "''"))
}

/// In double quotes; right for every value.
pub(super) fn double(value: &str) -> String {
    let mut result = String::with_capacity(value.len() + 2);
    result.push('"');
    for c in value.chars() {
        match c {
            '"' => result.push_str("\\\""),
            '\\' => result.push_str("\\\\"),
            '\n' => result.push_str("\\n"),
            '\t' => result.push_str("\\t"),
            c if needs_escape(c) => result.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => result.push(c),
        }
    }
    result.push('"');
    result
}

/// Whether a character would not be read back as it is, or would not be seen.
pub(super) fn needs_escape(c: char) -> bool {
    c.is_control() || matches!(c, '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}')
}

/// Whether a value can stand bare. This errs towards quoting; what it lets through is read again
/// by whoever writes it.
pub(super) fn is_plain(value: &str, in_flow: bool) -> bool {
    let bytes = value.as_bytes();
    let (Some(first), Some(last)) = (bytes.first(), bytes.last()) else { return false };
    let begins_well = match first {
        b'-' | b'?' | b':' => {
            bytes.get(1).is_some_and(|b| !is_blank(*b)) && !value.starts_with("---")
        }
        _ => !b",[]{}#&*!|>'\"%@`".contains(first) && !value.starts_with("..."),
    };
    let blanks_round = is_blank(*first) || is_blank(*last);
    // The parser takes a dash before a bracket for the start of a list, even inside a value.
    let in_brackets = in_flow && (value.contains([',', '[', ']', '{', '}']) || *last == b'-');
    begins_well
        && !blanks_round
        && !in_brackets
        && *last != b':'
        && !value.contains(": ")
        && !value.contains(" #")
        && !value.chars().any(|c| needs_escape(c) || c == '\t')
}
