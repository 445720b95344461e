//! What a variable is by its comment and its name, where no unit is stated.

use std::collections::HashMap;

use setout_quantity::Kind;

use super::kinds::{Kinds, Sort};
use super::remark::Stated;
use super::variables::Variable;
use crate::names::plain_name;

/// What a variable was taken for, and by what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Guess {
    Angle,
    Count,
    Number,
}

const ANGLE_WORDS: [&str; 4] = ["deg", "degree", "degrees", "°"];
const COUNT_WORDS: [&str; 1] = ["count"];
const NUMBER_WORDS: [&str; 7] =
    ["number", "ratio", "factor", "fraction", "multiplier", "coefficient", "unitless"];
/// Parts of names that belong to plain numbers.
const NUMBER_PARTS: [&str; 12] = [
    "ratio",
    "factor",
    "frac",
    "fraction",
    "scale",
    "percent",
    "pct",
    "coeff",
    "multiplier",
    "mult",
    "gain",
    "share",
];
const COUNT_PARTS: [&str; 4] = ["n", "num", "count", "teeth"];
/// Words of a comment that speak of a unit which is not assumed for anything.
const OTHER_UNITS: [&str; 34] = [
    "inch", "inches", "cm", "metre", "metres", "meter", "meters", "grams", "gram", "kg", "newton",
    "newtons", "volt", "volts", "amp", "amps", "ampere", "amperes", "watt", "watts", "seconds",
    "minutes", "ms", "rad", "radian", "radians", "rpm", "psi", "ohm", "ohms", "ma", "hz", "mah",
    "thou",
];

/// What the words of the comment, or else the name, say.
pub(super) fn guess(name: &str, words: &[String], value: Option<f64>) -> Option<Guess> {
    let said = |list: &[&str]| words.iter().any(|word| list.contains(&word.as_str()));
    let plain = plain_name(name, "");
    let parts: Vec<&str> = plain.split('_').collect();
    let (first, last) = (parts[0], parts[parts.len() - 1]);
    let whole = value.is_none_or(|value| value.fract() == 0.0);
    let named_count = COUNT_PARTS.contains(&first) && parts.len() > 1
        || matches!(first, "count" | "num")
        || matches!(last, "count" | "teeth");
    if said(&ANGLE_WORDS) {
        Some(Guess::Angle)
    } else if whole && said(&COUNT_WORDS) {
        Some(Guess::Count)
    } else if said(&NUMBER_WORDS) {
        Some(Guess::Number)
    } else if matches!(last, "angle" | "deg") {
        Some(Guess::Angle)
    } else if named_count {
        Some(if whole { Guess::Count } else { Guess::Number })
    } else if parts.iter().any(|part| NUMBER_PARTS.contains(part)) {
        Some(Guess::Number)
    } else {
        None
    }
}

/// Why the comment forbids to assume anything.
pub(super) fn doubt(words: &[String]) -> Option<String> {
    let word = words.iter().find(|word| OTHER_UNITS.contains(&word.as_str()))?;
    Some(format!("its comment speaks of `{word}`; begin the comment with the unit of the value"))
}

/// The guesses by what they came to, for the report.
pub(super) fn told(
    found: &[Variable],
    kinds: &Kinds,
    names: &HashMap<String, String>,
) -> Vec<(&'static str, Vec<String>)> {
    let mut told: Vec<(&'static str, Vec<String>)> = Vec::new();
    for variable in found {
        let Some(what) = heading(variable, kinds) else { continue };
        let name = names[&variable.key].clone();
        match told.iter_mut().find(|(known, _)| *known == what) {
            Some((_, names)) => names.push(name),
            None => told.push((what, vec![name])),
        }
    }
    told
}

fn heading(variable: &Variable, kinds: &Kinds) -> Option<&'static str> {
    let of = match kinds.of.get(&variable.key) {
        Some(Sort::Quantity(kind)) => *kind,
        _ => return None,
    };
    if matches!(variable.remarks.stated, Some(Stated::Unit(..) | Stated::None)) {
        return None;
    }
    if kinds.unasked.contains(&variable.key) {
        return Some("plain numbers, as nothing says otherwise");
    }
    match variable.guess.filter(|_| kinds.guessed.contains(&variable.key)) {
        Some(Guess::Angle) => Some("angles in deg by their comment or name"),
        Some(Guess::Count) => Some("counts by their comment or name"),
        Some(Guess::Number) => Some("plain numbers by their comment or name"),
        None if !variable.expr.is_bare() => match of {
            Kind::LENGTH | Kind::ANGLE | Kind::NUMBER => None,
            _ => Some("powers and products of lengths or angles"),
        },
        None => Some(match of {
            Kind::LENGTH => "lengths in mm",
            Kind::ANGLE => "angles in deg by their use",
            Kind::NUMBER => "plain numbers by their use",
            _ => "other units by their use",
        }),
    }
}
