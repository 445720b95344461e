//! One code, several readings: what an operation comes to is the affair of a [`Reading`].
//!
//! A reading that knows only where a condition's value lies may not know which arm of an `if` is
//! taken. It takes both then, and joins what they come to.

use crate::code::{Code, Fold, One, Op, Two};
use crate::linkages;
use crate::lookup;
use crate::{Interval, Texts};

/// A kind of value that a formula's code can be read over.
pub(crate) trait Reading: Clone {
    /// A number that does not vary.
    fn constant(number: f64) -> Self;
    /// A value of which nothing is known, not even whether there is one.
    fn unknown() -> Self;
    fn one(one: One, x: &Self) -> Self;
    fn two(two: Two, a: &Self, b: &Self) -> Self;
    fn least(a: &Self, b: &Self) -> Self;
    fn most(a: &Self, b: &Self) -> Self;
    /// Whether a truth is 1 or 0 everywhere; `None` where it may be either.
    fn truth(&self) -> Option<bool>;
    /// One of two values, and the condition does not say which.
    fn either(condition: &Self, a: &Self, b: &Self) -> Self;
    /// The same with all that may be wrong with something it depends on.
    fn beside(&self, other: &Self) -> Self;
    /// A function of these that is constant in pieces; its values lie here.
    fn in_pieces(values: Interval, of: &[&Self]) -> Self;
    /// A cosine that there is only where a linkage closes.
    fn closing(&self) -> Self;
    /// Another cosine of the linkage of which `closing` says where it closes.
    fn cosine_of(&self, closing: &Self) -> Self;
    /// An angle from -540 to 540 degrees, taken above -180 and up to 180 degrees.
    fn within_turn(&self) -> Self;
    /// The same where something holds that must; where it does not, there is no value.
    fn provided(&self, holds: Option<bool>) -> Self;
    /// The same function, worked out in another way: what both ways know of it.
    fn met_with(&self, other: &Self) -> Self;
    /// Where it lies.
    fn place(&self) -> crate::Enclosure;
}

impl Code {
    /// Reads the code. `slots` gives what the names stand for.
    pub(crate) fn read<R: Reading>(&self, texts: &Texts, slots: &dyn Fn(u32) -> R) -> R {
        let mut run = Run { code: self, texts, slots, stack: Vec::new() };
        run.until(0, self.ops.len());
        run.pop()
    }
}

struct Run<'a, R> {
    code: &'a Code,
    texts: &'a Texts,
    slots: &'a dyn Fn(u32) -> R,
    stack: Vec<R>,
}

impl<R: Reading> Run<'_, R> {
    fn pop(&mut self) -> R {
        // The compiler balances the stack; the code of a formula with faults is empty.
        self.stack.pop().unwrap_or_else(R::unknown)
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
        match condition.truth() {
            Some(true) => return then,
            Some(false) => return otherwise,
            None => {}
        }
        // The first arm ends with a skip over the second.
        let Some(Op::Skip { to }) = self.code.ops.get(otherwise.wrapping_sub(1)) else {
            self.stack.push(R::unknown());
            return self.code.ops.len();
        };
        let end = *to as usize;
        self.until(then, otherwise - 1);
        let first = self.pop();
        self.until(otherwise, end);
        let second = self.pop();
        self.stack.push(R::either(&condition, &first, &second));
        end
    }

    fn step(&mut self, op: Op) {
        let found = match op {
            Op::Const(number) => R::constant(number),
            Op::Load(slot) => (self.slots)(slot),
            Op::One(one) => R::one(one, &self.pop()),
            Op::Two(two) => {
                let (b, a) = (self.pop(), self.pop());
                R::two(two, &a, &b)
            }
            Op::Clamp => {
                let (high, low, x) = (self.pop(), self.pop(), self.pop());
                clamped(&x, &low, &high)
            }
            Op::Fold(fold, count) => {
                let start = self.stack.len().saturating_sub(count as usize);
                let cells: Vec<R> = self.stack.drain(start..).collect();
                folded(fold, &cells)
            }
            Op::Given(function, count) => {
                let start = self.stack.len().saturating_sub(count.into());
                let given: Vec<R> = self.stack.drain(start..).collect();
                match linkages::read(function.name, &given, self.texts) {
                    Some(found) => found,
                    None => lookup::read(function, &given, self.texts),
                }
            }
            Op::Branch { .. } | Op::Skip { .. } => return,
        };
        self.stack.push(found);
    }
}

fn clamped<R: Reading>(x: &R, low: &R, high: &R) -> R {
    let in_order = R::two(Two::Compare(crate::Comparison::AtMost), low, high).truth();
    R::least(&R::most(x, low), high).provided(in_order)
}

fn folded<R: Reading>(fold: Fold, cells: &[R]) -> R {
    let Some((first, rest)) = cells.split_first() else {
        return match fold {
            Fold::Sum => R::constant(0.0),
            _ => R::unknown(),
        };
    };
    let all = |of: &dyn Fn(&R, &R) -> R| rest.iter().fold(first.clone(), |a, b| of(&a, b));
    match fold {
        Fold::Sum => all(&|a, b| R::two(Two::Add, a, b)),
        Fold::Min => all(&R::least),
        Fold::Max => all(&R::most),
        Fold::Mean => {
            let sum = all(&|a, b| R::two(Two::Add, a, b));
            R::two(Two::Divide, &sum, &R::constant(cells.len() as f64))
        }
    }
}
