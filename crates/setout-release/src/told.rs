//! Values and names in the words of a change list.

use setout_design::{Amount, Both};
use setout_export::one_line;
use setout_quantity::{Kind, rounded, shortest};

/// What is said of one sort of thing at most; the others are counted.
pub(crate) const MOST_TOLD: usize = 25;
/// The longest text of a design that is repeated.
const LONGEST_TEXT: usize = 160;

/// A value for people: money to the penny, counts without a unit.
pub(crate) fn amount(amount: Option<&Amount>) -> String {
    match amount {
        None => "not known".to_owned(),
        // What costs less than a tenth keeps its digits: screws are bought by the thousand.
        Some(Amount::Number { number, unit }) if unit.kind() == Kind::MONEY && *number >= 0.1 => {
            format!("{number:.2} {}", unit.symbol())
        }
        Some(Amount::Number { number, unit }) if unit.is_whole() => rounded(*number),
        Some(amount) => text(&amount.to_string()),
    }
}

/// `64 mm now, was 62 mm`, or with more digits where six do not show a difference.
pub(crate) fn now_and_before(both: &Both<Option<Amount>>) -> String {
    let (now, before) = (amount(both.after.as_ref()), amount(both.before.as_ref()));
    match (&both.after, &both.before) {
        (Some(Amount::Number { number: a, unit }), Some(Amount::Number { number: b, .. }))
            if now == before && a != b =>
        {
            let symbol = unit.symbol();
            format!("{} {symbol} now, was {} {symbol}", shortest(*a), shortest(*b))
        }
        _ => format!("{now} now, was {before}"),
    }
}

/// A text of the design: on one line, without what a terminal would obey, and not endless.
pub(crate) fn text(text: &str) -> String {
    let line = one_line(text);
    if line.chars().count() <= LONGEST_TEXT {
        return line;
    }
    let kept: String = line.chars().take(LONGEST_TEXT).collect();
    format!("{}…", kept.trim_end())
}

/// `a`, `a and b`, `a, b and c`, and how many more where there are too many.
pub(crate) fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        items if items.len() > MOST_TOLD => {
            let more = items.len() - MOST_TOLD;
            format!("{} and {more} more", items[..MOST_TOLD].join(", "))
        }
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `1 check`, `3 checks`.
pub(crate) fn count(number: usize, thing: &str) -> String {
    if number == 1 { format!("1 {thing}") } else { format!("{number} {thing}s") }
}

/// The first of some sentences, and one that says how many more there are.
pub(crate) fn bounded(mut sentences: Vec<String>, thing: &str) -> Vec<String> {
    if let Some(more) = sentences.len().checked_sub(MOST_TOLD).filter(|more| *more > 0) {
        sentences.truncate(MOST_TOLD);
        sentences.push(format!("And {more} more {thing}; `setout diff` tells all of them."));
    }
    sentences
}
