//! Texts of the design on one line, with nothing in them that acts unseen.

use crate::text::is_hidden;

/// A text is cut to so many characters; messages of faults and formulas may be longer.
const LONGEST: usize = 2_000;

/// The text on one line, hidden characters written out as in `\u{202e}`, and cut where it is very
/// long. What comes out is fit for XML 1.0, which has no way to write most controls.
pub(super) fn plain(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut plain = String::with_capacity(line.len());
    for (index, c) in line.chars().enumerate() {
        if index == LONGEST {
            plain.push('…');
            break;
        }
        if is_hidden(c) || is_no_character(c) {
            plain.extend(c.escape_unicode());
        } else {
            plain.push(c);
        }
    }
    // An older form of a workflow's orders, which runners obey anywhere in a line.
    plain.replace("##[", "## [")
}

/// Code points that Unicode keeps for no character, two of which XML forbids.
fn is_no_character(c: char) -> bool {
    matches!(u32::from(c), 0xfdd0..=0xfdef) || u32::from(c) & 0xfffe == 0xfffe
}

/// A text and, if it says anything, a second one on a line of its own.
pub(super) fn two_lines(first: &str, second: &str) -> String {
    match plain(second) {
        second if second.is_empty() => plain(first),
        second => format!("{}\n{second}", plain(first)),
    }
}

/// `1 error`, `2 errors`.
pub(super) fn count(number: usize, thing: &str) -> String {
    if number == 1 { format!("1 {thing}") } else { format!("{number} {thing}s") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_acts_unseen() {
        assert_eq!(plain(" a\r\n::error::b\u{0}\u{1b}[2J "), "a ::error::b\\u{0}\\u{1b}[2J");
        assert_eq!(plain("x\u{202e}y\u{fffe}\u{1ffff}"), "x\\u{202e}y\\u{fffe}\\u{1ffff}");
        assert_eq!(plain("nose — 鼻 👩\u{200d}🔧"), "nose — 鼻 👩\u{200d}🔧");
        assert_eq!(plain(&"x".repeat(5_000)).chars().count(), LONGEST + 1);
    }
}
