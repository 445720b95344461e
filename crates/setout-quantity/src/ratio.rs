//! Exponents: small fractions in lowest terms.

use std::fmt;

/// A fraction in lowest terms with a positive denominator, the exponent of a base kind.
///
/// ```
/// use setout_quantity::Ratio;
/// assert_eq!(Ratio::new(2, -4), Ratio::new(-1, 2));
/// assert_eq!(Ratio::new(1, 0), None);
/// assert_eq!(Ratio::new(-1, 2).unwrap().to_string(), "-1/2");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Ratio {
    numerator: i16,
    denominator: i16,
}

impl Ratio {
    /// 0.
    pub const ZERO: Self = Self { numerator: 0, denominator: 1 };
    /// 1.
    pub const ONE: Self = Self { numerator: 1, denominator: 1 };

    /// The fraction, or `None` for a zero denominator and for what does not fit 16 bits.
    pub fn new(numerator: i64, denominator: i64) -> Option<Self> {
        if denominator == 0 {
            return None;
        }
        let shared = gcd(numerator.unsigned_abs(), denominator.unsigned_abs());
        let shared = i64::try_from(shared).ok()? * denominator.signum();
        Some(Self {
            numerator: i16::try_from(numerator.checked_div(shared)?).ok()?,
            denominator: i16::try_from(denominator.checked_div(shared)?).ok()?,
        })
    }

    /// A whole number.
    pub const fn whole(number: i16) -> Self {
        Self { numerator: number, denominator: 1 }
    }

    /// The whole number that this is, if it is one.
    pub fn as_whole(self) -> Option<i16> {
        (self.denominator == 1).then_some(self.numerator)
    }

    /// The value as a float, rounded once.
    pub fn to_f64(self) -> f64 {
        f64::from(self.numerator) / f64::from(self.denominator)
    }

    /// The sum, unless it does not fit.
    pub fn plus(self, other: Self) -> Option<Self> {
        let (a, b) = (i64::from(self.numerator), i64::from(self.denominator));
        let (c, d) = (i64::from(other.numerator), i64::from(other.denominator));
        Self::new(a * d + c * b, b * d)
    }

    /// The product, unless it does not fit.
    pub fn times(self, other: Self) -> Option<Self> {
        let (a, b) = (i64::from(self.numerator), i64::from(self.denominator));
        let (c, d) = (i64::from(other.numerator), i64::from(other.denominator));
        Self::new(a * c, b * d)
    }

    /// The quotient, unless it does not fit or the divisor is 0.
    pub fn over(self, other: Self) -> Option<Self> {
        let (a, b) = (i64::from(self.numerator), i64::from(self.denominator));
        let (c, d) = (i64::from(other.numerator), i64::from(other.denominator));
        Self::new(a * d, b * c)
    }

    /// The same with the other sign.
    pub fn negated(self) -> Option<Self> {
        Self::new(-i64::from(self.numerator), i64::from(self.denominator))
    }

    /// Whether this is below 0.
    pub fn is_negative(self) -> bool {
        self.numerator < 0
    }
}

fn gcd(a: u64, b: u64) -> u64 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

impl fmt::Display for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.as_whole() {
            Some(whole) => write!(f, "{whole}"),
            None => write!(f, "{}/{}", self.numerator, self.denominator),
        }
    }
}
