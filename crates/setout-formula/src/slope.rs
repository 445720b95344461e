//! A formula read over intervals together with its derivatives.
//!
//! The derivative by each of some variables is an interval that holds it at every point of the box;
//! where a function has a corner, as `abs` has at 0, it holds the slopes on both sides. With it a
//! value is known more closely than by its interval alone: it is that in the middle of the box and
//! the slopes times the way from there (the mean value form).

use smallvec::{SmallVec, smallvec};

use crate::code::{One, Two};
use crate::interval::degree;
use crate::reading::Reading;
use crate::{Closes, Code, Decoration, Enclosure, Interval, Texts};

/// Slopes by each variable. Most margins hang on few, and those are kept without asking for memory.
type Slopes = SmallVec<[Interval; 8]>;

/// Where a value lies, and between what slopes it changes with each variable.
#[derive(Clone, Debug, PartialEq)]
pub struct Slope {
    /// Where it lies.
    pub of: Enclosure,
    /// The derivatives by each variable; those that are not there are 0. `None` where there is no
    /// bound: the value may jump, or may not be there.
    by: Option<Slopes>,
}

impl Slope {
    /// A value that varies with none of the variables.
    pub fn fixed(of: Enclosure) -> Self {
        Self { of, by: Some(Slopes::new()) }
    }

    /// The variable of this number, anywhere in an interval.
    pub fn variable(number: usize, place: Interval) -> Self {
        let mut by: Slopes = smallvec![Interval::ZERO; number + 1];
        by[number] = Interval::ONE;
        Self { of: Enclosure::of(place), by: Some(by) }
    }

    /// A value that varies nobody knows how steeply.
    pub fn unbounded(of: Enclosure) -> Self {
        Self { of, by: None }
    }

    /// The derivative by a variable, if there is a bound for it.
    pub fn by(&self, variable: usize) -> Option<Interval> {
        let by = self.by.as_ref()?;
        Some(by.get(variable).copied().unwrap_or(Interval::ZERO))
    }

    /// The same where the variables have other numbers: `numbers` rises, and has one for each.
    #[must_use]
    pub fn numbered(self, numbers: &[usize]) -> Self {
        let spread = |by: Slopes| {
            let mut spread: Slopes =
                smallvec![Interval::ZERO; numbers.last().map_or(0, |last| last + 1)];
            by.iter().zip(numbers).for_each(|(by, number)| spread[*number] = *by);
            spread
        };
        Self { by: self.by.map(spread), ..self }
    }

    /// The same, known more closely by the mean value form: `at` is the value at some point of the
    /// box, and `away` how far the variables go from there.
    pub fn refined(mut self, at: Enclosure, away: &[Interval]) -> Self {
        if let Some(found) = self.mean_value(at, away) {
            self.of.interval = self.of.interval.and(found);
        }
        self
    }

    /// How far it lies above a number; with a `sign` of -1 how far below it.
    #[must_use]
    pub fn away(&self, from: f64, sign: f64) -> Self {
        let above = Self::two(Two::Subtract, self, &Self::constant(from));
        if sign < 0.0 { Self::one(One::Negate, &above) } else { above }
    }

    fn mean_value(&self, at: Enclosure, away: &[Interval]) -> Option<Interval> {
        let whole = |of: Enclosure| {
            of.decoration == Decoration::Continuous && of.closes == Closes::Everywhere
        };
        let by = self.by.as_ref().filter(|_| whole(self.of) && whole(at))?;
        // Most values vary with few of all variables, and products are what a proof costs.
        let moves = |(by, away): &(&Interval, &Interval)| {
            **by != Interval::ZERO && **away != Interval::ZERO
        };
        let steps = by.iter().zip(away).filter(moves);
        Some(steps.fold(at.interval, |sum, (by, away)| sum.plus(by.times_loosely(*away))))
    }

    /// With slopes that are a sum of multiples of those of the operands.
    fn chained(of: Enclosure, terms: &[(&Self, Interval)]) -> Self {
        if of.decoration < Decoration::Continuous {
            return Self { of, by: None };
        }
        let mut sum = Slopes::new();
        for (operand, factor) in terms {
            let Some(by) = &operand.by else { return Self { of, by: None } };
            sum.resize(sum.len().max(by.len()), Interval::ZERO);
            for (sum, by) in sum.iter_mut().zip(by.iter()) {
                if *by == Interval::ZERO {
                    continue;
                }
                // Those of sums and differences are not multiplied.
                let term = match factor.only() {
                    Some(1.0) => *by,
                    Some(-1.0) => by.negated(),
                    _ => by.times_loosely(*factor),
                };
                *sum = if *sum == Interval::ZERO { term } else { sum.plus(term) };
            }
        }
        let known = sum.iter().all(|slope| !slope.is_empty());
        Self { of, by: known.then_some(sum) }
    }

    /// A function that is constant where it does not jump.
    fn in_steps(of: Enclosure) -> Self {
        Self { of, by: (of.decoration == Decoration::Continuous).then(Slopes::new) }
    }

    /// One of two values, and where both may be, slopes of either.
    fn one_of(of: Enclosure, a: &Self, b: &Self) -> Self {
        let (Some(x), Some(y)) = (&a.by, &b.by) else { return Self { of, by: None } };
        let at = |by: &[Interval], index: usize| by.get(index).copied().unwrap_or(Interval::ZERO);
        let both = (0..x.len().max(y.len())).map(|index| at(x, index).hull(at(y, index)));
        Self { of, by: Some(both.collect()) }
    }

    /// The derivative by this operand, where it can matter: one that varies with nothing has no slopes.
    fn if_counted(&self, derivative: impl FnOnce() -> Interval) -> Interval {
        let varies = self.by.as_ref().is_none_or(|by| !by.is_empty());
        if varies { derivative() } else { Interval::ZERO }
    }

    fn is_fixed(&self) -> bool {
        self.by.as_ref().is_some_and(|by| by.iter().all(|slope| *slope == Interval::ZERO))
    }
}

impl Code {
    /// Where the formula's value lies, and its slopes by the variables that its names vary with.
    pub fn slope(&self, texts: &Texts, slots: &dyn Fn(u32) -> Slope) -> Slope {
        self.read(texts, slots)
    }
}

/// Degrees in a radian.
fn radian() -> Interval {
    Interval::ONE.over(degree())
}

/// The derivative of an operation on one value that is smooth.
fn derivative(one: One, x: Interval, value: Interval) -> Interval {
    let inverse = |of: Interval| Interval::ONE.over(of);
    let two = Interval::point(2.0);
    match one {
        One::Negate | One::Not => Interval::point(-1.0),
        One::Abs if x.contains(0.0) => Interval::new(-1.0, 1.0),
        One::Abs => x.sign(),
        One::Sqrt => inverse(two.times(value)),
        One::Cbrt => inverse(Interval::point(3.0).times(value.square())),
        One::Exp => value,
        One::Ln => inverse(x),
        One::Log10 => inverse(x.times(Interval::point(10.0).ln())),
        One::Sin => x.cos().times(degree()),
        One::Cos => x.sin().times(degree()).negated(),
        One::Tan => Interval::ONE.plus(value.square()).times(degree()),
        One::Asin => inverse(Interval::ONE.minus(x.square()).sqrt()).times(radian()),
        One::Acos => inverse(Interval::ONE.minus(x.square()).sqrt()).times(radian()).negated(),
        One::Atan => inverse(Interval::ONE.plus(x.square())).times(radian()),
        One::Sign | One::Round | One::Ceil | One::Floor => Interval::ZERO,
    }
}

/// The derivatives of a power by base and exponent.
fn of_power(base: &Slope, exponent: &Slope, value: Interval) -> [Interval; 2] {
    let (x, y) = (base.of.interval, exponent.of.interval);
    let by_base = base.if_counted(|| y.times(x.powered(y.minus(Interval::ONE))));
    let by_exponent = if exponent.is_fixed() { Interval::ZERO } else { value.times(x.ln()) };
    [by_base, by_exponent]
}

/// The derivatives of a length by both sides: each side over the length, so between -1 and 1.
fn of_length(a: Interval, b: Interval, length: Interval) -> [Interval; 2] {
    let within = Interval::new(-1.0, 1.0);
    [a, b].map(|side| if length.contains(0.0) { within } else { side.over(length).and(within) })
}

impl Reading for Slope {
    fn constant(number: f64) -> Self {
        Self::fixed(Enclosure::constant(number))
    }

    fn unknown() -> Self {
        Self { of: Enclosure::unknown(), by: None }
    }

    fn one(one: One, x: &Self) -> Self {
        let of = Enclosure::one(one, &x.of);
        match one {
            One::Sign | One::Round | One::Ceil | One::Floor => {
                let found = Self::in_steps(of);
                if x.by.is_some() { found } else { Self { by: None, ..found } }
            }
            one => Self::chained(of, &[(x, derivative(one, x.of.interval, of.interval))]),
        }
    }

    fn two(two: Two, a: &Self, b: &Self) -> Self {
        let of = Enclosure::two(two, &a.of, &b.of);
        let (x, y) = (a.of.interval, b.of.interval);
        let chained = |[by_a, by_b]: [Interval; 2]| Self::chained(of, &[(a, by_a), (b, by_b)]);
        match two {
            Two::Add => chained([Interval::ONE, Interval::ONE]),
            Two::Subtract => chained([Interval::ONE, Interval::point(-1.0)]),
            Two::Multiply => chained([y, x]),
            Two::Divide => chained([
                a.if_counted(|| Interval::ONE.over(y)),
                b.if_counted(|| of.interval.over(y).negated()),
            ]),
            Two::Power => chained(of_power(a, b, of.interval)),
            Two::Atan2 => {
                let square = x.square().plus(y.square());
                let by = |side: Interval| side.over(square).times(radian());
                chained([by(y), by(x).negated()])
            }
            Two::ArcLength => chained([y.times(degree()), x.times(degree())]),
            Two::Hypot => chained(of_length(x, y, of.interval)),
            Two::Round | Two::Ceil | Two::Floor | Two::Compare(_) => Self::in_steps(of),
        }
    }

    fn least(a: &Self, b: &Self) -> Self {
        let of = Enclosure::least(&a.of, &b.of);
        match () {
            () if a.of.interval.high() <= b.of.interval.low() => Self { of, by: a.by.clone() },
            () if b.of.interval.high() <= a.of.interval.low() => Self { of, by: b.by.clone() },
            () => Self::one_of(of, a, b),
        }
    }

    fn most(a: &Self, b: &Self) -> Self {
        let of = Enclosure::most(&a.of, &b.of);
        match () {
            () if a.of.interval.low() >= b.of.interval.high() => Self { of, by: a.by.clone() },
            () if b.of.interval.low() >= a.of.interval.high() => Self { of, by: b.by.clone() },
            () => Self::one_of(of, a, b),
        }
    }

    fn truth(&self) -> Option<bool> {
        self.of.truth()
    }

    fn either(condition: &Self, a: &Self, b: &Self) -> Self {
        Self { of: Enclosure::either(&condition.of, &a.of, &b.of), by: None }
    }

    fn beside(&self, other: &Self) -> Self {
        let of = self.of.beside(&other.of);
        let by = self.by.clone().filter(|_| of.decoration == Decoration::Continuous);
        Self { of, by }
    }

    fn in_pieces(values: Interval, of: &[&Self]) -> Self {
        let places: Vec<&Enclosure> = of.iter().map(|of| &of.of).collect();
        Self::in_steps(Enclosure::in_pieces(values, &places))
    }

    fn closing(&self) -> Self {
        Self { of: self.of.closing(), by: self.by.clone() }
    }

    fn cosine_of(&self, closing: &Self) -> Self {
        Self { of: self.of.cosine_of(&closing.of), by: self.by.clone() }
    }

    fn within_turn(&self) -> Self {
        let of = self.of.within_turn();
        Self { of, by: self.by.clone().filter(|_| of.decoration == self.of.decoration) }
    }

    fn provided(&self, holds: Option<bool>) -> Self {
        let of = self.of.provided(holds);
        Self { of, by: self.by.clone().filter(|_| holds == Some(true)) }
    }

    fn met_with(&self, other: &Self) -> Self {
        let of = self.of.met_with(&other.of);
        let at = |by: &[Interval], index: usize| by.get(index).copied().unwrap_or(Interval::ZERO);
        let by = match (&self.by, &other.by) {
            (Some(a), Some(b)) => {
                let both = (0..a.len().max(b.len())).map(|index| at(a, index).and(at(b, index)));
                let both: Slopes = both.collect();
                // Nothing in common can only be where nothing is at all.
                let known = both.iter().all(|slope| !slope.is_empty());
                if known { Some(both) } else { self.by.clone() }
            }
            (a, b) => a.clone().or_else(|| b.clone()),
        };
        Self { of, by }
    }

    fn place(&self) -> Enclosure {
        self.of
    }
}
