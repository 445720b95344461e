//! What the operations do to a block of samples, a loop each. What has no value is not a number.

use crate::Samples;
use crate::block_values::{Loops, Value};
use crate::code::{Fold, One, Two, apply_one, apply_two, call, compare};
use crate::functions::Function;
use crate::given::{Found, MOST_PARAMETERS};

/// The number, if it is finite. An infinity less itself is not a number, and any other number less
/// a plain zero is itself, to the sign of its zero; that is quicker than to ask.
#[expect(clippy::eq_op, reason = "it is not 0 for an infinity")]
#[inline(always)]
fn finite(x: f64) -> f64 {
    x - (x - x)
}

/// The result, if there are both operands.
#[inline(always)]
fn of_both(a: f64, b: f64, result: f64) -> f64 {
    if a.is_nan() | b.is_nan() { f64::NAN } else { result }
}

impl Loops<'_> {
    pub(crate) fn one(&mut self, one: One, x: Value) -> Value {
        match one {
            One::Negate => self.map(x, |x| 0.0 - x),
            One::Not => self.map(x, |x| 1.0 - x),
            One::Abs => self.map(x, f64::abs),
            One::Sqrt => self.map(x, f64::sqrt),
            One::Ceil => self.map(x, f64::ceil),
            One::Floor => self.map(x, f64::floor),
            _ => self.map(x, |x| match apply_one(one, x) {
                Ok(value) if !x.is_nan() => value,
                _ => f64::NAN,
            }),
        }
    }

    pub(crate) fn two(&mut self, two: Two, a: Value, b: Value) -> Value {
        match (two, &b) {
            (Two::Add, _) => self.zip(a, b, |a, b| finite(a + b)),
            (Two::Subtract, _) => self.zip(a, b, |a, b| finite(a - b)),
            (Two::Multiply, _) => self.zip(a, b, |a, b| finite(a * b)),
            (Two::Divide, _) => self.zip(a, b, |a, b| finite(a / b)),
            (Two::Power, Value::Same(2.0)) => self.map(a, |a| finite(a * a)),
            (Two::Compare(which), _) => {
                self.zip(a, b, move |a, b| of_both(a, b, f64::from(u8::from(compare(which, a, b)))))
            }
            _ => self.zip(a, b, move |a, b| match apply_two(two, a, b) {
                Ok(value) => of_both(a, b, value),
                Err(_) => f64::NAN,
            }),
        }
    }

    pub(crate) fn clamp(&mut self, x: Value, low: Value, high: Value) -> Value {
        let (below, above) = (self.again(&low), self.again(&high));
        let in_order = self.zip(below, above, |low, high| {
            of_both(low, high, if low > high { f64::NAN } else { 0.0 })
        });
        let x = self.zip(x, low, |x, low| of_both(x, low, x.max(low)));
        let x = self.zip(x, high, |x, high| of_both(x, high, x.min(high)));
        self.zip(x, in_order, |x, in_order| of_both(x, in_order, x))
    }

    pub(crate) fn fold(
        &mut self,
        fold: Fold,
        cells: impl ExactSizeIterator<Item = Value>,
    ) -> Value {
        let count = cells.len() as f64;
        match fold {
            Fold::Sum => self.all(0.0, cells, |a, b| a + b, finite),
            Fold::Mean => self.all(0.0, cells, |a, b| a + b, |sum| finite(sum / count)),
            Fold::Min => self.all(f64::INFINITY, cells, |a, b| of_both(a, b, a.min(b)), finite),
            Fold::Max => self.all(f64::NEG_INFINITY, cells, |a, b| of_both(a, b, a.max(b)), finite),
        }
    }

    fn all(
        &mut self,
        start: f64,
        cells: impl Iterator<Item = Value>,
        step: impl Fn(f64, f64) -> f64 + Copy,
        end: impl Fn(f64) -> f64,
    ) -> Value {
        let all = cells.fold(Value::Same(start), |all, cell| self.zip(all, cell, step));
        self.map(all, end)
    }

    /// A function that is given by a table or a mechanism, sample by sample.
    pub(crate) fn given(
        &mut self,
        function: &Function,
        arguments: impl Iterator<Item = Value>,
    ) -> Value {
        let arguments: Vec<Value> = arguments.take(MOST_PARAMETERS).collect();
        let varies = arguments.iter().any(|value| !matches!(value, Value::Same(_)));
        let mut found = if varies { self.memory() } else { Vec::new() };
        let all: Vec<Samples<'_>> = arguments.iter().map(|value| self.numbers(value)).collect();
        let at = |index: usize| {
            let mut numbers = [0.0; MOST_PARAMETERS];
            for (number, samples) in numbers.iter_mut().zip(&all) {
                *number = match samples {
                    Samples::Same(number) => *number,
                    Samples::Each(numbers) => numbers[index],
                };
            }
            self.found(function, &numbers[..all.len()])
        };
        if !varies {
            return Value::Same(at(0));
        }
        found.extend((0..self.count).map(at));
        arguments.into_iter().for_each(|value| self.done_with(value));
        Value::Own(found)
    }

    fn found(&self, function: &Function, numbers: &[f64]) -> f64 {
        if numbers.iter().any(|number| number.is_nan()) {
            return f64::NAN;
        }
        finite(match call(function, numbers, self.texts) {
            Some(Ok(Found::Number(number))) => number,
            Some(Ok(Found::Text(text))) => self.texts.known(text).unwrap_or(f64::NAN),
            _ => f64::NAN,
        })
    }

    /// Which arm all samples take, if it is the same one.
    pub(crate) fn truth(&self, condition: &Value) -> Option<bool> {
        match self.numbers(condition) {
            Samples::Same(number) => (!number.is_nan()).then_some(number != 0.0),
            Samples::Each(numbers) => {
                let zeros = numbers.iter().filter(|number| **number == 0.0).count();
                let others = numbers.iter().filter(|number| number.abs() > 0.0).count();
                match self.count {
                    count if zeros == count => Some(false),
                    count if others == count => Some(true),
                    _ => None,
                }
            }
        }
    }

    /// For each sample the value of the arm that it takes.
    pub(crate) fn chosen(&mut self, condition: Value, first: Value, second: Value) -> Value {
        // What the other arm comes to is marked by an infinity, which no value is.
        let first = self.zip(condition, first, |condition, first| match condition {
            0.0 => f64::INFINITY,
            _ => of_both(condition, condition, first),
        });
        self.zip(first, second, |first, second| if first == f64::INFINITY { second } else { first })
    }
}
