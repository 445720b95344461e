//! How a dimension spreads.

use std::fmt;

/// How a number spreads, in whatever unit its parameters have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread(pub(crate) Shape);

#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Shape {
    Normal { mean: f64, deviation: f64 },
    Uniform { low: f64, width: f64 },
    Triangular { low: f64, mode: f64, high: f64 },
}

/// Why parameters describe no spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum BadSpread {
    /// One of them, or the width between two, is not a finite number.
    NotFinite,
    /// A standard deviation is below 0.
    NegativeDeviation,
    /// The numbers that must rise from the first to the last do not.
    OutOfOrder,
}

impl fmt::Display for BadSpread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NotFinite => "a parameter of the spread, or its width, is not a finite number",
            Self::NegativeDeviation => "the standard deviation is negative",
            Self::OutOfOrder => "the ends of the spread are not in order",
        })
    }
}

impl std::error::Error for BadSpread {}

fn finite(numbers: &[f64]) -> Result<(), BadSpread> {
    let all = numbers.iter().all(|number| number.is_finite());
    if all { Ok(()) } else { Err(BadSpread::NotFinite) }
}

impl Spread {
    /// The normal distribution of a mean and a standard deviation, which may be 0.
    ///
    /// # Errors
    /// A number that is not finite, a negative deviation.
    pub fn normal(mean: f64, deviation: f64) -> Result<Self, BadSpread> {
        finite(&[mean, deviation])?;
        if deviation < 0.0 {
            return Err(BadSpread::NegativeDeviation);
        }
        Ok(Self(Shape::Normal { mean, deviation }))
    }

    /// All numbers between two, each as likely as the others.
    ///
    /// # Errors
    /// A number that is not finite, ends out of order.
    pub fn uniform(low: f64, high: f64) -> Result<Self, BadSpread> {
        finite(&[low, high, high - low])?;
        if low > high {
            return Err(BadSpread::OutOfOrder);
        }
        Ok(Self(Shape::Uniform { low, width: high - low }))
    }

    /// The numbers between two, most likely at the mode and ever less so towards both ends, along
    /// straight lines. The mode may be one of the ends.
    ///
    /// # Errors
    /// A number that is not finite, numbers out of order.
    pub fn triangular(low: f64, mode: f64, high: f64) -> Result<Self, BadSpread> {
        let width = high - low;
        finite(&[low, mode, high, width * width])?;
        if low > mode || mode > high {
            return Err(BadSpread::OutOfOrder);
        }
        Ok(Self(Shape::Triangular { low, mode, high }))
    }
}
