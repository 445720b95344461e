//! Of points in the plane: their directions and their distances from the origin.

use super::Interval;
use super::elementary::SLACK;
use crate::elementary as el;

/// How many floats a direction may be away from the exact one. Three steps are rounded, a quotient,
/// its arc tangent and the change to degrees: by 1.6 parts in 2^52 in all, and floats lie half as
/// far apart as that part where they are sparsest. This leaves something.
const SLANT: u32 = 4;

const TURN: Interval = Interval { low: -180.0, high: 180.0 };
const UPWARD: Interval = Interval { low: 0.0, high: f64::INFINITY };

impl Interval {
    /// The directions of the points (x, y), `self` being y: above -180 and up to 180 degrees. Where
    /// the points lie on both sides of the cut, at 180 degrees, it is the whole turn.
    ///
    /// ```
    /// use setout_formula::Interval;
    /// let (y, x) = (Interval::new(0.0, 5.0), Interval::new(-5.0, 0.0));
    /// assert_eq!(y.atan2(x), Interval::new(90.0, 180.0));
    /// ```
    pub fn atan2(self, x: Self) -> Self {
        if self.is_empty() || x.is_empty() || (self == Self::ZERO && x == Self::ZERO) {
            return Self::EMPTY;
        }
        match () {
            () if self.crosses_cut(x) => TURN,
            () if self.low >= 0.0 => self.upper_directions(x),
            () if self.high <= 0.0 => self.negated().upper_directions(x).negated(),
            // The points lie on the right, above and below the axis.
            () => direction(self.low, x.low).hull(direction(self.high, x.low)).and(TURN),
        }
    }

    /// Whether some of the points lie on the cut or above it and some below.
    pub(crate) fn crosses_cut(self, x: Self) -> bool {
        x.low < 0.0 && self.low < 0.0 && self.high >= 0.0
    }

    /// No point lies below the axis. Seen from the origin the outermost one on the right is a
    /// lower corner if it stands on the right, else an upper one, and so on the left.
    fn upper_directions(self, x: Self) -> Self {
        let right = if x.high > 0.0 || self == Self::ZERO { self.low } else { self.high };
        let left = if x.low < 0.0 { self.low } else { self.high };
        // Without a height, points that end at the origin lie all on one side of it.
        let right_x = if self == Self::ZERO && x.high == 0.0 { x.low } else { x.high };
        let left_x = if self == Self::ZERO && x.low == 0.0 { x.high } else { x.low };
        let found = direction(right, right_x).hull(direction(left, left_x));
        found.and(Self { low: 0.0, high: 180.0 })
    }

    /// The hypotenuses.
    pub fn hypot(self, other: Self) -> Self {
        let (a, b) = (self.abs(), other.abs());
        if a.is_empty() || b.is_empty() {
            return Self::EMPTY;
        }
        let found = Self { low: distance(a.low, b.low).low, high: distance(a.high, b.high).high };
        found.and(UPWARD)
    }
}

/// The direction of a point of which one coordinate may be infinite.
fn direction(y: f64, x: f64) -> Interval {
    match () {
        () if x.is_infinite() => Interval::point(if x > 0.0 { 0.0 } else { 180.0 }),
        () if y.is_infinite() => Interval::point(90.0_f64.copysign(y)),
        () => {
            let value = Interval::point(el::atan2(y, x));
            let is_exact = y == 0.0 || x == 0.0 || y.abs() == x.abs();
            if is_exact { value } else { value.widened(SLANT) }
        }
    }
}

/// The distance from the origin of a point with no negative coordinate.
fn distance(x: f64, y: f64) -> Interval {
    let value = Interval::point_end(libm::hypot(x, y));
    let is_exact = x == 0.0 || y == 0.0 || x.is_infinite() || y.is_infinite();
    if is_exact { value } else { value.widened(SLACK) }
}
