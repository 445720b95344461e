//! Powers.

use super::Interval;
use super::elementary::SLACK;
use crate::elementary as el;

/// Powers are multiplied out so far; beyond, they are taken by the float function.
const MOST_TIMES: f64 = 64.0;

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
        if exponent == 0.0 {
            return Self::ONE;
        }
        let is_even = exponent % 2.0 == 0.0;
        let base = if is_even { self.abs() } else { self };
        let times = exponent.abs();
        let end = |end: f64| {
            let end = Self::point_end(end);
            if times <= MOST_TIMES { end.multiplied(times as u32) } else { end.by_float(times) }
        };
        let power = Self { low: end(base.low).low, high: end(base.high).high };
        // Floats come to a power by a way of their own, but for the square.
        let power = if times <= 2.0 { power } else { power.widened(SLACK) };
        let power = if is_even { power.and(UPWARD) } else { power };
        if exponent < 0.0 { Self::ONE.over(power) } else { power }
    }

    /// This times itself, so often.
    fn multiplied(self, times: u32) -> Self {
        let (mut power, mut square, mut left) = (Self::ONE, self, times);
        while left > 0 {
            if left % 2 == 1 {
                power = power.times(square);
            }
            left /= 2;
            if left > 0 {
                square = square.times(square);
            }
        }
        power
    }

    /// By the float function at an end.
    fn by_float(self, exponent: f64) -> Self {
        let value = el::pow(self.low, exponent);
        Self::point_end(value).widened(SLACK)
    }

    /// Of members that are not negative, which rises or falls.
    fn to_the(self, exponent: f64) -> Self {
        if self.is_empty() || (exponent < 0.0 && self == Self::ZERO) {
            return Self::EMPTY;
        }
        let at = |end: f64| match end {
            0.0 if exponent < 0.0 => Self::point_end(f64::INFINITY),
            0.0 => Self::ZERO,
            1.0 => Self::ONE,
            end => Self::point_end(el::pow(end, exponent)).widened(SLACK),
        };
        at(self.low).hull(at(self.high)).and(UPWARD)
    }

    /// With an exponent that is not one number.
    fn to_any(self, exponent: Self) -> Self {
        let size = self.abs();
        if size.low == 0.0 && exponent.low <= 0.0 {
            return if self.low >= 0.0 { UPWARD } else { Self::ENTIRE };
        }
        // For a base above 0 it rises or falls in base and exponent, so the corners hold it all.
        let corner = |base: f64, exponent: f64| Self::point_end(base).to_the(exponent);
        let mut found = Self::EMPTY;
        for base in [size.low, size.high] {
            for exponent in [exponent.low, exponent.high] {
                found = found.hull(corner(base, exponent));
            }
        }
        if self.low < 0.0 { found.hull(found.negated()) } else { found }
    }
}
