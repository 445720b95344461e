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

/// All pairs as texts, their arrows under each other: what was stands up to it, what is behind it.
pub(super) fn set(all: &[Figures]) -> Vec<String> {
    let befores: Vec<String> = all.iter().map(|figures| fit(&figures.before)).collect();
    let widest = befores.iter().map(|text| width(text)).max().unwrap_or(0);
    let joined = |(before, figures): (&String, &Figures)| {
        let missing = " ".repeat(widest - width(before));
        let to = if before.is_empty() { " " } else { TO };
        format!("{missing}{before} {to} {}", fit(&figures.after))
    };
    befores.iter().zip(all).map(joined).collect()
}

/// Texts are shortened to this: a line has room for a value, not for a story.
const TEXT: usize = 28;

fn fit(text: &str) -> String {
    shortened(&visible(&one_line(text)), TEXT)
}

/// The digits that are tried in turn while both sides look the same.
const FINER: [usize; 5] = [4, USUAL, 9, 12, 17];
/// The digits of a number for people.
const USUAL: usize = 6;

fn figures(before: Option<&Amount>, after: Option<&Amount>, digits: usize) -> Figures {
    let usual = [before, after].map(|amount| amount.map_or_else(nothing, |of| text(of, digits)));
    if before == after || usual[0] != usual[1] {
        return joined(usual);
    }
    let finer = FINER.into_iter().filter(|finer| *finer >= digits);
    let mut finer = finer
        .map(|digits| [before, after].map(|of| of.map_or_else(nothing, |of| fine(of, digits))));
    joined(finer.find(|[was, is]| was != is).unwrap_or(usual))
}

/// A value and its unit as texts.
type Text = (String, String);

fn nothing() -> Text {
    ("not computed".to_owned(), String::new())
}

fn joined([was, is]: [Text; 2]) -> Figures {
    let alone = was.1 == is.1;
    let whole = |(number, unit): Text| {
        if unit.is_empty() { number } else { format!("{number} {unit}") }
    };
    Figures { before: if alone { was.0 } else { whole(was) }, after: whole(is) }
}

/// A value for people: money to the penny.
fn text(amount: &Amount, digits: usize) -> Text {
    match amount {
        Amount::Number { number, unit } if unit.kind() == Kind::MONEY && *number >= 0.1 => {
            (format!("{number:.2}"), unit.symbol().to_owned())
        }
        amount => fine(amount, digits),
    }
}

fn fine(amount: &Amount, digits: usize) -> Text {
    match amount {
        Amount::Number { number, unit } => {
            let symbol = if unit.is_whole() { "" } else { unit.symbol() };
            (number_text(*number, digits), symbol.to_owned())
        }
        amount => (amount.to_string(), String::new()),
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
    fn pairs_stand_along_their_arrows() {
        let figures = |(before, after): (&str, &str)| Figures {
            before: before.to_owned(),
            after: after.to_owned(),
        };
        let all = [("142.4", "9.5 mm"), ("-0.5", "10 mm"), ("M4", "M5"), ("", "1 g")].map(figures);
        assert_eq!(set(&all), ["142.4 → 9.5 mm", " -0.5 → 10 mm", "   M4 → M5", "        1 g"]);
    }

    #[test]
    fn the_unit_stands_once_and_differences_are_seen() {
        let mm = |number| Some(amount(number, "mm"));
        assert_eq!(shown(mm(71.039_999_999_999_99), mm(67.2)), "71.04 > 67.2 mm");
        assert_eq!(shown(mm(62.0), Some(amount(6.2, "cm"))), "62 mm > 6.2 cm");
        assert_eq!(shown(mm(100.000_01), mm(100.000_02)), "100.00001 > 100.00002 mm");
        let pounds = |number| {
            let units = Units::standard().clone().with_currency("GBP");
            Some(Amount::Number { number, unit: units.read("GBP").expect("a unit") })
        };
        assert_eq!(shown(pounds(1.5), pounds(1.25)), "1.50 > 1.25 GBP");
        assert_eq!(shown(pounds(0.3861), pounds(0.3889)), "0.3861 > 0.3889 GBP");
        assert_eq!(shown(mm(3.0), None), "3 mm > not computed");
        assert_eq!(shown(None, mm(3.0)), "not computed > 3 mm");
        let (m4, m5) = (Amount::Text("M4".into()), Amount::Text("M5".into()));
        assert_eq!(shown(Some(m4), Some(m5)), "M4 > M5");
    }
}
