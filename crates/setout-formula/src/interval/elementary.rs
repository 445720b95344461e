//! Elementary functions. Angles are degrees.

use super::Interval;
use crate::elementary as el;

/// How many floats the values of the elementary functions may be away from the exact ones. They
/// were measured to be within 1 (tests/elementary, against 50 digits); this leaves a float more.
pub(super) const SLACK: u32 = 2;

/// What an inverse function may take to be a neat angle and put in place of the nearest float.
const NEAT: f64 = 1e-12;

/// Beyond this many degrees the quarters of a turn are not told apart any more.
const FARTHEST: f64 = 1e12;

const UNIT: Interval = Interval { low: -1.0, high: 1.0 };

/// π/180, by the floats next to it.
pub(crate) fn degree() -> Interval {
    let near = std::f64::consts::PI / 180.0;
    Interval::new(near.next_down(), near.next_up())
}

impl Interval {
    /// A function that never falls, whose floats are within the slack of the exact values. What
    /// stands in `exact` is.
    fn rising(self, function: impl Fn(f64) -> f64, exact: impl Fn(f64) -> bool) -> Self {
        if self.is_empty() {
            return self;
        }
        let at = |end: f64| {
            let value = Self::point_end(function(end));
            if exact(end) { value } else { value.widened(SLACK) }
        };
        Self { low: at(self.low).low, high: at(self.high).high }
    }

    /// e to the power of all members.
    pub fn exp(self) -> Self {
        let found = self.rising(libm::exp, |x| x == 0.0 || x.is_infinite());
        found.and(Self { low: 0.0, high: f64::INFINITY })
    }

    /// The natural logarithms of the members above 0.
    pub fn ln(self) -> Self {
        self.logarithm(libm::log)
    }

    /// The common logarithms of the members above 0.
    pub fn log10(self) -> Self {
        self.logarithm(libm::log10)
    }

    fn logarithm(self, function: fn(f64) -> f64) -> Self {
        if self.is_empty() || self.high <= 0.0 {
            return Self::EMPTY;
        }
        let has = Self { low: self.low.max(0.0), high: self.high };
        has.rising(function, |x| x == 1.0 || x == 0.0 || x.is_infinite())
    }

    /// The cube roots.
    pub fn cbrt(self) -> Self {
        self.rising(libm::cbrt, |x| x == 0.0 || x.is_infinite())
    }

    /// The sines.
    pub fn sin(self) -> Self {
        self.wave(el::sin, 90.0)
    }

    /// The cosines.
    pub fn cos(self) -> Self {
        self.wave(el::cos, 0.0)
    }

    /// A function that has its 1 at this angle, its -1 half a turn on, and falls and rises between.
    fn wave(self, function: fn(f64) -> f64, crest: f64) -> Self {
        if self.is_empty() {
            return self;
        }
        if self.magnitude() > FARTHEST {
            return UNIT;
        }
        let at = |end: f64| {
            let value = Self::point(function(end));
            if end % 90.0 == 0.0 { value } else { value.widened(SLACK) }
        };
        let mut found = at(self.low).hull(at(self.high));
        if self.holds_turned(crest, 360.0) {
            found.high = 1.0;
        }
        if self.holds_turned(crest + 180.0, 360.0) {
            found.low = -1.0;
        }
        found.and(UNIT)
    }

    /// Whether it holds this angle, whole periods apart.
    fn holds_turned(self, angle: f64, period: f64) -> bool {
        let first = ((self.low - angle) / period).floor();
        // The quotient may be rounded to either side of a whole number.
        (-1..=2).any(|more| self.contains(angle + period * (first + f64::from(more))))
    }

    /// Whether the tangent has a pole in it, or cannot be told from one.
    pub(crate) fn holds_pole(self) -> bool {
        self.magnitude() > FARTHEST || self.holds_turned(90.0, 180.0)
    }

    /// The tangents.
    pub fn tan(self) -> Self {
        if self.is_empty() {
            return self;
        }
        if self.holds_pole() {
            let is_pole = self.only().is_some_and(|angle| !el::tan(angle).is_finite());
            return if is_pole { Self::EMPTY } else { Self::ENTIRE };
        }
        self.rising(el::tan, |angle| angle % 180.0 == 0.0)
    }

    /// The angles with a sine in it, from -90 to 90 degrees.
    pub fn asin(self) -> Self {
        let found = self.and(UNIT).rising(el::asin, |x| x == 0.0 || x.abs() == 1.0);
        found.beside_neat().and(Self { low: -90.0, high: 90.0 })
    }

    /// The angles with a cosine in it, from 0 to 180 degrees.
    pub fn acos(self) -> Self {
        let turned = self.and(UNIT).negated();
        let found = turned.rising(|x| el::acos(0.0 - x), |x| x == 0.0 || x.abs() == 1.0);
        found.beside_neat().and(Self { low: 0.0, high: 180.0 })
    }

    /// The angles with a tangent in it, from -90 to 90 degrees.
    pub fn atan(self) -> Self {
        let found = self.rising(el::atan, |x| x == 0.0 || x.is_infinite());
        found.beside_neat().and(Self { low: -90.0, high: 90.0 })
    }

    /// Where an end may be a neat angle that stands for the exact one beside it.
    fn beside_neat(self) -> Self {
        if self.is_empty() {
            return self;
        }
        let is_near = |end: f64| ((end * 2.0).round() / 2.0 - end).abs() < NEAT && end != 0.0;
        let by = |end: f64| if is_near(end) { NEAT } else { 0.0 };
        Self { low: self.low - by(self.low), high: self.high + by(self.high) }
    }

    /// The directions of the points (x, y), `self` being y: above -180 and up to 180 degrees. Where
    /// the points lie on both sides of the cut, at 180 degrees, it is the whole turn.
    pub fn atan2(self, x: Self) -> Self {
        if self.is_empty() || x.is_empty() || (self == Self::ZERO && x == Self::ZERO) {
            return Self::EMPTY;
        }
        if self.crosses_cut(x) || self.contains(0.0) && x.contains(0.0) {
            return self.around(x);
        }
        if !(self.is_bounded() && x.is_bounded()) {
            return Self { low: -180.0, high: 180.0 };
        }
        self.corners(x)
    }

    /// Whether some of the points lie on the cut or above it and some below.
    pub(crate) fn crosses_cut(self, x: Self) -> bool {
        x.low < 0.0 && self.low < 0.0 && self.high >= 0.0
    }

    /// Directions of points all round the origin, or nearly.
    fn around(self, x: Self) -> Self {
        let whole = Self { low: -180.0, high: 180.0 };
        // The origin may lie on the edge of the points alone.
        let half = |low: f64, high: f64| Self { low, high };
        match () {
            () if self.low >= 0.0 && x.low >= 0.0 => half(0.0, 90.0),
            () if self.low >= 0.0 => half(0.0, 180.0),
            () if x.low >= 0.0 => half(-90.0, 90.0),
            () => whole,
        }
    }

    /// The points lie in a box that the origin is not in: its corners have the outermost
    /// directions.
    fn corners(self, x: Self) -> Self {
        let at = |y: f64, x: f64| {
            let value = Self::point(el::atan2(y, x));
            let is_exact = y == 0.0 || x == 0.0 || y.abs() == x.abs();
            if is_exact { value } else { value.widened(SLACK) }
        };
        let mut found = Self::EMPTY;
        for y in [self.low, self.high] {
            for x in [x.low, x.high] {
                found = found.hull(at(y, x));
            }
        }
        found.and(Self { low: -180.0, high: 180.0 })
    }

    /// The hypotenuses.
    pub fn hypot(self, other: Self) -> Self {
        let found = self.square().plus(other.square()).sqrt();
        found.widened(SLACK).and(Self { low: 0.0, high: f64::INFINITY })
    }
}
