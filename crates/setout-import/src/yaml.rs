//! A table in the house format: the short form where there is only a value.

use crate::entry::{Draft, Entry, Held, Schedule};

/// The text of a table, and which entry or schedule stands from which line on.
pub(crate) struct Drawn {
    pub(crate) text: String,
    /// The first line of each entry, then of each schedule.
    pub(crate) lines: Vec<usize>,
}

impl Drawn {
    /// The index of what stands in a line: entries first, then schedules.
    pub(crate) fn at(&self, line: usize) -> Option<usize> {
        self.lines.partition_point(|&first| first <= line).checked_sub(1)
    }
}

pub(crate) fn draw(draft: &Draft) -> Drawn {
    let mut drawn = Drawn { text: String::new(), lines: Vec::new() };
    let mut line = 1;
    let mut put = |text: &str, into: &mut String| {
        line += text.matches('\n').count();
        into.push_str(text);
        line
    };
    let mut next = 1;
    if !draft.entries.is_empty() {
        next = put("dimensions:\n", &mut drawn.text);
    }
    for (index, entry) in draft.entries.iter().enumerate() {
        drawn.lines.push(next);
        let text = entry_text(entry);
        // No line is left free above the first heading.
        let text = if index == 0 { text.trim_start_matches('\n') } else { &text };
        next = put(text, &mut drawn.text);
    }
    if !draft.schedules.is_empty() {
        next = put("schedules:\n", &mut drawn.text);
    }
    for schedule in &draft.schedules {
        drawn.lines.push(next);
        next = put(&schedule_text(schedule), &mut drawn.text);
    }
    drawn
}

fn entry_text(entry: &Entry) -> String {
    let Entry { name, held, .. } = entry;
    let heading = entry.heading.as_ref().map(|text| format!("\n  # {text}\n")).unwrap_or_default();
    let limits = [
        ("unit", entry.unit.as_deref().map(scalar)),
        ("min", entry.min.as_deref().map(scalar)),
        ("max", entry.max.as_deref().map(scalar)),
        ("tolerance", entry.tolerance.as_deref().map(scalar)),
        ("note", entry.note.as_deref().map(scalar)),
    ];
    let keys: Vec<_> = limits.into_iter().filter_map(|(key, text)| Some((key, text?))).collect();
    let (key, value) = match held {
        Held::Formula(formula) if keys.is_empty() => {
            return format!("{heading}  {name}: {}\n", scalar(formula));
        }
        Held::Text(text) if keys.is_empty() => {
            return format!("{heading}  {name}: {{ text: {} }}\n", quoted(text));
        }
        Held::Formula(formula) => ("value", scalar(formula)),
        Held::Text(text) => ("text", quoted(text)),
    };
    let mut text = format!("{heading}  {name}:\n    {key}: {value}\n");
    for (key, value) in keys {
        text.push_str(&format!("    {key}: {value}\n"));
    }
    text
}

fn schedule_text(schedule: &Schedule) -> String {
    let columns: Vec<String> =
        schedule.columns.iter().map(|(name, unit)| format!("{name}: {}", quoted(unit))).collect();
    let mut text =
        format!("  {}:\n    columns: {{ {} }}\n    rows:\n", schedule.name, columns.join(", "));
    for (row, cells) in &schedule.rows {
        let cells: Vec<String> = cells
            .iter()
            .map(|cell| match cell {
                Held::Formula(formula) => flow(formula),
                Held::Text(text) => quoted(text),
            })
            .collect();
        text.push_str(&format!("      {row}: [{}]\n", cells.join(", ")));
    }
    text
}

/// A scalar in block style: plain where every reader takes it as it stands.
fn scalar(text: &str) -> String {
    if is_plain(text) { text.to_owned() } else { quoted(text) }
}

fn flow(text: &str) -> String {
    let structural = text.contains([',', '[', ']', '{', '}']);
    if is_plain(text) && !structural { text.to_owned() } else { quoted(text) }
}

/// Numbers and formulas stand plain, and so do words; all that YAML could take for something
/// else is quoted.
fn is_plain(text: &str) -> bool {
    let start = |c: char| c.is_ascii_alphanumeric() || c == '(' || c == '±';
    let signed = text.strip_prefix(['-', '+']).unwrap_or(text);
    let word = matches!(text.to_ascii_lowercase().as_str(), "null" | "yes" | "no" | "on" | "off");
    signed.starts_with(start)
        && !word
        && !text.ends_with([' ', ':'])
        && !text.contains(": ")
        && !text.contains(" #")
        && !text.chars().any(|c| c.is_control() || matches!(c, '"' | '`' | '\u{feff}'))
        && !date_like(text)
}

/// Dates, times and grouped digits: only digits and such marks, of which a number has none.
fn date_like(text: &str) -> bool {
    let digits = |c: char| c.is_ascii_digit();
    text.starts_with(digits)
        && !text.contains(' ')
        && text.contains([':', '-', '_'])
        && !text.contains(['e', 'E'])
}

/// A double-quoted scalar. What cannot be seen is escaped.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            '\r' => out.push_str("\\r"),
            '\u{85}' | '\u{a0}' | '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffe}'
            | '\u{ffff}' => {
                out.push_str(&format!("\\u{:04x}", u32::from(c)));
            }
            c if c.is_control() => out.push_str(&format!("\\x{:02x}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
