//! A formula read over intervals: where its value lies, and what is known of it there.

use crate::code::{One, Two};
use crate::elementary as el;
use crate::interval::degree;
use crate::reading::Reading;
use crate::syntax::Comparison;
use crate::{Code, Interval, Texts};

/// What is known of a function over the whole of a box, after the decorations of IEEE 1788-2015;
/// a value that is too large for a float is none here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Decoration {
    /// It may have no value somewhere (`trv`).
    Partly,
    /// It has a value everywhere (`def`).
    Defined,
    /// It has a value everywhere and does not jump (`dac`).
    Continuous,
}

/// Whether the linkages close that a value depends on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Closes {
    /// In no pose of the box.
    Nowhere,
    /// In some poses of the box, or in all of them: that is not known.
    Perhaps,
    /// In every pose of the box.
    Everywhere,
}

/// Where the values of a formula lie when what it names lies anywhere in a box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Enclosure {
    /// Holds every value that there is. Poses in which a linkage does not close have none.
    pub interval: Interval,
    /// What is known of the values, poses in which a linkage does not close apart.
    pub decoration: Decoration,
    /// Whether the linkages close.
    pub closes: Closes,
}

impl Enclosure {
    /// Any number of an interval, every one of them reached.
    pub fn of(interval: Interval) -> Self {
        Self { interval, decoration: Decoration::Continuous, closes: Closes::Everywhere }
    }

    /// Whether there is a value in every pose that can be reached.
    pub fn is_defined(self) -> bool {
        self.decoration >= Decoration::Defined
    }

    /// A result with what is known of the operands. Where there may be no value, or one that is no
    /// float any more, it is known only partly.
    fn from(operands: &[&Self], interval: Interval, own: Decoration) -> Self {
        let least = |found: Decoration, of: &&Self| found.min(of.decoration);
        let decoration = operands.iter().fold(own, least);
        let closes = operands.iter().fold(Closes::Everywhere, |found, of| found.min(of.closes));
        // Nothing closes: there is no value to be missed.
        let lost = !interval.is_bounded() && closes != Closes::Nowhere;
        let decoration = if lost { Decoration::Partly } else { decoration };
        Self { interval, decoration, closes }
    }

    /// As for a function that jumps where its value differs.
    fn stepped(operands: &[&Self], interval: Interval) -> Self {
        let constant = interval.only().is_some();
        let own = if constant { Decoration::Continuous } else { Decoration::Defined };
        Self::from(operands, interval, own)
    }
}

/// Continuous if something holds, else known only partly.
fn if_all(holds: bool) -> Decoration {
    if holds { Decoration::Continuous } else { Decoration::Partly }
}

impl Code {
    /// Where the formula's value lies, its names' values being given.
    ///
    /// ```
    /// use setout_formula::{Enclosure, Formula, Interval, Meaning, Texts, Type};
    /// use setout_quantity::{Kind, Units};
    /// let units = Units::standard();
    /// let formula = Formula::read("30 mm * sin(tilt)", &units).0.unwrap();
    /// let tilt = [Meaning::Value { slot: 0, of: Type::Quantity(Kind::ANGLE) }];
    /// let mut texts = Texts::default();
    /// let code = formula.compile(&tilt, &units, &mut texts).unwrap().code;
    /// let rise = code.enclose(&texts, &|_| Enclosure::of(Interval::new(0.0, 180.0)));
    /// assert_eq!(rise.interval, Interval::new(0.0, 30.0));
    /// ```
    pub fn enclose(&self, texts: &Texts, slots: &dyn Fn(u32) -> Enclosure) -> Enclosure {
        self.read(texts, slots)
    }
}

impl Reading for Enclosure {
    fn constant(number: f64) -> Self {
        if number.is_nan() { Self::unknown() } else { Self::of(Interval::point(number)) }
    }

    fn unknown() -> Self {
        Self {
            interval: Interval::ENTIRE,
            decoration: Decoration::Partly,
            closes: Closes::Everywhere,
        }
    }

    fn one(one: One, x: &Self) -> Self {
        let of = x.interval;
        let within = |low: f64, high: f64| if_all(of.is_in(Interval::new(low, high)));
        let far = f64::INFINITY;
        let (interval, own) = match one {
            One::Negate => (of.negated(), Decoration::Continuous),
            One::Not => (Interval::ONE.minus(of), Decoration::Continuous),
            One::Abs => (of.abs(), Decoration::Continuous),
            One::Sqrt => (of.sqrt(), within(0.0, far)),
            One::Cbrt => (of.cbrt(), Decoration::Continuous),
            One::Exp => (of.exp(), Decoration::Continuous),
            One::Ln => (of.ln(), if_all(of.low() > 0.0)),
            One::Log10 => (of.log10(), if_all(of.low() > 0.0)),
            One::Sin => (of.sin(), Decoration::Continuous),
            One::Cos => (of.cos(), Decoration::Continuous),
            One::Tan => (of.tan(), if_all(!of.holds_pole())),
            One::Asin => (of.asin(), within(-1.0, 1.0)),
            One::Acos => (of.acos(), within(-1.0, 1.0)),
            One::Atan => (of.atan(), Decoration::Continuous),
            One::Sign => return Self::stepped(&[x], of.sign()),
            One::Round => return Self::stepped(&[x], of.stepwise(el::round)),
            One::Ceil => return Self::stepped(&[x], of.stepwise(f64::ceil)),
            One::Floor => return Self::stepped(&[x], of.stepwise(f64::floor)),
        };
        Self::from(&[x], interval, own)
    }

    fn two(two: Two, a: &Self, b: &Self) -> Self {
        let both = [a, b];
        let (x, y) = (a.interval, b.interval);
        let smooth = |interval| Self::from(&both, interval, Decoration::Continuous);
        match two {
            Two::Add => smooth(x.plus(y)),
            Two::Subtract => smooth(x.minus(y)),
            Two::Multiply => smooth(x.times(y)),
            Two::Divide => Self::from(&both, x.over(y), if_all(!y.contains(0.0))),
            Two::Power => Self::from(&both, x.powered(y), of_power(x, y)),
            Two::Atan2 => {
                let has = !(x.contains(0.0) && y.contains(0.0));
                let own = if x.crosses_cut(y) { Decoration::Defined } else { if_all(has) };
                Self::from(&both, x.atan2(y), own.min(if_all(has)))
            }
            Two::ArcLength => smooth(x.times(y.times(degree()))),
            Two::Hypot => smooth(x.hypot(y)),
            Two::Round => in_steps(a, b, el::round),
            Two::Ceil => in_steps(a, b, f64::ceil),
            Two::Floor => in_steps(a, b, f64::floor),
            Two::Compare(comparison) => Self::stepped(&both, compared(comparison, x, y)),
        }
    }

    fn least(a: &Self, b: &Self) -> Self {
        Self::from(&[a, b], a.interval.smaller(b.interval), Decoration::Continuous)
    }

    fn most(a: &Self, b: &Self) -> Self {
        Self::from(&[a, b], a.interval.larger(b.interval), Decoration::Continuous)
    }

    fn truth(&self) -> Option<bool> {
        let decided = self.interval.only().filter(|_| self.is_defined());
        decided.filter(|_| self.closes == Closes::Everywhere).map(|truth| truth != 0.0)
    }

    fn either(condition: &Self, a: &Self, b: &Self) -> Self {
        let interval = a.interval.hull(b.interval);
        let closes = match (a.closes, b.closes) {
            (a, b) if a == b => a,
            _ => Closes::Perhaps,
        };
        let decoration = a.decoration.min(b.decoration).min(Decoration::Defined);
        Self { interval, decoration, closes }.beside(condition)
    }

    fn beside(&self, other: &Self) -> Self {
        let decoration = if other.is_defined() { self.decoration } else { Decoration::Partly };
        Self { decoration, closes: self.closes.min(other.closes), ..*self }
    }

    fn in_pieces(values: Interval, of: &[&Self]) -> Self {
        Self::stepped(of, values)
    }

    fn cosine_of(&self, closing: &Self) -> Self {
        let interval = self.interval.and(Interval::new(-1.0, 1.0));
        Self { interval, closes: self.closes.min(closing.closes), ..*self }
    }

    fn closing(&self) -> Self {
        let within = Interval::new(-1.0, 1.0);
        let interval = self.interval.and(within);
        let closes = match () {
            () if interval.is_empty() && self.is_defined() => Closes::Nowhere,
            () if self.interval.is_in(within) => Closes::Everywhere,
            () => Closes::Perhaps,
        };
        Self { interval, closes: self.closes.min(closes), ..*self }
    }

    fn within_turn(&self) -> Self {
        let (low, high) = (self.interval.low(), self.interval.high());
        let turned = |by: f64| {
            let interval = self.interval.plus(Interval::point(by));
            Self { interval, ..*self }
        };
        match () {
            () if self.interval.is_empty() => *self,
            () if low > -180.0 && high <= 180.0 => *self,
            () if low > 180.0 => turned(-360.0),
            () if high <= -180.0 => turned(360.0),
            () => Self {
                interval: Interval::new(-180.0, 180.0),
                decoration: self.decoration.min(Decoration::Defined),
                ..*self
            },
        }
    }

    fn provided(&self, holds: Option<bool>) -> Self {
        match holds {
            Some(true) => *self,
            Some(false) => Self::from(&[self], Interval::EMPTY, Decoration::Partly),
            None => Self { decoration: Decoration::Partly, ..*self },
        }
    }

    fn met_with(&self, other: &Self) -> Self {
        Self {
            interval: self.interval.and(other.interval),
            decoration: self.decoration.max(other.decoration),
            closes: self.closes,
        }
    }

    fn place(&self) -> Self {
        *self
    }
}

/// What is known of the powers of all bases with all exponents.
fn of_power(base: Interval, exponent: Interval) -> Decoration {
    let whole = exponent.only().is_some_and(|exponent| exponent.fract() == 0.0);
    match () {
        () if whole => if_all(exponent.low() >= 0.0 || !base.contains(0.0)),
        () if base.low() > 0.0 => Decoration::Continuous,
        () if base.low() < 0.0 || exponent.low() < 0.0 => Decoration::Partly,
        // 0 to the power 0 is 1, and to any other it is 0.
        () if exponent.contains(0.0) => Decoration::Defined,
        () => Decoration::Continuous,
    }
}

/// Rounded to whole steps.
fn in_steps(x: &Enclosure, step: &Enclosure, whole: fn(f64) -> f64) -> Enclosure {
    let (of, by) = (x.interval, step.interval);
    if by.low() <= 0.0 || by.is_empty() {
        let wide = of.plus(by.hull(by.negated()));
        return Enclosure::from(&[x, step], wide, Decoration::Partly);
    }
    match by.only() {
        Some(by) => {
            let found = of.stepwise(|x| el::stepped(x, by, whole));
            Enclosure::stepped(&[x, step], found)
        }
        // No farther than a step away.
        None => {
            let wide = of.plus(Interval::new(0.0 - by.high(), by.high()));
            Enclosure::from(&[x, step], wide, Decoration::Defined)
        }
    }
}

/// The truth of a comparison as 1 and 0, both where it is not decided.
fn compared(comparison: Comparison, a: Interval, b: Interval) -> Interval {
    if a.is_empty() || b.is_empty() {
        return Interval::EMPTY;
    }
    let always = match comparison {
        Comparison::Less => a.high() < b.low(),
        Comparison::AtMost => a.high() <= b.low(),
        Comparison::Greater => a.low() > b.high(),
        Comparison::AtLeast => a.low() >= b.high(),
        Comparison::Equal => a.only().is_some() && a == b,
        Comparison::Unequal => a.and(b).is_empty(),
    };
    let never = match comparison {
        Comparison::Less => a.low() >= b.high(),
        Comparison::AtMost => a.low() > b.high(),
        Comparison::Greater => a.high() <= b.low(),
        Comparison::AtLeast => a.high() < b.low(),
        Comparison::Equal => a.and(b).is_empty(),
        Comparison::Unequal => a.only().is_some() && a == b,
    };
    Interval::new(f64::from(u8::from(always)), f64::from(u8::from(!never)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half a turn is taken as 180 degrees, and not as -180.
    #[test]
    fn the_ends_of_a_turn_are_one() {
        let turned = |low: f64, high: f64| Enclosure::of(Interval::new(low, high)).within_turn();
        let held = |low: f64, high: f64, angle: f64| turned(low, high).interval.contains(angle);
        assert!(held(-180.0, -100.0, 180.0) && held(-180.0, -100.0, -100.0));
        assert!(held(180.0, 200.0, 180.0) && held(180.0, 200.0, -160.0));
        assert_eq!(turned(-180.0, -100.0).decoration, Decoration::Defined);
        assert_eq!(turned(180.0, 200.0).decoration, Decoration::Defined);
        assert_eq!(turned(181.0, 200.0).interval, Interval::new(-179.0, -160.0));
        assert_eq!(turned(-200.0, -180.0).interval, Interval::new(160.0, 180.0));
        assert_eq!(turned(-100.0, 180.0).decoration, Decoration::Continuous);
    }
}
