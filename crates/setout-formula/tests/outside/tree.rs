//! A formula as a tree, written in three languages with as few brackets as each allows.

use crate::functions::Function;
use crate::units::TestUnit;

/// A formula.
#[derive(Clone, Debug)]
pub(crate) enum Tree {
    /// A number and the unit behind it.
    Number(f64, Option<&'static TestUnit>),
    Truth(bool),
    /// A name, by its index.
    Name(usize),
    /// `-` or `!`.
    Unary(char, Box<Tree>),
    /// An operator as formulas write it.
    Binary(&'static str, Box<Tree>, Box<Tree>),
    Call(&'static Function, Vec<Tree>),
}

/// A language to write formulas in, and how it spells the names.
#[derive(Clone, Copy)]
pub(crate) enum Language {
    Ours,
    Evalexpr,
    Python,
}

/// How tightly a tree's outermost operator binds, in every one of the three languages. Unary
/// signs stand between `*` and `^`.
fn level(sign: &str) -> u8 {
    match sign {
        "||" => 1,
        "&&" => 2,
        "<" | "<=" | ">" | ">=" | "==" | "!=" => COMPARISON,
        "+" | "-" => 4,
        "*" | "/" => 5,
        _ => POWER,
    }
}
const COMPARISON: u8 = 3;
const UNARY: u8 = 6;
const POWER: u8 = 7;
const ATOM: u8 = 8;

impl Tree {
    pub(crate) fn unary(sign: char, inner: Self) -> Self {
        Self::Unary(sign, Box::new(inner))
    }

    pub(crate) fn binary(sign: &'static str, left: Self, right: Self) -> Self {
        Self::Binary(sign, Box::new(left), Box::new(right))
    }

    /// The tree as text.
    pub(crate) fn written(&self, language: Language, names: &[&str]) -> String {
        self.with_level(language, names).0
    }

    fn with_level(&self, language: Language, names: &[&str]) -> (String, u8) {
        match self {
            Self::Number(number, unit) => number_text(*number, *unit, language),
            Self::Truth(truth) => (truth_text(*truth, language).to_owned(), ATOM),
            Self::Name(index) => (names[*index].to_owned(), ATOM),
            Self::Unary('!', inner) if matches!(language, Language::Python) => {
                (format!("(not {})", inner.at_least(ATOM, language, names)), ATOM)
            }
            Self::Unary(sign, inner) => {
                (format!("{sign}{}", inner.at_least(UNARY, language, names)), UNARY)
            }
            Self::Binary(sign, left, right) => self.joined(sign, [left, right], language, names),
            Self::Call(function, arguments) => (called(function, arguments, language, names), ATOM),
        }
    }

    /// The text, in brackets if its operator binds more loosely than `needed`.
    fn at_least(&self, needed: u8, language: Language, names: &[&str]) -> String {
        let (text, level) = self.with_level(language, names);
        if level < needed { format!("({text})") } else { text }
    }

    fn joined(
        &self,
        sign: &'static str,
        [left, right]: [&Self; 2],
        language: Language,
        names: &[&str],
    ) -> (String, u8) {
        let own = level(sign);
        let (left_needs, right_needs) = match own {
            // Of two powers the right one is taken first, and its exponent may bear a sign.
            POWER => (ATOM, UNARY),
            // Comparisons do not chain in formulas; in Python they would mean something else.
            COMPARISON => (own + 1, own + 1),
            _ => (own, own + 1),
        };
        let spelt = match (language, sign) {
            (Language::Python, "^") => "**",
            (Language::Python, "&&") => "and",
            (Language::Python, "||") => "or",
            _ => sign,
        };
        let left = left.at_least(left_needs, language, names);
        let right = right.at_least(right_needs, language, names);
        // Evalexpr reads 2^3^2 from the left.
        match (language, own) {
            (Language::Evalexpr, POWER) => (format!("(({left}) ^ ({right}))"), ATOM),
            _ => (format!("{left} {spelt} {right}"), own),
        }
    }

    /// The tree and all trees in it.
    pub(crate) fn parts(&self) -> Vec<&Self> {
        let inner: Vec<&Self> = match self {
            Self::Unary(_, inner) => vec![inner],
            Self::Binary(_, left, right) => vec![left, right],
            Self::Call(_, arguments) => arguments.iter().collect(),
            _ => Vec::new(),
        };
        inner.into_iter().flat_map(Self::parts).chain([self]).collect()
    }
}

fn number_text(number: f64, unit: Option<&TestUnit>, language: Language) -> (String, u8) {
    match (language, unit) {
        (Language::Ours, Some(unit)) => (format!("{} {}", short(number), unit.symbol), ATOM),
        (Language::Ours, None) => (short(number), ATOM),
        // With a point, so that evalexpr does not take it for a whole number.
        (_, None) => (format!("{number:?}"), ATOM),
        (_, Some(unit)) => (format!("({number:?} * {:?})", unit.factor), ATOM),
    }
}

/// A number as a hand writes it: no point behind whole ones, an exponent where it is a long way off.
fn short(number: f64) -> String {
    let near = number == 0.0 || (1e-4..1e16).contains(&number);
    if near { format!("{number}") } else { format!("{number:?}") }
}

fn truth_text(truth: bool, language: Language) -> &'static str {
    match (language, truth) {
        (Language::Python, true) => "True",
        (Language::Python, false) => "False",
        (_, true) => "true",
        (_, false) => "false",
    }
}

fn called(function: &Function, arguments: &[Tree], language: Language, names: &[&str]) -> String {
    let written: Vec<_> = arguments.iter().map(|tree| tree.written(language, names)).collect();
    let list = written.join(", ");
    match (language, function.name) {
        (Language::Python, "if") => {
            format!("({} if {} else {})", written[1], written[0], written[2])
        }
        (Language::Python, _) => format!("{}({list})", function.python),
        (Language::Evalexpr, _) => format!("{}({list})", function.evalexpr),
        (Language::Ours, _) => format!("{}{list}{}", function.ours.0, function.ours.1),
    }
}
