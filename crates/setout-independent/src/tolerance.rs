//! Tolerances as they are written: `±0.2 mm`, `+0.1 -0.3 mm`, `H7`.

use crate::factors::{Factors, Scale, usual};
use crate::fits;
use crate::refusal::Refusal;

/// What a tolerance says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Zone {
    /// The lower and the upper deviation, in base units.
    Between([f64; 2]),
    /// A class, whose deviations depend on the size.
    Class(String),
}

impl Zone {
    pub(crate) fn read(written: &str, factors: &Factors) -> Result<Self, Refusal> {
        let text = usual(written.trim());
        let is_class = text.starts_with(|c: char| c.is_ascii_alphabetic());
        if is_class {
            return Ok(Self::Class(text));
        }
        let half = text.strip_prefix('±').or_else(|| text.strip_prefix("+/-"));
        if let Some(half) = half {
            let (number, scale) = single(half, factors)?;
            let by = number * scale.factor;
            return Ok(Self::Between([-by, by]));
        }
        let mut signs = text.match_indices(['+', '-']).map(|(at, _)| at);
        match (signs.next(), signs.next()) {
            (Some(0), Some(second)) => unequal(text.split_at(second), factors),
            // Exact.
            (None, None) if single(&text, factors)?.0 == 0.0 => Ok(Self::Between([0.0, 0.0])),
            _ => Err(Refusal::Unreadable),
        }
    }

    /// The lower and the upper deviation of a dimension of a nominal size.
    pub(crate) fn deviations(&self, nominal: f64) -> Option<[f64; 2]> {
        match self {
            Self::Between(both) => Some(*both),
            Self::Class(class) => fits::deviations(class, nominal.abs()),
        }
    }
}

/// Two numbers. The first may leave its unit to the second.
fn unequal((first, second): (&str, &str), factors: &Factors) -> Result<Zone, Refusal> {
    let ((one, its_scale), (other, scale)) = (single(first, factors)?, single(second, factors)?);
    let is_bare = first.trim_end().ends_with(|c: char| c.is_ascii_digit());
    let one = one * if is_bare { scale } else { its_scale }.factor;
    let other = other * scale.factor;
    Ok(Zone::Between(if one < other { [one, other] } else { [other, one] }))
}

/// A number with its unit.
fn single(text: &str, factors: &Factors) -> Result<(f64, Scale), Refusal> {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '+' | '-')));
    let (number, symbol) = text.split_at(end.unwrap_or(text.len()));
    let number = number.parse().map_err(|_| Refusal::Unreadable)?;
    let symbol = symbol.trim();
    let unknown = || Refusal::NoUnit { symbol: symbol.to_owned() };
    Ok((number, factors.of(symbol).ok_or_else(unknown)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms() {
        let read = |text: &str| Zone::read(text, &Factors::with_moneys(&[]));
        let between = |low: f64, high: f64| Ok(Zone::Between([low, high]));
        assert_eq!(read("±0.2 mm"), between(-0.0002, 0.0002));
        assert_eq!(read("+/- 1 m"), between(-1.0, 1.0));
        assert_eq!(read("+0.5 -0.25 m"), between(-0.25, 0.5));
        assert_eq!(read("-0.25 +0.5 m"), between(-0.25, 0.5));
        assert_eq!(read("+0.5 m -0.25 m"), between(-0.25, 0.5));
        assert_eq!(read("-0.5 -0.25 m"), between(-0.5, -0.25));
        assert_eq!(read("+2 -0 m"), between(0.0, 2.0));
        assert_eq!(read("±0.5"), between(-0.5, 0.5));
        assert_eq!(read("0 m/s^2"), between(0.0, 0.0));
        assert_eq!(read("0.0 mm"), between(0.0, 0.0));
        assert_eq!(read("±2 m/s^2"), between(-2.0, 2.0));
        assert_eq!(read(" js6 "), Ok(Zone::Class("js6".into())));
        for text in ["", "0.2 mm", "+0.2 mm", "±", "±x mm", "±1 zm", "+ 0.1 mm"] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
