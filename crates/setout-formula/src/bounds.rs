//! Numbers that lie somewhere between two, and the plain operations on them.
//!
//! Each step is rounded outwards, which holds what exact arithmetic gives and what floats come to.
//! Where an operation has no value for some of the numbers, the bounds are of those for which it
//! has one.

/// All numbers from `low` to `high`. Either may be infinite; no value is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// No value lies below.
    pub low: f64,
    /// No value lies above.
    pub high: f64,
}

/// The larger float of a result that was rounded, unless it is exact.
fn up(value: f64, exact: bool) -> f64 {
    if exact { value } else { value.next_up() }
}

fn down(value: f64, exact: bool) -> f64 {
    if exact { value } else { value.next_down() }
}

/// A sum, and whether it is exact (Knuth's error of a sum).
fn sum(a: f64, b: f64) -> (f64, bool) {
    let sum = a + b;
    let b_part = sum - a;
    let error = (a - (sum - b_part)) + (b - b_part);
    (sum, error == 0.0)
}

/// Whether a number is a power of two, so that a product or a quotient with it is exact.
fn is_shift(by: f64, found: f64) -> bool {
    let mantissa = by.to_bits() & ((1 << (f64::MANTISSA_DIGITS - 1)) - 1);
    mantissa == 0 && by.is_normal() && found.is_normal()
}

impl Bounds {
    /// Any number.
    pub const ANY: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// One number.
    pub fn point(number: f64) -> Self {
        Self { low: number, high: number }
    }

    /// What both allow; `low` lies above `high` where that is nothing.
    pub fn and(self, other: Self) -> Self {
        Self { low: self.low.max(other.low), high: self.high.min(other.high) }
    }

    pub(crate) fn is_zero(self) -> bool {
        self.low == 0.0 && self.high == 0.0
    }

    pub(crate) fn negated(self) -> Self {
        Self { low: 0.0 - self.high, high: 0.0 - self.low }
    }

    pub(crate) fn plus(self, other: Self) -> Self {
        let (low, low_exact) = sum(self.low, other.low);
        let (high, high_exact) = sum(self.high, other.high);
        Self { low: down(low, low_exact), high: up(high, high_exact) }
    }

    pub(crate) fn times(self, other: Self) -> Self {
        self.by_ends(other, |a, b| {
            // No value is infinite, so none times 0 is anything else.
            let product = if a == 0.0 || b == 0.0 { 0.0 } else { a * b };
            (product, a == 0.0 || b == 0.0 || is_shift(a, product) || is_shift(b, product))
        })
    }

    pub(crate) fn over(self, other: Self) -> Self {
        if self.is_zero() {
            return self;
        }
        if other.low <= 0.0 && other.high >= 0.0 {
            return Self::ANY;
        }
        self.by_ends(other, |a, b| {
            let quotient = if a == 0.0 || b.is_infinite() { 0.0 } else { a / b };
            (quotient, a == 0.0 || is_shift(b, quotient))
        })
    }

    /// By an operation that rises or falls in either operand.
    fn by_ends(self, other: Self, operation: impl Fn(f64, f64) -> (f64, bool)) -> Self {
        let mut found = Self { low: f64::INFINITY, high: f64::NEG_INFINITY };
        for a in [self.low, self.high] {
            for b in [other.low, other.high] {
                let (value, exact) = operation(a, b);
                found.low = found.low.min(down(value, exact));
                found.high = found.high.max(up(value, exact));
            }
        }
        found
    }

    pub(crate) fn abs(self) -> Self {
        if self.low >= 0.0 {
            self
        } else if self.high <= 0.0 {
            self.negated()
        } else {
            Self { low: 0.0, high: self.high.max(0.0 - self.low) }
        }
    }

    pub(crate) fn sqrt(self) -> Self {
        if self.high < 0.0 {
            return Self::ANY;
        }
        let low = self.low.max(0.0).sqrt();
        Self { low: low.next_down().max(0.0), high: self.high.sqrt().next_up() }
    }

    /// A power with an exponent that is one whole number, and not a large one.
    pub(crate) fn powered(self, exponent: Self) -> Self {
        let times = exponent.low.abs();
        if exponent.low != exponent.high || exponent.low.fract() != 0.0 || times > MOST_TIMES {
            return Self::ANY;
        }
        let base = if times % 2.0 == 0.0 { self.abs() } else { self };
        let end = |end: f64| {
            let mut power = Self::point(1.0);
            (0..times as u32).for_each(|_| power = power.times(Self::point(end)));
            power.widened()
        };
        let (low, high) = (end(base.low), end(base.high));
        let power = Self { low: low.low, high: high.high };
        if exponent.low < 0.0 { Self::point(1.0).over(power) } else { power }
    }

    /// Wider by a few last bits: floats come to a power by a way of their own.
    pub(crate) fn widened(self) -> Self {
        let wide = |end: f64| if end.is_infinite() { 0.0 } else { end.abs() * 1e-15 };
        Self { low: (self.low - wide(self.low)).next_down(), high: self.high + wide(self.high) }
    }

    pub(crate) fn rounded(self, whole: fn(f64) -> f64) -> Self {
        Self { low: whole(self.low), high: whole(self.high) }
    }

    /// Rounded to a step: no farther than one away.
    pub(crate) fn stepped(self, step: Self) -> Self {
        if step.high <= 0.0 {
            return Self::ANY;
        }
        self.widened().plus(Self { low: 0.0 - step.high, high: step.high })
    }

    pub(crate) fn smaller(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.min(other.high) }
    }

    pub(crate) fn larger(self, other: Self) -> Self {
        Self { low: self.low.max(other.low), high: self.high.max(other.high) }
    }
}

/// Powers are multiplied out so far.
const MOST_TIMES: f64 = 64.0;
