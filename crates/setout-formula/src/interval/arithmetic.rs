//! The plain operations.

use super::Interval;
use super::rounding::{product, quotient, root, sum};

/// On which side of 0 an interval lies.
#[derive(Clone, Copy)]
enum Side {
    Above,
    Below,
    Both,
}

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
        self.times_by(other, |a, b| product(a, b).down(), |a, b| product(a, b).up())
    }

    /// All products, and a float more at both ends of all but 0: where nobody asks whether an end is
    /// exact, that is a third of the work.
    pub(crate) fn times_loosely(self, other: Self) -> Self {
        // No member is infinite, so 0 times an infinite end is 0.
        let nothing = |a: f64, b: f64| a == 0.0 || b == 0.0;
        let down = |a: f64, b: f64| if nothing(a, b) { 0.0 } else { (a * b).next_down() };
        let up = |a: f64, b: f64| if nothing(a, b) { 0.0 } else { (a * b).next_up() };
        self.times_by(other, down, up)
    }

    #[inline(always)]
    fn times_by(
        self,
        other: Self,
        down: impl Fn(f64, f64) -> f64,
        up: impl Fn(f64, f64) -> f64,
    ) -> Self {
        if self.is_empty() || other.is_empty() {
            return Self::EMPTY;
        }
        let [low, high] = match (self.side(), other.side()) {
            (Side::Above, Side::Above) => [(self.low, other.low), (self.high, other.high)],
            (Side::Above, Side::Below) => [(self.high, other.low), (self.low, other.high)],
            (Side::Above, Side::Both) => [(self.high, other.low), (self.high, other.high)],
            (Side::Below, Side::Above) => [(self.low, other.high), (self.high, other.low)],
            (Side::Below, Side::Below) => [(self.high, other.high), (self.low, other.low)],
            (Side::Below, Side::Both) => [(self.low, other.high), (self.low, other.low)],
            (Side::Both, Side::Above) => [(self.low, other.high), (self.high, other.high)],
            (Side::Both, Side::Below) => [(self.high, other.low), (self.low, other.low)],
            (Side::Both, Side::Both) => {
                let low = down(self.low, other.high).min(down(self.high, other.low));
                let high = up(self.low, other.low).max(up(self.high, other.high));
                return Self { low, high };
            }
        };
        Self { low: down(low.0, low.1), high: up(high.0, high.1) }
    }

    /// On which side of 0 it lies.
    fn side(self) -> Side {
        match () {
            () if self.low >= 0.0 => Side::Above,
            () if self.high <= 0.0 => Side::Below,
            () => Side::Both,
        }
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
            let [low, high] = match (self.side(), other.low > 0.0) {
                (Side::Above, true) => [(self.low, other.high), (self.high, other.low)],
                (Side::Below, true) => [(self.low, other.low), (self.high, other.high)],
                (Side::Both, true) => [(self.low, other.low), (self.high, other.low)],
                (Side::Above, false) => [(self.high, other.high), (self.low, other.low)],
                (Side::Below, false) => [(self.high, other.low), (self.low, other.high)],
                (Side::Both, false) => [(self.high, other.high), (self.low, other.high)],
            };
            return Self {
                low: quotient(low.0, low.1).down(),
                high: quotient(high.0, high.1).up(),
            };
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

#[cfg(test)]
mod tests {
    use super::super::rounding::Rounded;
    use super::*;

    /// What all four pairs of ends come to, whatever their signs.
    fn by_ends(a: Interval, b: Interval, operation: fn(f64, f64) -> Rounded) -> Interval {
        let mut found = Interval::EMPTY;
        for a in [a.low, a.high] {
            for b in [b.low, b.high] {
                let end = operation(a, b);
                found.low = found.low.min(end.down());
                found.high = found.high.max(end.up());
            }
        }
        found
    }

    /// The same, or closer by the smallest float where a product of other ends was rounded beyond
    /// a zero.
    fn is_as_close(found: Interval, wanted: Interval, what: &str) {
        let apart = |a: f64, b: f64| a != b && (a - b).abs() > 5e-324;
        let is_close = !apart(found.low, wanted.low) && !apart(found.high, wanted.high);
        assert!(found.is_in(wanted) && is_close, "{what}: {found:?} for {wanted:?}");
    }

    #[test]
    fn signs_tell_which_ends_count() {
        let inf = f64::INFINITY;
        let numbers = [
            -inf,
            -1e300,
            -3.7,
            -1.0,
            -1.0 / 3.0,
            -1e-300,
            -5e-324,
            0.0,
            5e-324,
            1e-300,
            0.1,
            1.0,
            7.3,
            1e300,
            inf,
        ];
        let all = || {
            let pairs =
                numbers.iter().flat_map(|low| numbers.iter().map(move |high| (*low, *high)));
            pairs.map(|(low, high)| Interval::new(low, high)).filter(|own| !own.is_empty())
        };
        for a in all() {
            for b in all() {
                is_as_close(a.times(b), by_ends(a, b, product), &format!("{a:?} * {b:?}"));
                let loose = a.times_loosely(b);
                assert!(a.times(b).is_in(loose), "{a:?} * {b:?}: {loose:?}");
                assert_eq!(loose.low >= 0.0, a.times(b).low >= 0.0, "{a:?} * {b:?}: {loose:?}");
                assert_eq!(loose.high <= 0.0, a.times(b).high <= 0.0, "{a:?} * {b:?}: {loose:?}");
                // Ends without bound would be divided by each other; signs alone tell there.
                if a.is_bounded() && b.is_bounded() {
                    is_as_close(a.plus(b), by_ends(a, b, sum), &format!("{a:?} + {b:?}"));
                }
                let bounded = a.is_bounded() || b.is_bounded();
                if !b.contains(0.0) && bounded {
                    is_as_close(a.over(b), by_ends(a, b, quotient), &format!("{a:?} / {b:?}"));
                }
            }
        }
        assert_eq!(Interval::new(1.0, inf).over(Interval::new(1.0, inf)), Interval::new(0.0, inf));
        assert_eq!(Interval::ENTIRE.over(Interval::new(1.0, inf)), Interval::ENTIRE);
    }

    /// The ends of a root are the floats next to it on either side, unless it is one itself.
    #[test]
    fn a_root_lies_between_its_ends() {
        for x in [2.0, 3.0, 0.1, 0.7, 5.5, 1e-200, 1e200, 4.0, 0.25, 1e10] {
            let found = Interval::point(x).sqrt();
            // What the exact square of an end is more than x.
            let more = |end: f64| {
                let square = product(end, end);
                (square.value - x) + square.error
            };
            assert!(more(found.low) <= 0.0 && more(found.high) >= 0.0, "{x}: {found:?}");
            let is_one = more(found.low) == 0.0;
            let next = if is_one { found.low } else { found.low.next_up() };
            assert_eq!(found.high, next, "{x}");
        }
    }

    #[test]
    fn the_smaller_and_the_larger_of_two_spans() {
        let spans = |a: [f64; 2], b: [f64; 2]| {
            let [a, b] = [a, b].map(|[low, high]| Interval::new(low, high));
            [a.smaller(b), a.larger(b)]
        };
        let wanted = [Interval::new(0.0, 2.0), Interval::new(1.0, 5.0)];
        assert_eq!(spans([1.0, 2.0], [0.0, 5.0]), wanted);
        assert_eq!(spans([0.0, 5.0], [1.0, 2.0]), wanted);
    }

    /// 0.1 is a little more than a tenth, so what is rounded to it does not hold that.
    #[test]
    fn quotients_by_what_ends_at_zero_hold_their_end() {
        let [above, below] = [Interval::new(1.0, 2.0), Interval::new(-2.0, -1.0)];
        let [up, down] = [Interval::new(0.0, 10.0), Interval::new(-10.0, 0.0)];
        for found in [above.over(up), below.over(down)] {
            assert_eq!(found, Interval::new(0.1_f64.next_down(), f64::INFINITY));
        }
        for found in [above.over(down), below.over(up)] {
            assert_eq!(found, Interval::new(f64::NEG_INFINITY, (-0.1_f64).next_up()));
        }
    }
}
