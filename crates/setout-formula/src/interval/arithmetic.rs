//! The plain operations.

use super::Interval;
use super::rounding::{Rounded, product, quotient, root, sum};

impl Interval {
    /// All differences of 0 and a member.
    pub fn negated(self) -> Self {
        if self.is_empty() { self } else { Self { low: 0.0 - self.high, high: 0.0 - self.low } }
    }

    /// All sums.
    pub fn plus(self, other: Self) -> Self {
        if self.is_empty() || other.is_empty() {
            return Self::EMPTY;
        }
        Self { low: sum(self.low, other.low).down(), high: sum(self.high, other.high).up() }
    }

    /// All differences.
    pub fn minus(self, other: Self) -> Self {
        self.plus(other.negated())
    }

    /// All products.
    ///
    /// ```
    /// use setout_formula::Interval;
    /// let product = Interval::new(-1.0, 2.0).times(Interval::new(3.0, 4.0));
    /// assert_eq!(product, Interval::new(-4.0, 8.0));
    /// ```
    pub fn times(self, other: Self) -> Self {
        if self.is_empty() || other.is_empty() {
            return Self::EMPTY;
        }
        self.by_ends(other, product)
    }

    /// All quotients by a divisor that is not 0.
    ///
    /// ```
    /// use setout_formula::Interval;
    /// let quotient = Interval::ONE.over(Interval::new(0.0, 4.0));
    /// assert_eq!(quotient, Interval::new(0.25, f64::INFINITY));
    /// assert!(Interval::ONE.over(Interval::ZERO).is_empty());
    /// ```
    pub fn over(self, other: Self) -> Self {
        if self.is_empty() || other.is_empty() || other == Self::ZERO {
            return Self::EMPTY;
        }
        if !other.contains(0.0) {
            return self.by_ends(other, quotient);
        }
        if self == Self::ZERO {
            return self;
        }
        let on_both_sides = |x: Self| x.low < 0.0 && x.high > 0.0;
        if on_both_sides(self) || on_both_sides(other) {
            return Self::ENTIRE;
        }
        // The divisor reaches down to 0 from one side, so the quotient has no end on one side.
        let near = if self.low >= 0.0 { self.low } else { self.high };
        let far = if other.low == 0.0 { other.high } else { other.low };
        let end = quotient(near, far);
        let is_positive = (self.low >= 0.0) == (far > 0.0);
        if is_positive {
            Self { low: end.down().max(0.0), high: f64::INFINITY }
        } else {
            Self { low: f64::NEG_INFINITY, high: end.up().min(0.0) }
        }
    }

    /// An operation that rises or falls in each of its operands.
    fn by_ends(self, other: Self, operation: fn(f64, f64) -> Rounded) -> Self {
        let mut found = Self::EMPTY;
        for a in [self.low, self.high] {
            for b in [other.low, other.high] {
                let end = operation(a, b);
                found.low = found.low.min(end.down());
                found.high = found.high.max(end.up());
            }
        }
        found
    }

    /// All sizes.
    pub fn abs(self) -> Self {
        if self.is_empty() || self.low >= 0.0 {
            self
        } else if self.high <= 0.0 {
            self.negated()
        } else {
            Self { low: 0.0, high: self.high.max(0.0 - self.low) }
        }
    }

    /// All squares.
    pub fn square(self) -> Self {
        let size = self.abs();
        if size.is_empty() {
            return size;
        }
        Self {
            low: product(size.low, size.low).down().max(0.0),
            high: product(size.high, size.high).up(),
        }
    }

    /// The square roots of all members that have one.
    pub fn sqrt(self) -> Self {
        let has = self.and(Self { low: 0.0, high: f64::INFINITY });
        if has.is_empty() {
            return has;
        }
        Self { low: root(has.low).down().max(0.0), high: root(has.high).up() }
    }

    /// -1, 0 and 1 for members below, at and above 0.
    pub fn sign(self) -> Self {
        self.stepwise(|x| f64::from(i8::from(x > 0.0) - i8::from(x < 0.0)))
    }

    /// The smaller of a member of each.
    pub fn smaller(self, other: Self) -> Self {
        if self.is_empty() || other.is_empty() {
            return Self::EMPTY;
        }
        Self { low: self.low.min(other.low), high: self.high.min(other.high) }
    }

    /// The larger of a member of each.
    pub fn larger(self, other: Self) -> Self {
        if self.is_empty() || other.is_empty() {
            return Self::EMPTY;
        }
        Self { low: self.low.max(other.low), high: self.high.max(other.high) }
    }

    /// A function that never falls and is exact, such as rounding to whole numbers.
    pub(crate) fn stepwise(self, step: impl Fn(f64) -> f64) -> Self {
        if self.is_empty() {
            return self;
        }
        Self { low: step(self.low), high: step(self.high) }
    }

    /// Wider by so many floats at both ends.
    pub(super) fn widened(self, floats: u32) -> Self {
        if self.is_empty() {
            return self;
        }
        let mut found = self;
        for _ in 0..floats {
            found = Self { low: found.low.next_down(), high: found.high.next_up() };
        }
        found
    }
}
