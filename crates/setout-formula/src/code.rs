//! Flat code: what a formula comes to when its names are slots, and its evaluation over points.
//!
//! One list of operations on a stack. The operations say nothing of floats, so that the same
//! code can be read over intervals, derivatives or blocks of samples; branches are marked with
//! both their ends, so that such a reading can take both arms.

use smallvec::{SmallVec, smallvec};

use crate::Texts;
use crate::elementary as el;
use crate::functions::{Function, Rule};
use crate::given::{Argument, Found, MOST_PARAMETERS, NotFound, Parameter};
use crate::syntax::Comparison;

/// Operations on one value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum One {
    Negate,
    Not,
    Abs,
    Sign,
    Sqrt,
    Cbrt,
    Exp,
    Ln,
    Log10,
    Sin,
    Cos,
    Tan,
    Asin,
    Acos,
    Atan,
    Round,
    Ceil,
    Floor,
}

/// Operations on two values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Two {
    Add,
    Subtract,
    Multiply,
    Divide,
    Power,
    Atan2,
    ArcLength,
    Round,
    Ceil,
    Floor,
    Hypot,
    Compare(Comparison),
}

/// Operations on many values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fold {
    Sum,
    Min,
    Max,
    Mean,
}

/// One step of the code.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Op {
    /// Puts a constant on the stack: a number in base units, a truth as 1 or 0, a text's number.
    Const(f64),
    /// Puts a slot's value on the stack.
    Load(u32),
    One(One),
    Two(Two),
    /// `x, low, high`.
    Clamp,
    Fold(Fold, u32),
    /// A function given by a table or a mechanism, with as many arguments.
    Given(&'static Function, u8),
    /// Takes a truth: goes on if it is 1, else to `otherwise`.
    Branch {
        otherwise: u32,
    },
    /// The end of a branch's first arm.
    Skip {
        to: u32,
    },
}

/// The code of one formula.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Code {
    // One operation, which is a constant or another value, needs no memory of its own.
    pub(crate) ops: SmallVec<[Op; 1]>,
    /// For every operation the node of the formula that it came from, to place a domain fault.
    pub(crate) nodes: SmallVec<[u32; 4]>,
}

impl Code {
    /// The code of a number in base units.
    pub fn constant(number: f64) -> Self {
        Self { ops: smallvec![Op::Const(number)], nodes: smallvec![0] }
    }

    /// The same code over slots of other numbers.
    #[must_use]
    pub fn with_slots(&self, to: &dyn Fn(u32) -> u32) -> Self {
        let moved = |op: &Op| match op {
            Op::Load(slot) => Op::Load(to(*slot)),
            op => *op,
        };
        Self { ops: self.ops.iter().map(moved).collect(), nodes: self.nodes.clone() }
    }
}

/// What an operation worked on.
pub(crate) type Operands = [f64; MOST_PARAMETERS];

fn operands(given: &[f64]) -> Operands {
    let mut all = [0.0; MOST_PARAMETERS];
    all.iter_mut().zip(given).for_each(|(place, number)| *place = *number);
    all
}

/// Where an evaluation stopped, and the numbers that led to it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// The formula's node.
    pub(crate) node: u32,
    pub(crate) why: Why,
    /// The operands, in base units; those that there are not are 0.
    pub(crate) operands: Operands,
}

/// Why an evaluation stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Why {
    DivisionByZero,
    NoPower,
    NegativeRoot,
    NoLogarithm,
    OutsideUnit,
    Pole,
    NoDirection,
    BadStep,
    BadRange,
    NoRows,
    TooLarge,
    NothingGiven,
    NotComputed,
}

/// The working memory of an evaluation, kept between formulas.
#[derive(Clone, Debug, Default)]
pub struct Machine {
    stack: Vec<f64>,
    texts: Texts,
}

impl Machine {
    /// A machine for formulas whose values may be texts.
    pub fn with(texts: &Texts) -> Self {
        Self { stack: Vec::new(), texts: texts.clone() }
    }

    /// Evaluates a formula's code. `slots` holds the values of all names in base units; a value
    /// that is not a number marks one that could not be computed.
    ///
    /// # Errors
    /// [`Stop`] where a function has no value for its numbers.
    pub fn run(&mut self, code: &Code, slots: &[f64]) -> Result<f64, Stop> {
        self.stack.clear();
        let mut at = 0;
        while let Some(op) = code.ops.get(at) {
            match self.step(*op, slots) {
                Ok(None) => at += 1,
                Ok(Some(next)) => at = next as usize,
                Err((why, operands)) => return Err(Stop { node: code.nodes[at], why, operands }),
            }
        }
        let value = self.pop();
        if value.is_nan() {
            // The empty code of a formula whose parts have faults.
            return Err(Stop { node: 0, why: Why::NotComputed, operands: operands(&[]) });
        }
        // A negative zero becomes a plain one.
        Ok(value + 0.0)
    }

    fn pop(&mut self) -> f64 {
        // The compiler balances the stack; an empty one would be a defect of its own.
        self.stack.pop().unwrap_or(f64::NAN)
    }

    #[inline]
    fn step(&mut self, op: Op, slots: &[f64]) -> Result<Option<u32>, (Why, Operands)> {
        match op {
            Op::Const(number) => self.stack.push(number),
            Op::Load(slot) => {
                let value = slots[slot as usize];
                if value.is_nan() {
                    return Err((Why::NotComputed, operands(&[])));
                }
                self.stack.push(value);
            }
            Op::One(one) => {
                let x = self.pop();
                let value = apply_one(one, x).map_err(|why| (why, operands(&[x])))?;
                self.stack.push(value);
            }
            Op::Two(two) => {
                let (b, a) = (self.pop(), self.pop());
                let value = apply_two(two, a, b).map_err(|why| (why, operands(&[a, b])))?;
                self.stack.push(value);
            }
            Op::Clamp => {
                let (high, low, x) = (self.pop(), self.pop(), self.pop());
                if low > high {
                    return Err((Why::BadRange, operands(&[low, high])));
                }
                self.stack.push(x.max(low).min(high));
            }
            Op::Fold(fold, count) => self.fold(fold, count as usize)?,
            Op::Given(function, count) => self.given(function, count.into())?,
            Op::Branch { otherwise } => {
                if self.pop() == 0.0 {
                    return Ok(Some(otherwise));
                }
            }
            Op::Skip { to } => return Ok(Some(to)),
        }
        Ok(None)
    }

    fn given(&mut self, function: &Function, count: usize) -> Result<(), (Why, Operands)> {
        let start = self.stack.len().saturating_sub(count);
        let numbers = operands(&self.stack[start..]);
        let found = call(function, &numbers[..count.min(MOST_PARAMETERS)], &self.texts);
        self.stack.truncate(start);
        let value = match found {
            Some(Ok(Found::Number(number))) => number,
            Some(Ok(Found::Text(text))) => self.texts.known(text).unwrap_or(f64::NAN),
            _ => return Err((Why::NothingGiven, numbers)),
        };
        if !value.is_finite() {
            return Err((Why::TooLarge, numbers));
        }
        self.stack.push(value);
        Ok(())
    }

    fn fold(&mut self, fold: Fold, count: usize) -> Result<(), (Why, Operands)> {
        let start = self.stack.len().saturating_sub(count);
        let cells = self.stack.drain(start..);
        let value = match fold {
            Fold::Sum => cells.fold(0.0, |a, b| a + b),
            _ if count == 0 => return Err((Why::NoRows, operands(&[]))),
            Fold::Min => cells.fold(f64::INFINITY, f64::min),
            Fold::Max => cells.fold(f64::NEG_INFINITY, f64::max),
            Fold::Mean => cells.fold(0.0, |a, b| a + b) / count as f64,
        };
        if !value.is_finite() {
            return Err((Why::TooLarge, operands(&[value])));
        }
        self.stack.push(value);
        Ok(())
    }
}

/// Calls a function that is given by a table or a mechanism; `None` for any other.
pub(crate) fn call(
    function: &Function,
    numbers: &[f64],
    texts: &Texts,
) -> Option<Result<Found, NotFound>> {
    let Rule::Given { parameters, .. } = function.rule else { return None };
    let argument = |(number, parameter): (&f64, &Parameter)| match parameter {
        Parameter::Text => Argument::Text(texts.text(*number)),
        Parameter::Quantity(_) => Argument::Number(*number),
    };
    let arguments: Vec<Argument<'_>> = numbers.iter().zip(parameters).map(argument).collect();
    function.find.map(|find| find(&arguments))
}

fn finite(value: f64) -> Result<f64, Why> {
    if value.is_finite() { Ok(value) } else { Err(Why::TooLarge) }
}

/// Whether `x` satisfies what a function asks, else why not.
fn given(holds: bool, why: Why) -> Result<(), Why> {
    if holds { Ok(()) } else { Err(why) }
}

pub(crate) fn apply_one(one: One, x: f64) -> Result<f64, Why> {
    Ok(match one {
        // Not `-x`: a negative zero would be exported as one.
        One::Negate => 0.0 - x,
        One::Not => 1.0 - x,
        One::Abs => x.abs(),
        One::Sign => f64::from(i8::from(x > 0.0) - i8::from(x < 0.0)),
        One::Sqrt => {
            given(x >= 0.0, Why::NegativeRoot)?;
            x.sqrt()
        }
        One::Cbrt => libm::cbrt(x),
        One::Exp => finite(libm::exp(x))?,
        One::Ln => {
            given(x > 0.0, Why::NoLogarithm)?;
            libm::log(x)
        }
        One::Log10 => {
            given(x > 0.0, Why::NoLogarithm)?;
            libm::log10(x)
        }
        One::Sin => el::sin(x),
        One::Cos => el::cos(x),
        One::Tan => {
            let tangent = el::tan(x);
            given(tangent.is_finite(), Why::Pole)?;
            tangent
        }
        One::Asin => {
            given((-1.0..=1.0).contains(&x), Why::OutsideUnit)?;
            el::asin(x)
        }
        One::Acos => {
            given((-1.0..=1.0).contains(&x), Why::OutsideUnit)?;
            el::acos(x)
        }
        One::Atan => el::atan(x),
        One::Round => el::round(x),
        One::Ceil => x.ceil(),
        One::Floor => x.floor(),
    })
}

pub(crate) fn apply_two(two: Two, a: f64, b: f64) -> Result<f64, Why> {
    let steps = |whole: fn(f64) -> f64| {
        given(b > 0.0, Why::BadStep)?;
        finite(el::stepped(a, b, whole))
    };
    match two {
        Two::Add => finite(a + b),
        Two::Subtract => finite(a - b),
        Two::Multiply => finite(a * b),
        Two::Divide => {
            given(b != 0.0, Why::DivisionByZero)?;
            finite(a / b)
        }
        Two::Power => {
            let undefined = (a < 0.0 && b.fract() != 0.0) || (a == 0.0 && b < 0.0);
            given(!undefined, Why::NoPower)?;
            finite(el::pow(a, b))
        }
        Two::Atan2 => {
            given(a != 0.0 || b != 0.0, Why::NoDirection)?;
            Ok(el::atan2(a, b))
        }
        // b is in degrees: r times the angle in radians.
        Two::ArcLength => finite(a * (b * (std::f64::consts::PI / 180.0))),
        Two::Round => steps(el::round),
        Two::Ceil => steps(f64::ceil),
        Two::Floor => steps(f64::floor),
        Two::Hypot => finite(libm::hypot(a, b)),
        Two::Compare(comparison) => Ok(f64::from(u8::from(compare(comparison, a, b)))),
    }
}

/// Whether a comparison holds between two values, to the last bit.
#[inline(always)]
pub(crate) fn compare(comparison: Comparison, a: f64, b: f64) -> bool {
    match comparison {
        Comparison::Less => a < b,
        Comparison::AtMost => a <= b,
        Comparison::Greater => a > b,
        Comparison::AtLeast => a >= b,
        Comparison::Equal => a == b,
        Comparison::Unequal => a != b,
    }
}

impl Stop {
    /// Whether the evaluation stopped because a value that it needs could not be computed.
    pub fn is_not_computed(&self) -> bool {
        self.why == Why::NotComputed
    }
}
