//! Blocks of samples: the reading of a formula's code that takes many points in one go.
//!
//! Each operation is a loop over the samples. A sample without a value is not a number from there
//! on, and both arms of an `if` are read where samples take different ones; so every sample comes
//! to what a [`Machine`](crate::Machine) makes of it alone, to the last bit.

use pulp::Arch;

use crate::Texts;
use crate::block_values::{Loops, Value};
use crate::code::{Code, Op};

/// What a name stands for in a block of samples, in base units.
#[derive(Clone, Copy, Debug)]
pub enum Samples<'a> {
    /// The same for every sample.
    Same(f64),
    /// A number for each sample.
    Each(&'a [f64]),
}

/// So many samples are worked on at a time: some blocks of them stay in the nearest cache.
const BLOCK: usize = 1024;

/// The working memory of evaluations in blocks, kept between formulas.
///
/// ```
/// use setout_formula::{BlockMachine, Formula, Meaning, Samples, Texts, Type};
/// use setout_quantity::{Kind, Units};
///
/// let units = Units::standard();
/// let formula = Formula::read("1 mm * sqrt(gap / wall)", &units).0.unwrap();
/// let length = Type::Quantity(Kind::LENGTH);
/// let names = [Meaning::Value { slot: 0, of: length }, Meaning::Value { slot: 1, of: length }];
/// let code = formula.compile(&names, &units, &mut Texts::default()).unwrap().code;
///
/// let mut values = [0.0; 3];
/// let gaps = Samples::Each(&[9.0, -1.0, 1.0]);
/// BlockMachine::default().run(&code, &[gaps, Samples::Same(1.0)], &mut values);
/// assert_eq!(values[0], 3.0);
/// assert!(values[1].is_nan(), "a negative number has no root");
/// assert_eq!(values[2], 1.0);
/// ```
#[derive(Clone, Debug)]
pub struct BlockMachine {
    arch: Arch,
    stack: Vec<Value>,
    spare: Vec<Vec<f64>>,
    texts: Texts,
}

impl Default for BlockMachine {
    fn default() -> Self {
        Self::with(&Texts::default())
    }
}

impl BlockMachine {
    /// A machine for formulas whose values may be texts.
    pub fn with(texts: &Texts) -> Self {
        Self { arch: Arch::new(), stack: Vec::new(), spare: Vec::new(), texts: texts.clone() }
    }

    /// The same machine with the code that every processor of the kind can run. Its results are
    /// the same to the last bit.
    #[must_use]
    pub fn without_vectors(self) -> Self {
        Self { arch: Arch::Scalar, ..self }
    }

    /// Evaluates a formula's code for as many samples as `values` has room for.
    ///
    /// `slots` holds what the names stand for. All numbers are finite, save that one which could
    /// not be computed is not a number. Each value is bit for bit what [`Machine::run`] comes to
    /// with the numbers of that sample, and not a number (`f64::NAN`) where that stops; the machine
    /// tells why.
    ///
    /// [`Machine::run`]: crate::Machine::run
    ///
    /// # Panics
    /// If a slot that the code reads has numbers for fewer samples than there is room for, or is
    /// not there at all.
    pub fn run(&mut self, code: &Code, slots: &[Samples<'_>], values: &mut [f64]) {
        for (index, values) in values.chunks_mut(BLOCK).enumerate() {
            let loops = Loops {
                arch: self.arch,
                slots,
                from: index * BLOCK,
                count: values.len(),
                texts: &self.texts,
                spare: &mut self.spare,
            };
            self.stack.clear();
            let mut run = Run { code, stack: &mut self.stack, loops };
            run.until(0, code.ops.len());
            let found = run.pop();
            run.loops.give(found, values);
        }
    }
}

/// The evaluation of one block.
struct Run<'a> {
    code: &'a Code,
    stack: &'a mut Vec<Value>,
    loops: Loops<'a>,
}

impl Run<'_> {
    fn pop(&mut self) -> Value {
        // The compiler balances the stack; the code of a formula with faults is empty.
        self.stack.pop().unwrap_or(Value::Same(f64::NAN))
    }

    /// Reads the operations up to one. Arms stand within arms no deeper than formulas do.
    fn until(&mut self, start: usize, end: usize) {
        let mut at = start;
        while at < end {
            at = match self.code.ops[at] {
                Op::Branch { otherwise } => self.branch(at + 1, otherwise as usize),
                Op::Skip { to } => to as usize,
                op => {
                    self.step(op);
                    at + 1
                }
            };
        }
    }

    /// A condition is on the stack; both arms begin here and there. Gives where they meet, or the
    /// arm that is to be gone on with.
    fn branch(&mut self, then: usize, otherwise: usize) -> usize {
        let condition = self.pop();
        match self.loops.truth(&condition) {
            Some(true) => return then,
            Some(false) => return otherwise,
            None => {}
        }
        // The first arm ends with a skip over the second.
        let Some(Op::Skip { to }) = self.code.ops.get(otherwise.wrapping_sub(1)) else {
            self.stack.push(Value::Same(f64::NAN));
            return self.code.ops.len();
        };
        let end = *to as usize;
        self.until(then, otherwise - 1);
        let first = self.pop();
        self.until(otherwise, end);
        let second = self.pop();
        let chosen = self.loops.chosen(condition, first, second);
        self.stack.push(chosen);
        end
    }

    fn step(&mut self, op: Op) {
        let found = match op {
            Op::Const(number) => Value::Same(number),
            Op::Load(slot) => self.loops.load(slot),
            Op::One(one) => {
                let x = self.pop();
                self.loops.one(one, x)
            }
            Op::Two(two) => {
                let (b, a) = (self.pop(), self.pop());
                self.loops.two(two, a, b)
            }
            Op::Clamp => {
                let (high, low, x) = (self.pop(), self.pop(), self.pop());
                self.loops.clamp(x, low, high)
            }
            Op::Fold(fold, count) => {
                let start = self.stack.len().saturating_sub(count as usize);
                self.loops.fold(fold, self.stack.drain(start..))
            }
            Op::Given(function, count) => {
                let start = self.stack.len().saturating_sub(count.into());
                self.loops.given(function, self.stack.drain(start..))
            }
            Op::Branch { .. } | Op::Skip { .. } => return,
        };
        self.stack.push(found);
    }
}
