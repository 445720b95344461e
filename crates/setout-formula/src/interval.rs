//! Intervals: all numbers between two, both of them included.
//!
//! Set-based intervals as in IEEE 1788-2015: what an operation gives holds every value that the
//! operation has for numbers of its operands, in exact arithmetic and in floats. Where it has no
//! value for some of the numbers, those are passed over; where it has none for all of them, the
//! result is [`Interval::EMPTY`]. Every end is rounded outwards, and not at all where it is exact.

mod arithmetic;
mod elementary;
mod plane;
mod power;
mod rounding;

pub(crate) use elementary::degree;

/// All numbers from `low` to `high`. Either end may be infinite, but no member is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    low: f64,
    high: f64,
}

impl Interval {
    /// No number at all.
    pub const EMPTY: Self = Self { low: f64::INFINITY, high: f64::NEG_INFINITY };
    /// Every number.
    pub const ENTIRE: Self = Self { low: f64::NEG_INFINITY, high: f64::INFINITY };
    /// Zero alone.
    pub const ZERO: Self = Self { low: 0.0, high: 0.0 };
    /// One alone.
    pub const ONE: Self = Self { low: 1.0, high: 1.0 };

    /// The numbers from `low` to `high`; [`Interval::EMPTY`] where there are none.
    ///
    /// ```
    /// use setout_formula::Interval;
    /// assert!(Interval::new(2.0, 3.0).contains(2.5));
    /// assert!(Interval::new(3.0, 2.0).is_empty());
    /// ```
    pub fn new(low: f64, high: f64) -> Self {
        let is_one = low <= high && low < f64::INFINITY && high > f64::NEG_INFINITY;
        // A negative zero is a zero.
        if is_one { Self { low: low + 0.0, high: high + 0.0 } } else { Self::EMPTY }
    }

    /// One number; nothing for one that is infinite or no number.
    pub fn point(number: f64) -> Self {
        Self::new(number, number)
    }

    /// The least number, or minus infinity.
    pub fn low(self) -> f64 {
        self.low
    }

    /// The greatest number, or infinity.
    pub fn high(self) -> f64 {
        self.high
    }

    /// Whether it holds no number.
    pub fn is_empty(self) -> bool {
        self.low > self.high
    }

    /// The one number that it holds, if it holds one alone.
    pub fn only(self) -> Option<f64> {
        (self.low == self.high).then_some(self.low)
    }

    /// Whether both ends are finite.
    pub fn is_bounded(self) -> bool {
        self.low.is_finite() && self.high.is_finite()
    }

    /// Whether it holds a number.
    pub fn contains(self, number: f64) -> bool {
        number.is_finite() && self.low <= number && number <= self.high
    }

    /// Whether all of it lies in another.
    pub fn is_in(self, other: Self) -> bool {
        self.is_empty() || (other.low <= self.low && self.high <= other.high)
    }

    /// What both hold.
    pub fn and(self, other: Self) -> Self {
        Self::new(self.low.max(other.low), self.high.min(other.high))
    }

    /// The least interval that holds both.
    pub fn hull(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// A number in the middle; of a half-line one far out.
    pub fn middle(self) -> f64 {
        match (self.low.is_finite(), self.high.is_finite()) {
            // Halves first: the sum of two large ends is none.
            (true, true) => (self.low / 2.0 + self.high / 2.0).clamp(self.low, self.high),
            (true, false) => f64::MAX,
            (false, true) => f64::MIN,
            (false, false) => 0.0,
        }
    }

    /// How far the ends lie apart, rounded up; 0 of nothing.
    pub fn width(self) -> f64 {
        if self.is_empty() { 0.0 } else { self.minus(Self::point_end(self.low)).high.max(0.0) }
    }

    /// The greatest size of a member; 0 of nothing.
    pub fn magnitude(self) -> f64 {
        if self.is_empty() { 0.0 } else { self.low.abs().max(self.high.abs()) }
    }

    /// Both halves.
    pub fn halves(self) -> [Self; 2] {
        let middle = self.middle();
        [Self::new(self.low, middle), Self::new(middle, self.high)]
    }

    /// An end, which may be infinite, for arithmetic inside this module.
    fn point_end(end: f64) -> Self {
        Self { low: end, high: end }
    }
}
