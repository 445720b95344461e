//! Where a formula's value can lie when the values that it names may lie anywhere between bounds.
//!
//! Small and cautious: sums, products, quotients, whole powers, square roots, rounding, the
//! smallest and the largest are followed; whatever comes out of anything else may be any number.
//! So what is found may be far too wide, and is never too narrow. A full reading of the code over
//! intervals would take its place.

use crate::bounds::Bounds;
use crate::code::{Code, Fold, One, Op, Two};
use crate::elementary as el;

/// A multiple of one chosen value, *the unknown*, and a rest, each between bounds. So it is known
/// that `width - (width + 1 mm)` is -1 mm and not any number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    slope: Bounds,
    rest: Bounds,
}

impl Line {
    /// The unknown itself.
    pub fn unknown() -> Self {
        Self { slope: Bounds::point(1.0), rest: Bounds::point(0.0) }
    }

    /// What has nothing to do with the unknown.
    pub fn of(rest: Bounds) -> Self {
        Self { slope: Bounds::point(0.0), rest }
    }

    /// Where it lies for an unknown between bounds.
    pub fn bounds(self, unknown: Bounds) -> Bounds {
        if self.slope.is_zero() {
            return self.rest;
        }
        self.slope.times(unknown).plus(self.rest)
    }

    /// The difference of two.
    pub fn minus(self, other: Self) -> Self {
        self.plus(other.negated())
    }

    fn negated(self) -> Self {
        Self { slope: self.slope.negated(), rest: self.rest.negated() }
    }

    fn plus(self, other: Self) -> Self {
        Self { slope: self.slope.plus(other.slope), rest: self.rest.plus(other.rest) }
    }

    fn times(self, other: Self, unknown: Bounds) -> Self {
        let scaled = |line: Self, by: Bounds| Self {
            slope: line.slope.times(by),
            rest: line.rest.times(by),
        };
        match (self.slope.is_zero(), other.slope.is_zero()) {
            (_, true) => scaled(self, other.rest),
            (true, _) => scaled(other, self.rest),
            _ => Self::of(self.bounds(unknown).times(other.bounds(unknown))),
        }
    }

    fn over(self, other: Self, unknown: Bounds) -> Self {
        let divisor = other.bounds(unknown);
        Self { slope: self.slope.over(divisor), rest: self.rest.over(divisor) }
    }
}

impl Code {
    /// Where the formula's value lies for an unknown between bounds, the lines of the values that
    /// it names being given. Conditions are not followed.
    pub fn line(&self, unknown: Bounds, slots: impl Fn(u32) -> Line) -> Line {
        let mut reading = Reading { unknown, stack: Vec::new() };
        for op in &self.ops {
            match *op {
                Op::Branch { .. } | Op::Skip { .. } => return Line::of(Bounds::ANY),
                Op::Load(slot) => reading.stack.push(slots(slot)),
                op => reading.step(op),
            }
        }
        reading.pop()
    }
}

struct Reading {
    unknown: Bounds,
    stack: Vec<Line>,
}

impl Reading {
    fn pop(&mut self) -> Line {
        self.stack.pop().unwrap_or(Line::of(Bounds::ANY))
    }

    fn pop_bounds(&mut self) -> Bounds {
        self.pop().bounds(self.unknown)
    }

    fn step(&mut self, op: Op) {
        let found = match op {
            Op::Const(number) => Line::of(Bounds::point(number)),
            Op::One(One::Negate) => self.pop().negated(),
            Op::One(one) => Line::of(one_of(one, self.pop_bounds())),
            Op::Two(two) => {
                let (b, a) = (self.pop(), self.pop());
                self.two(two, a, b)
            }
            Op::Clamp => {
                let (high, low) = (self.pop_bounds(), self.pop_bounds());
                Line::of(self.pop_bounds().larger(low).smaller(high))
            }
            Op::Fold(fold, count) => self.fold(fold, count as usize),
            Op::Given(_, count) => {
                (0..count).for_each(|_| _ = self.pop());
                Line::of(Bounds::ANY)
            }
            Op::Load(_) | Op::Branch { .. } | Op::Skip { .. } => Line::of(Bounds::ANY),
        };
        self.stack.push(found);
    }

    fn two(&self, two: Two, a: Line, b: Line) -> Line {
        match two {
            Two::Add => a.plus(b),
            Two::Subtract => a.minus(b),
            Two::Multiply => a.times(b, self.unknown),
            Two::Divide => a.over(b, self.unknown),
            two => Line::of(two_of(two, a.bounds(self.unknown), b.bounds(self.unknown))),
        }
    }

    fn fold(&mut self, fold: Fold, count: usize) -> Line {
        let start = self.stack.len().saturating_sub(count);
        let lines: Vec<Line> = self.stack.drain(start..).collect();
        let bounds = lines.iter().map(|line| line.bounds(self.unknown));
        let sum = || lines.iter().copied().fold(Line::of(Bounds::point(0.0)), Line::plus);
        match fold {
            Fold::Sum => sum(),
            Fold::Mean => sum().over(Line::of(Bounds::point(count as f64)), self.unknown),
            Fold::Min => Line::of(bounds.reduce(Bounds::smaller).unwrap_or(Bounds::ANY)),
            Fold::Max => Line::of(bounds.reduce(Bounds::larger).unwrap_or(Bounds::ANY)),
        }
    }
}

fn one_of(one: One, x: Bounds) -> Bounds {
    match one {
        One::Negate => x.negated(),
        One::Abs => x.abs(),
        One::Sqrt => x.sqrt(),
        One::Round => x.rounded(el::round),
        One::Ceil => x.rounded(f64::ceil),
        One::Floor => x.rounded(f64::floor),
        _ => Bounds::ANY,
    }
}

fn two_of(two: Two, a: Bounds, b: Bounds) -> Bounds {
    match two {
        Two::Power => a.powered(b),
        Two::Round | Two::Ceil | Two::Floor => a.stepped(b),
        Two::Hypot => {
            a.powered(Bounds::point(2.0)).plus(b.powered(Bounds::point(2.0))).sqrt().widened()
        }
        _ => Bounds::ANY,
    }
}
