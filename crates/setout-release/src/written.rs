//! The one way in which a record is written: block maps and lists, numbers bare, every text in
//! double quotes.
//!
//! The library's own writer leaves texts bare where its own reader takes them for texts. Others,
//! by YAML 1.1, read `no` as a truth, a date as a moment and the letter `Y` as yes. And what it
//! writes may differ from one version to the next, where a record must not.

use serde_yaml::Value;
use setout_quantity::shortest;

/// The lines of a map of names to values.
pub(crate) fn written(value: &Value) -> String {
    let mut lines = String::new();
    if let Value::Mapping(map) = value {
        entries(map, 0, "", &mut lines);
    }
    lines
}

/// The entries of a map, the first behind `start`.
fn entries(map: &serde_yaml::Mapping, indent: usize, start: &str, lines: &mut String) {
    let mut begun = start.to_owned();
    for (key, value) in map {
        if begun.is_empty() {
            begun = " ".repeat(indent);
        }
        let key = key.as_str().unwrap_or_default();
        lines.push_str(&format!("{begun}{key}:"));
        begun.clear();
        below(value, indent, lines);
    }
}

/// A value behind its key: on the same line if it is one word, else on lines further in.
fn below(value: &Value, indent: usize, lines: &mut String) {
    match value {
        Value::Mapping(map) => {
            lines.push('\n');
            entries(map, indent + 2, "", lines);
        }
        Value::Sequence(items) if !items.is_empty() => {
            lines.push('\n');
            for item in items {
                let dash = format!("{}- ", " ".repeat(indent + 2));
                match item {
                    Value::Mapping(map) => entries(map, indent + 4, &dash, lines),
                    item => lines.push_str(&format!("{dash}{}\n", word(item))),
                }
            }
        }
        value => lines.push_str(&format!(" {}\n", word(value))),
    }
}

fn word(value: &Value) -> String {
    match value {
        Value::Sequence(_) => "[]".to_owned(),
        Value::Bool(truth) => truth.to_string(),
        Value::Number(number) => match (number.is_f64(), number.as_f64()) {
            (true, Some(float)) => decimal(float),
            _ => number.to_string(),
        },
        Value::String(text) => quoted(text),
        _ => "null".to_owned(),
    }
}

/// A number that all versions of YAML read as one: with a point, and a sign in its exponent.
fn decimal(number: f64) -> String {
    let text = shortest(number);
    let Some((digits, exponent)) = text.split_once('e') else { return text };
    let point = if digits.contains('.') { "" } else { ".0" };
    let sign = if exponent.starts_with('-') { "" } else { "+" };
    format!("{digits}{point}e{sign}{exponent}")
}

/// A text in double quotes; what is not plainly seen is written out.
fn quoted(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            c if is_seen(c) => quoted.push(c),
            c if u32::from(c) <= 0xffff => quoted.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => quoted.push_str(&format!("\\U{:08x}", u32::from(c))),
        }
    }
    quoted.push('"');
    quoted
}

/// Whether a character can stand in a file as it is: no control, nothing that turns the direction
/// of writing or that some reader takes for a line end or leaves out.
fn is_seen(c: char) -> bool {
    !c.is_control()
        && !matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
            | '\u{fff9}'..='\u{ffff}' | '\u{e0000}'..='\u{e007f}')
}

/// Whether a line could have been written here, as far as that matters to a reader: outside of
/// quotes it has no sign that nests, repeats or types anything. The library takes time that grows
/// with the square of how deep brackets are nested.
pub(crate) fn is_written_line(line: &str) -> bool {
    let bare = line.split('"').next().unwrap_or_default();
    let bare = bare.strip_suffix("[]").unwrap_or(bare);
    let fits = |c: char| c.is_ascii_alphanumeric() || " _.:+-".contains(c);
    let text = line.trim_start();
    let text = text.strip_prefix("- ").unwrap_or(text);
    !text.starts_with('-') && bare.chars().all(fits) || line.starts_with('#')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_written_in_one_way() {
        let value: Value = serde_yaml::from_str(
            "a: no thing\nb: [1, 2.5, 1e300, true, ~]\nj: -0.0001\nc: { d: [], e: { f: 'y' } }\n\
             g: [{ h: 1, i: [x] }, { h: 2, i: [] }]\n",
        )
        .expect("read");
        let text = written(&value);
        assert_eq!(
            text,
            "a: \"no thing\"\nb:\n  - 1\n  - 2.5\n  - 1.0e+300\n  - true\n  - null\nj: -0.0001\n\
             c:\n  d: []\n  e:\n    f: \"y\"\n\
             g:\n  - h: 1\n    i:\n      - \"x\"\n  - h: 2\n    i: []\n"
        );
        assert_eq!(serde_yaml::from_str::<Value>(&text).expect("read back"), value);
        assert!(text.lines().all(is_written_line));
    }

    #[test]
    fn texts_stand_on_their_line_and_hide_nothing() {
        assert_eq!(quoted("a\"b\\c\nd\u{202e}é鼻\u{e0041}"), {
            "\"a\\\"b\\\\c\\u000ad\\u202eé鼻\\U000e0041\""
        });
        for line in ["- - a", "a: [[", "a: &b 1", "a: *b", "a: !t 1", "a: {", "? a", "a: |", "---"]
        {
            assert!(!is_written_line(line), "{line}");
        }
    }
}
