//! Elementary functions. Angles are degrees.

use super::Interval;
use crate::elementary as el;

/// How many floats the values of the elementary functions may be away from the exact ones. They
/// were measured to be within 1.2 (tests/elementary, and tests of 25,000 numbers each).
pub(super) const SLACK: u32 = 2;

/// The same of inverse functions in degrees, which are rounded once more: within 1.9.
const INVERSE_SLACK: u32 = 3;

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
        let range = Self { low: -90.0, high: 90.0 };
        self.and(UNIT).inverse(libm::asin, el::asin, |x| x == 0.0 || x.abs() == 1.0).and(range)
    }

    /// The angles with a cosine in it, from 0 to 180 degrees.
    pub fn acos(self) -> Self {
        let (plain, neat) = (|x: f64| libm::acos(0.0 - x), |x: f64| el::acos(0.0 - x));
        let turned = self.and(UNIT).negated();
        let found = turned.inverse(plain, neat, |x| x == 0.0 || x.abs() == 1.0);
        found.and(Self { low: 0.0, high: 180.0 })
    }

    /// The angles with a tangent in it, from -90 to 90 degrees.
    pub fn atan(self) -> Self {
        let found = self.inverse(libm::atan, el::atan, |x| x == 0.0 || x.is_infinite());
        found.and(Self { low: -90.0, high: 90.0 })
    }

    /// An inverse function, by its values in radians, and in degrees with neat angles put in place
    /// of some. An end may be a neat angle or the exact one beside it. A number farther in has its
    /// neat angle farther in as well: the angle's sine is that number, to a float.
    fn inverse(
        self,
        radians: impl Fn(f64) -> f64,
        neat: impl Fn(f64) -> f64,
        exact: impl Fn(f64) -> bool,
    ) -> Self {
        if self.is_empty() {
            return self;
        }
        let at = |end: f64| {
            let value = Self::point_end(neat(end));
            let plain = || Self::point_end(el::degrees(radians(end))).widened(INVERSE_SLACK);
            if exact(end) { value } else { value.hull(plain()) }
        };
        Self { low: at(self.low).low, high: at(self.high).high }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A float so many floats farther on.
    fn after(x: f64, floats: i32) -> f64 {
        (0..floats.abs()).fold(x, |x, _| if floats > 0 { x.next_up() } else { x.next_down() })
    }

    fn holds_all(
        around: f64,
        function: fn(f64) -> f64,
        of: fn(Interval) -> Interval,
        range: Interval,
    ) {
        let members: Vec<f64> = (-4..=4).map(|floats| after(around, floats)).collect();
        for (first, low) in members.iter().enumerate() {
            for high in &members[first..] {
                let x = Interval::new(*low, *high).and(range);
                let values = of(x);
                for member in members.iter().filter(|member| x.contains(**member)) {
                    let value = function(*member);
                    assert!(values.contains(value), "{value} of {member} in {x:?}: {values:?}");
                }
            }
        }
    }

    #[test]
    fn neat_angles_are_held_wherever_they_lie() {
        for halves in -360..=360 {
            let angle = f64::from(halves) / 2.0;
            holds_all(el::sin(angle), el::asin, Interval::asin, UNIT);
            holds_all(el::cos(angle), el::acos, Interval::acos, UNIT);
            holds_all(el::tan(angle), el::atan, Interval::atan, Interval::ENTIRE);
        }
    }

    #[test]
    fn far_out_no_pole_is_told_from_what_lies_beside_it() {
        let far = 4.0 * FARTHEST;
        assert_eq!(Interval::new(far, far + 1.0).tan(), Interval::ENTIRE);
        assert!(Interval::new(1.0, 2.0).tan().is_bounded());
    }
}
