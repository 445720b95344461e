//! What comments say of a variable: its unit, its span, a note.

use setout_quantity::{Kind, Units};

use super::statement::Statement;

/// What the comments of a variable say.
#[derive(Clone, Debug, Default)]
pub(super) struct Remarks {
    pub(super) note: Option<String>,
    pub(super) heading: Option<String>,
    /// The span of a slider, `[min:max]` or `[min:step:max]`.
    pub(super) range: Option<(f64, f64)>,
    /// The unit at the start of the comment behind it.
    pub(super) stated: Option<Stated>,
    /// All of it in lower-case words.
    pub(super) words: Vec<String>,
}

/// A unit that a comment begins with.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Stated {
    Unit(String, Kind),
    /// `number`, `text` or `boolean`: no unit.
    None,
}

/// Single letters that are taken for a unit where nobody says that they are: none of those that
/// stand for a height or a diameter.
const SHORT: [&str; 8] = ["A", "V", "W", "N", "g", "s", "K", "°"];

pub(super) fn remarks(statement: &Statement<'_>, ours: bool) -> Remarks {
    let heading = statement.heading.filter(|text| !text.is_empty()).map(str::to_owned);
    let mut remarks = Remarks { heading, ..Remarks::default() };
    let mut notes = Vec::new();
    for (index, comment) in statement.behind.iter().chain(&statement.within).enumerate() {
        let mut text = bare(comment);
        if index == 0 {
            if let Some((stated, rest)) = stated(&text, ours) {
                remarks.stated = Some(stated);
                text = rest;
            } else if let Some(range) = range(&text) {
                remarks.range = Some(range);
                continue;
            }
        }
        notes.push(text);
    }
    // An exported file heads its tables, and these are no notes.
    if !ours {
        notes.extend(statement.above.iter().map(|comment| bare(comment)));
    }
    notes.retain(|note| !note.is_empty());
    let note = notes.join("; ");
    let letters = |c: char| !(c.is_alphanumeric() || matches!(c, '°' | '·' | '%'));
    let lower = note.to_lowercase();
    remarks.words = lower.split(letters).filter(|w| !w.is_empty()).map(str::to_owned).collect();
    remarks.note = Some(note).filter(|note| !note.is_empty());
    remarks
}

/// The text of a comment on one line.
fn bare(comment: &str) -> String {
    let inner = match comment.strip_prefix("/*") {
        Some(inner) => inner.strip_suffix("*/").unwrap_or(inner),
        None => comment.trim_start_matches('/'),
    };
    let lines = inner.lines().map(|line| line.trim().trim_start_matches('*').trim());
    let text = lines.filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ");
    text.chars().filter(|c| !c.is_control()).collect()
}

/// The unit that a comment begins with, alone or before a comma, and what follows.
fn stated(text: &str, ours: bool) -> Option<(Stated, String)> {
    let (head, rest) = text.split_once(',').unwrap_or((text, ""));
    let head = head.trim();
    let rest = rest.trim().to_owned();
    if matches!(head, "number" | "text" | "boolean") {
        return Some((Stated::None, rest));
    }
    if head == "count" {
        return Some((Stated::Unit(head.to_owned(), Kind::NUMBER), rest));
    }
    let one_letter = head.chars().count() == 1;
    if !ours && one_letter && !SHORT.contains(&head) {
        return None;
    }
    if let Ok(unit) = Units::standard().read(head) {
        return (!head.is_empty()).then(|| (Stated::Unit(head.to_owned(), unit.kind()), rest));
    }
    // Money: only a design knows which; our own files have it by its code.
    let is_code = |part: &&str| part.len() == 3 && part.bytes().all(|b| b.is_ascii_uppercase());
    let code = head.split(|c: char| !c.is_ascii_alphabetic()).find(is_code).filter(|_| ours)?;
    let unit = Units::standard().with_currency(code).read(head).ok()?;
    Some((Stated::Unit(head.to_owned(), unit.kind()), rest))
}

/// The span of a slider.
fn range(text: &str) -> Option<(f64, f64)> {
    let inner = text.strip_prefix('[')?.strip_suffix(']')?;
    let numbers: Option<Vec<f64>> = inner.split(':').map(|n| n.trim().parse().ok()).collect();
    let (low, high) = match numbers?.as_slice() {
        [low, high] | [low, _, high] => (*low, *high),
        _ => return None,
    };
    (low.is_finite() && high.is_finite() && low <= high).then_some((low, high))
}
