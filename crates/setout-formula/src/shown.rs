//! How much of a formula a message quotes.

/// Beyond this a message would be longer to read than the formula.
const LONGEST_SHOWN: usize = 60;

/// A part of a formula for a message: on one line, and cut off where it is long.
pub(crate) fn shown(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= LONGEST_SHOWN {
        return line;
    }
    let start: String = line.chars().take(LONGEST_SHOWN - 1).collect();
    format!("{start}…")
}
