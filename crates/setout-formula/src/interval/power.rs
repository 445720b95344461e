//! Powers.

use super::Interval;
use super::elementary::SLACK;
use crate::elementary as el;

const UPWARD: Interval = Interval { low: 0.0, high: f64::INFINITY };

impl Interval {
    /// All powers that exist: of a negative base with a whole exponent only, of 0 with one that is
    /// not negative.
    pub fn powered(self, exponent: Self) -> Self {
        if self.is_empty() || exponent.is_empty() {
            return Self::EMPTY;
        }
        match exponent.only() {
            Some(whole) if whole.fract() == 0.0 => self.to_the_whole(whole),
            Some(exponent) => self.and(UPWARD).to_the(exponent),
            None => self.to_any(exponent),
        }
    }

    fn to_the_whole(self, exponent: f64) -> Self {
        // What formulas are full of.
        if exponent == 1.0 {
            return self;
        }
        if exponent == 2.0 {
            return self.square();
        }
        let is_even = exponent % 2.0 == 0.0;
        let base = if is_even { self.abs() } else { self };
        let has_pole = exponent < 0.0 && base.contains(0.0);
        match () {
            () if exponent == 0.0 => return Self::ONE,
            () if has_pole && base == Self::ZERO => return Self::EMPTY,
            () if has_pole && base.low < 0.0 && base.high > 0.0 => return Self::ENTIRE,
            () => {}
        }
        // A base of 0 is the end of negative ones, or of positive ones.
        let is_below = |end: f64| end < 0.0 || (end == 0.0 && base.low < 0.0);
        let at = |end: f64| {
            let power = power(end.abs(), exponent);
            if is_below(end) { power.negated() } else { power }
        };
        at(base.low).hull(at(base.high))
    }

    /// Of members that are not negative, which rises or falls.
    fn to_the(self, exponent: f64) -> Self {
        if self.is_empty() || (exponent < 0.0 && self == Self::ZERO) {
            return Self::EMPTY;
        }
        power(self.low, exponent).hull(power(self.high, exponent))
    }

    /// With an exponent that is not one number.
    fn to_any(self, exponent: Self) -> Self {
        let size = self.abs();
        let exponent = if size == Self::ZERO { exponent.and(UPWARD) } else { exponent };
        if exponent.is_empty() {
            return Self::EMPTY;
        }
        // For a base above 0 it rises or falls in base and exponent, so the corners hold it all.
        let mut found = Self::EMPTY;
        for base in [size.low, size.high] {
            for exponent in [exponent.low, exponent.high] {
                found = found.hull(power(base, exponent));
            }
        }
        if self.low < 0.0 { found.hull(found.negated()) } else { found }
    }
}

/// The power of an end that is not negative. Negative powers of 0 are endless: it is the end of
/// greater ones.
fn power(base: f64, exponent: f64) -> Interval {
    let is_falling = exponent < 0.0;
    match base {
        _ if exponent == 0.0 => Interval::ONE,
        1.0 => Interval::ONE,
        0.0 | f64::INFINITY if (base == 0.0) == is_falling => Interval::point_end(f64::INFINITY),
        0.0 | f64::INFINITY => Interval::ZERO,
        _ if exponent == 1.0 => Interval::point_end(base),
        _ if exponent == 2.0 => Interval::point_end(base).square(),
        _ if exponent == -1.0 => Interval::ONE.over(Interval::point_end(base)),
        _ => Interval::point_end(el::pow(base, exponent)).widened(SLACK).and(UPWARD),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn first_and_second_powers_are_as_close_as_can_be() {
        let powered = |low, high, by| Interval::new(low, high).powered(Interval::point(by));
        assert_eq!(powered(-2.0, 3.0, 1.0), Interval::new(-2.0, 3.0));
        assert_eq!(powered(-2.0, 3.0, 2.0), Interval::new(0.0, 9.0));
        assert_eq!(powered(-3.0, -2.0, 2.0), Interval::new(4.0, 9.0));
        assert_eq!(powered(0.0, f64::INFINITY, 2.0), Interval::new(0.0, f64::INFINITY));
    }
}
