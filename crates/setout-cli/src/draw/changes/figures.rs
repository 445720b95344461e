//! An amount before and after, with as many digits as it takes to see that they differ.

use setout::{Amount, Kind, rounded, shortest};

use super::TO;
use crate::draw::safe::{one_line, shortened, visible, width};

/// Two amounts as texts. The unit stands behind the one after, and behind the one before only
/// where it was another.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Figures {
    pub(crate) before: String,
    pub(crate) after: String,
}

/// With six digits, as everywhere.
pub(crate) fn pair(before: Option<&Amount>, after: Option<&Amount>) -> Figures {
    figures(before, after, USUAL)
}

/// With four, for what is compared at a glance.
pub(super) fn coarse(before: Option<&Amount>, after: Option<&Amount>) -> Figures {
    figures(before, after, 4)
}

/// All pairs as texts of one width, their points, arrows and units under each other.
pub(super) fn set(all: &[Figures]) -> Vec<String> {
    let column = |of: fn(&Figures) -> &str| {
        let fitting = all.iter().map(|figures| fit(of(figures))).collect::<Vec<_>>();
        along_points(&fitting)
    };
    let (before, after) = (column(|figures| &figures.before), column(|figures| &figures.after));
    let widest = before.iter().map(|text| width(text)).max().unwrap_or(0);
    let joined = |(before, after): (&String, String)| {
        let missing = " ".repeat(widest - width(before));
        let to = if before.trim().is_empty() { " " } else { TO };
        format!("{before}{missing} {to} {after}")
    };
    before.iter().zip(after).map(joined).collect()
}

/// Texts are shortened to this: a line has room for a value, not for a story.
const TEXT: usize = 28;

fn fit(text: &str) -> String {
    shortened(&visible(&one_line(text)), TEXT)
}

/// Texts with blanks before those that are numbers, so that all points stand in one column.
pub(super) fn along_points(texts: &[String]) -> Vec<String> {
    let most = texts.iter().map(|text| whole(text)).max().unwrap_or(0);
    let set = |text: &String| match whole(text) {
        0 => text.clone(),
        whole => format!("{}{text}", " ".repeat(most - whole)),
    };
    texts.iter().map(set).collect()
}

/// How many columns of a number stand before its point; 0 for texts.
fn whole(text: &str) -> usize {
    let digits = text.strip_prefix('-').unwrap_or(text);
    match digits.bytes().take_while(u8::is_ascii_digit).count() {
        0 => 0,
        whole => text.len() - digits.len() + whole,
    }
}

/// The texts that are tried in turn while both sides look the same, by their digits.
const FINER: [usize; 4] = [USUAL, 9, 12, 17];
/// The digits of a number for people.
const USUAL: usize = 6;

fn figures(before: Option<&Amount>, after: Option<&Amount>, digits: usize) -> Figures {
    let first = at(before, after, digits);
    if before == after {
        return first;
    }
    let finer = FINER.into_iter().filter(|finer| *finer > digits);
    let all = std::iter::once(first.clone()).chain(finer.map(|finer| at(before, after, finer)));
    all.into_iter().find(|shown| shown.before != shown.after).unwrap_or(first)
}

fn at(before: Option<&Amount>, after: Option<&Amount>, digits: usize) -> Figures {
    let (was, is) = (text(before, digits), text(after, digits));
    let joined = |(number, unit): &(String, String)| {
        if unit.is_empty() { number.clone() } else { format!("{number} {unit}") }
    };
    let alone = was.1 == is.1 || was.1.is_empty();
    Figures { before: if alone { was.0 } else { joined(&was) }, after: joined(&is) }
}

/// A value and its unit.
fn text(amount: Option<&Amount>, digits: usize) -> (String, String) {
    match amount {
        None => ("not computed".to_owned(), String::new()),
        Some(Amount::Number { number, unit }) => {
            let symbol = if unit.is_whole() { "" } else { unit.symbol() };
            let money = unit.kind() == Kind::MONEY && digits <= USUAL && *number >= 0.1;
            let shown = if money { format!("{number:.2}") } else { number_text(*number, digits) };
            (shown, symbol.to_owned())
        }
        Some(amount) => (amount.to_string(), String::new()),
    }
}

fn number_text(number: f64, digits: usize) -> String {
    if digits == USUAL {
        return rounded(number);
    }
    let cut = format!("{number:.*e}", digits - 1).parse();
    shortest(cut.unwrap_or(number))
}

#[cfg(test)]
mod tests {
    use super::*;
    use setout::Units;

    fn amount(number: f64, unit: &str) -> Amount {
        Amount::Number { number, unit: Units::standard().read(unit).expect("a unit") }
    }

    fn shown(before: Option<Amount>, after: Option<Amount>) -> String {
        let Figures { before, after } = pair(before.as_ref(), after.as_ref());
        format!("{before} > {after}")
    }

    #[test]
    fn numbers_stand_along_their_points() {
        let figures = |(before, after): (&str, &str)| Figures {
            before: before.to_owned(),
            after: after.to_owned(),
        };
        let all = [("142.4", "9.5 mm"), ("-0.5", "10 mm"), ("M4", "M5"), ("", "1 g")].map(figures);
        assert_eq!(set(&all), ["142.4 →  9.5 mm", " -0.5 → 10 mm", "M4    → M5", "         1 g"]);
    }

    #[test]
    fn the_unit_stands_once_and_differences_are_seen() {
        let mm = |number| Some(amount(number, "mm"));
        assert_eq!(shown(mm(71.039_999_999_999_99), mm(67.2)), "71.04 > 67.2 mm");
        assert_eq!(shown(mm(62.0), Some(amount(6.2, "cm"))), "62 mm > 6.2 cm");
        assert_eq!(shown(mm(100.000_01), mm(100.000_02)), "100.00001 > 100.00002 mm");
        assert_eq!(shown(mm(3.0), None), "3 mm > not computed");
        assert_eq!(shown(None, mm(3.0)), "not computed > 3 mm");
        let (m4, m5) = (Amount::Text("M4".into()), Amount::Text("M5".into()));
        assert_eq!(shown(Some(m4), Some(m5)), "M4 > M5");
    }
}
