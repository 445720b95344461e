//! Units of the second engine: a table of its own, to other base units (m, rad, kg) than the
//! first engine's (mm, deg, g), so that a mistake of kinds or factors does not cancel out.

use std::collections::HashMap;

/// A unit as the second engine knows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Scale {
    pub(crate) factor: f64,
    /// Where the scale begins, in base units: 273.15 for `°C`.
    pub(crate) zero: f64,
}

impl Scale {
    pub(crate) const PLAIN: Self = Self { factor: 1.0, zero: 0.0 };

    pub(crate) fn to_base(self, number: f64) -> f64 {
        number * self.factor + self.zero
    }

    pub(crate) fn shown(self, value: f64) -> f64 {
        (value - self.zero) / self.factor
    }
}

/// The factors of all units.
#[derive(Clone, Debug)]
pub(crate) struct Factors(HashMap<String, Scale>);

impl Factors {
    /// The table of this crate, and what moneys are worth.
    pub(crate) fn with_moneys(moneys: &[(String, f64)]) -> Self {
        let mut factors = Self(HashMap::new());
        for line in include_str!("../data/factors.csv").lines() {
            let mut fields = line.split(',');
            let (Some(symbol), Some(factor), Some(zero)) =
                (fields.next(), fields.next(), fields.next())
            else {
                continue;
            };
            // The head of the table and its remarks have no numbers.
            if let (Ok(factor), Ok(zero)) = (factor.parse(), zero.parse()) {
                factors.set(symbol, Scale { factor, zero });
            }
        }
        for (code, worth) in moneys {
            factors.set(code, Scale { factor: *worth, zero: 0.0 });
        }
        factors
    }

    pub(crate) fn set(&mut self, symbol: &str, scale: Scale) {
        self.0.insert(symbol.to_owned(), scale);
    }

    /// The unit of a whole symbol; `""` is the plain number's.
    pub(crate) fn of(&self, symbol: &str) -> Option<Scale> {
        let symbol = usual(symbol);
        if symbol.is_empty() {
            return Some(Scale::PLAIN);
        }
        let (scale, length) = self.prefix(&symbol)?;
        (length == symbol.len()).then_some(scale)
    }

    /// The unit that a text begins with, and how many bytes it takes.
    pub(crate) fn prefix(&self, text: &str) -> Option<(Scale, usize)> {
        let (first, mut at) = self.factor(text)?;
        let mut scale = first;
        while let Some((joint, length)) = joint(&text[at..]) {
            // A blank or a digit behind the sign makes it arithmetic.
            let Some((next, taken)) = self.factor(&text[at + length..]) else { break };
            scale.factor = match joint {
                '/' => scale.factor / next.factor,
                _ => scale.factor * next.factor,
            };
            at += length + taken;
        }
        Some((scale, at))
    }

    /// One symbol with its power.
    fn factor(&self, text: &str) -> Option<(Scale, usize)> {
        let length = text.find(|c| !is_letter(c)).unwrap_or(text.len());
        let scale = *self.0.get(&text[..length])?;
        let (power, taken) = power(&text[length..]);
        let factor = if power == 1.0 { scale.factor } else { scale.factor.powf(power) };
        Some((Scale { factor, ..scale }, length + taken))
    }
}

fn joint(text: &str) -> Option<(char, usize)> {
    let sign = text.chars().next().filter(|c| matches!(c, '*' | '·' | '⋅' | '/'))?;
    Some((sign, sign.len_utf8()))
}

/// A power behind a symbol, 1 if there is none: `^2`, `^-1`, `²`, and `^(1/2)` where units are shown.
fn power(text: &str) -> (f64, usize) {
    let raised = [("²", 2.0), ("³", 3.0)].into_iter().find(|(sign, _)| text.starts_with(sign));
    if let Some((sign, power)) = raised {
        return (power, sign.len());
    }
    let Some(rest) = text.strip_prefix('^') else { return (1.0, 0) };
    if let Some((inside, _)) = rest.strip_prefix('(').and_then(|rest| rest.split_once(')')) {
        let (above, below) = inside.split_once('/').unwrap_or((inside, "1"));
        let number = |text: &str| text.parse::<f64>().unwrap_or(f64::NAN);
        return (number(above) / number(below), inside.len() + 3);
    }
    let sign = usize::from(rest.starts_with('-'));
    let digits = rest[sign..].bytes().take_while(u8::is_ascii_digit).count();
    (rest[..sign + digits].parse().unwrap_or(f64::NAN), 1 + sign + digits)
}

fn is_letter(c: char) -> bool {
    c.is_ascii_alphabetic() || matches!(c, '°' | 'µ' | 'Ω' | '%')
}

/// µ and Ω have two code points each.
pub(crate) fn usual(text: &str) -> String {
    text.replace('\u{3bc}', "\u{b5}").replace('\u{2126}', "\u{3a9}")
}
