//! The numbers of a block of samples, their memory, and loops that go over one or two of them.

use pulp::Arch;

use crate::{Samples, Texts};

/// What an operation works on and gives.
#[derive(Clone, Debug)]
pub(crate) enum Value {
    /// The same number for every sample.
    Same(f64),
    /// The numbers of a slot.
    Slot(u32),
    /// Numbers of its own.
    Own(Vec<f64>),
}

/// A block of samples, and the memory for the numbers in between.
pub(crate) struct Loops<'a> {
    pub(crate) arch: Arch,
    pub(crate) slots: &'a [Samples<'a>],
    /// The first sample, and how many there are.
    pub(crate) from: usize,
    pub(crate) count: usize,
    pub(crate) texts: &'a Texts,
    pub(crate) spare: &'a mut Vec<Vec<f64>>,
}

impl Loops<'_> {
    pub(crate) fn load(&self, slot: u32) -> Value {
        match self.slots[slot as usize] {
            Samples::Same(number) => Value::Same(number),
            Samples::Each(_) => Value::Slot(slot),
        }
    }

    pub(crate) fn numbers<'s>(&'s self, value: &'s Value) -> Samples<'s> {
        match value {
            Value::Same(number) => Samples::Same(*number),
            Value::Own(numbers) => Samples::Each(numbers),
            Value::Slot(slot) => match self.slots[*slot as usize] {
                Samples::Each(all) => Samples::Each(&all[self.from..self.from + self.count]),
                same => same,
            },
        }
    }

    /// Memory for numbers, which are none yet.
    pub(crate) fn memory(&mut self) -> Vec<f64> {
        let mut memory = self.spare.pop().unwrap_or_default();
        memory.clear();
        memory
    }

    /// The numbers in memory that may be written over.
    fn owned(&mut self, value: Value) -> Vec<f64> {
        match value {
            Value::Own(numbers) => numbers,
            value => self.copied(&value),
        }
    }

    fn copied(&mut self, value: &Value) -> Vec<f64> {
        let mut copy = self.memory();
        match self.numbers(value) {
            Samples::Same(number) => copy.resize(self.count, number),
            Samples::Each(numbers) => copy.extend_from_slice(numbers),
        }
        copy
    }

    /// The same value once more.
    pub(crate) fn again(&mut self, value: &Value) -> Value {
        match value {
            Value::Same(number) => Value::Same(*number),
            Value::Slot(slot) => Value::Slot(*slot),
            own @ Value::Own(_) => Value::Own(self.copied(own)),
        }
    }

    pub(crate) fn done_with(&mut self, value: Value) {
        if let Value::Own(numbers) = value {
            self.spare.push(numbers);
        }
    }

    /// Writes a formula's values where they belong.
    pub(crate) fn give(&mut self, value: Value, values: &mut [f64]) {
        match self.numbers(&value) {
            Samples::Same(number) => values.fill(number),
            Samples::Each(numbers) => values.copy_from_slice(numbers),
        }
        // A negative zero becomes a plain one.
        let plain = |x: f64| if x.is_nan() { f64::NAN } else { x + 0.0 };
        self.arch.dispatch(|| in_place(values, plain));
        self.done_with(value);
    }

    pub(crate) fn map(&mut self, x: Value, f: impl Fn(f64) -> f64) -> Value {
        if let Value::Same(x) = x {
            return Value::Same(f(x));
        }
        let mut own = self.owned(x);
        self.arch.dispatch(|| in_place(&mut own, f));
        Value::Own(own)
    }

    pub(crate) fn zip(&mut self, a: Value, b: Value, f: impl Fn(f64, f64) -> f64) -> Value {
        match (a, b) {
            (Value::Same(a), Value::Same(b)) => Value::Same(f(a, b)),
            (a @ (Value::Same(_) | Value::Slot(_)), Value::Own(b)) => {
                self.onto(b, a, |b, a| f(a, b))
            }
            (a, b) => {
                let a = self.owned(a);
                self.onto(a, b, f)
            }
        }
    }

    /// Writes the results over the first operands.
    fn onto(&mut self, mut a: Vec<f64>, b: Value, f: impl Fn(f64, f64) -> f64) -> Value {
        match self.numbers(&b) {
            Samples::Same(b) => self.arch.dispatch(|| in_place(&mut a, |a| f(a, b))),
            Samples::Each(b) => self.arch.dispatch(|| in_place_with(&mut a, b, f)),
        }
        self.done_with(b);
        Value::Own(a)
    }
}

#[inline(always)]
fn in_place(numbers: &mut [f64], f: impl Fn(f64) -> f64) {
    for number in numbers {
        *number = f(*number);
    }
}

#[inline(always)]
fn in_place_with(numbers: &mut [f64], others: &[f64], f: impl Fn(f64, f64) -> f64) {
    for (number, other) in numbers.iter_mut().zip(others) {
        *number = f(*number, *other);
    }
}
