//! The codes of many formulas one behind the other, in the order in which they are evaluated.
//!
//! A design is evaluated as a whole far more often than it is read. What a formula needs for that
//! is its code and where its value goes, and nothing else: in one piece of memory, read from front
//! to back, a hundred thousand formulas take about as long as their arithmetic does.
//!
//! Here an operation names what it takes and where its value goes, instead of a stack. Everything
//! that can be named stands in one list: the values of all slots, then some places for what an
//! operation leaves to a later one, then the constants that formulas hold.

mod write;

use crate::code::{Code, One, Op, Two, apply_one, apply_two, compare};
use crate::syntax::Comparison;
use write::Writer;

/// Codes in order, each with the slot that its value goes to.
///
/// ```
/// use setout_formula::{Code, Program};
/// let mut program = Program::of(2);
/// program.push(1, &Code::constant(2.0));
/// program.push_other(0);
/// let mut values = program.values();
/// program.run(&mut values, |slot, values| values[1] + f64::from(slot) + 1.0);
/// assert_eq!(values[..2], [3.0, 2.0]);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Program {
    /// The values of formulas that are no more than a number; of all others none.
    numbers: Vec<f64>,
    steps: Vec<Step>,
    moves: Vec<Move>,
    /// The numbers that operations take.
    constants: Vec<f64>,
}

/// A formula: where its value goes, where its operations end, and where they leave the value. They
/// begin where those of the one before end.
#[derive(Clone, Copy, Debug)]
struct Step {
    slot: u32,
    end: u32,
    value: Value,
}

/// Where the value of a formula is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Value {
    /// In this place of the list.
    At(u32),
    /// Whoever runs the program knows.
    Other,
}

/// What one operation does with the places `a` and `b`. Its value goes to a place of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Move {
    act: Act,
    /// Which of the places for values between operations.
    to: u8,
    a: u32,
    /// Unused by what takes one value.
    b: u32,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Act {
    Add,
    Subtract,
    Multiply,
    Divide,
    Square,
    Root,
    Min,
    Max,
    Compare(Comparison),
    One(One),
    Two(Two),
    /// The value itself.
    Copy,
    /// Goes on only if there is a value.
    There,
    /// Goes on only if `a` is not above `b`.
    Ordered,
    /// Goes to the operation with the number `b`, counted from the formula's first, if `a` is 0.
    Unless,
    /// Goes to the operation with the number `b`.
    Go,
}

/// How many values may wait between operations. Longer codes are left to others.
const PLACES: usize = 32;

impl Program {
    /// An empty program over so many values.
    ///
    /// # Panics
    /// When there are more than two thousand million.
    pub fn of(slots: usize) -> Self {
        assert!(slots < (u32::MAX / 2) as usize, "a design has fewer values");
        Self { numbers: vec![f64::NAN; slots], ..Self::default() }
    }

    /// Values for a run, with room for what it needs beside them. Those of the slots come first; only
    /// what is no more than a number is known yet.
    pub fn values(&self) -> Vec<f64> {
        let all = self.numbers.len() + PLACES + self.constants.len();
        let mut values = Vec::with_capacity(all);
        values.extend_from_slice(&self.numbers);
        values.extend([0.0; PLACES]);
        values.extend_from_slice(&self.constants);
        values
    }

    /// Puts a code behind the others. What it reads has to be computed by those before it. What is no
    /// more than a number needs no step: it is among the values from the beginning.
    ///
    /// # Panics
    /// When there is no such slot.
    pub fn push(&mut self, slot: u32, code: &Code) {
        if let [Op::Const(number)] = &code.ops[..] {
            self.numbers[slot as usize] = *number + 0.0;
            return;
        }
        let value = Writer::write(self, &code.ops).map_or(Value::Other, Value::At);
        self.step(slot, value);
    }

    /// Puts a value behind the others that comes about in some other way.
    pub fn push_other(&mut self, slot: u32) {
        self.step(slot, Value::Other);
    }

    fn step(&mut self, slot: u32, value: Value) {
        let end = self.moves.len() as u32;
        self.steps.push(Step { slot, end, value });
    }

    /// Computes all values in order. Where a code has no value for the numbers that it meets,
    /// where it takes functions of tables, and where there is none, `other` is asked for the value
    /// of the slot, with all values so far.
    ///
    /// A value that could not be computed is not a number, and neither is what reads it, whether
    /// or not it would be needed there.
    ///
    /// # Panics
    /// When the values are not those of [`values`](Self::values), in number.
    pub fn run(&self, values: &mut [f64], mut other: impl FnMut(u32, &[f64]) -> f64) {
        self.each(|step, moves| {
            let value = self.value(step, moves, values);
            values[step.slot as usize] = value.unwrap_or_else(|| other(step.slot, values));
        });
    }

    /// Computes all values anew, but for slots whose values are kept, and tells which of them are
    /// others than before, in order.
    ///
    /// # Panics
    /// When the values are not those of [`values`](Self::values), in number.
    pub fn run_again(
        &self,
        values: &mut [f64],
        is_kept: impl Fn(u32) -> bool,
        mut other: impl FnMut(u32, &[f64]) -> f64,
        mut moved: impl FnMut(u32),
    ) {
        self.each(|step, moves| {
            if is_kept(step.slot) {
                return;
            }
            let value = self.value(step, moves, values);
            let value = value.unwrap_or_else(|| other(step.slot, values));
            let before = std::mem::replace(&mut values[step.slot as usize], value);
            if before.to_bits() != value.to_bits() {
                moved(step.slot);
            }
        });
    }

    #[inline(always)]
    fn each(&self, mut step: impl FnMut(&Step, &[Move])) {
        let mut start = 0;
        for own in &self.steps {
            let end = own.end as usize;
            step(own, &self.moves[start..end]);
            start = end;
        }
    }

    /// The slots, in order, but for those that are no more than a number.
    pub fn slots(&self) -> impl ExactSizeIterator<Item = u32> {
        self.steps.iter().map(|step| step.slot)
    }

    /// The value that one step comes to, by its number in order; `None` where [`run`](Self::run)
    /// would ask somebody else.
    ///
    /// # Panics
    /// When there is no such step.
    pub fn one(&self, step: usize, values: &mut [f64]) -> Option<f64> {
        let start = step.checked_sub(1).map_or(0, |before| self.steps[before].end);
        let step = &self.steps[step];
        let moves = &self.moves[start as usize..step.end as usize];
        self.value(step, moves, values)
    }

    #[inline(always)]
    fn value(&self, step: &Step, moves: &[Move], values: &mut [f64]) -> Option<f64> {
        let value = match step.value {
            Value::Other => return None,
            Value::At(place) if moves.is_empty() => {
                let value = values[place as usize];
                if value.is_nan() {
                    return None;
                }
                value
            }
            Value::At(_) => carried_out(moves, self.numbers.len(), values)?,
        };
        // A negative zero becomes a plain one.
        Some(value + 0.0)
    }
}

/// Carries operations out, unless one of them has no value, and gives the value of the last one: that
/// of the formula.
#[inline(always)]
fn carried_out(moves: &[Move], slots: usize, values: &mut [f64]) -> Option<f64> {
    let mut next = 0;
    let mut last = 0.0;
    while let Some(Move { act, to, a, b }) = moves.get(next) {
        next += 1;
        let a = values[*a as usize];
        let second = || values[*b as usize];
        // What is no number makes arithmetic come to none; the others look at it first.
        let value = match *act {
            Act::Add => a + second(),
            Act::Subtract => a - second(),
            Act::Multiply => a * second(),
            // What cannot be divided by, and what has no root, make no finite number.
            Act::Divide => a / second(),
            Act::Square => a * a,
            Act::Root => a.sqrt(),
            Act::Copy => a,
            _ if a.is_nan() => return None,
            Act::There => continue,
            Act::Go => {
                next = *b as usize;
                continue;
            }
            Act::Unless => {
                if a == 0.0 {
                    next = *b as usize;
                }
                continue;
            }
            Act::One(one) => apply_one(one, a).ok()?,
            act => {
                let b = second();
                if b.is_nan() {
                    return None;
                }
                match act {
                    Act::Min => a.min(b),
                    Act::Max => a.max(b),
                    Act::Compare(comparison) => f64::from(u8::from(compare(comparison, a, b))),
                    Act::Ordered if a <= b => continue,
                    Act::Two(two) => apply_two(two, a, b).ok()?,
                    _ => return None,
                }
            }
        };
        if !value.is_finite() {
            return None;
        }
        values[slots + usize::from(*to)] = value;
        last = value;
    }
    Some(last)
}
