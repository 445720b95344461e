//! The codes of many formulas one behind the other, in the order in which they are evaluated.
//!
//! A design is evaluated as a whole far more often than it is read. What a formula needs for that
//! is its code and where its value goes, and nothing else: in one piece of memory, read from front
//! to back, a hundred thousand formulas take about as long as their arithmetic does.

use crate::code::{Code, Fold, Op, Two, apply_one, apply_two, compare};

/// Codes in order, each with the slot that its value goes to.
///
/// ```
/// use setout_formula::{Code, Program};
/// let mut program = Program::default();
/// program.push(1, &Code::constant(2.0));
/// program.push_other(0);
/// let mut values = [f64::NAN; 2];
/// program.run(&mut values, |slot, values| values[1] + f64::from(slot) + 1.0);
/// assert_eq!(values, [3.0, 2.0]);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Program {
    steps: Vec<Step>,
    ops: Vec<Op>,
}

/// A formula: where its value goes, and where its code ends. It begins where the one before ends.
#[derive(Clone, Copy, Debug)]
struct Step {
    slot: u32,
    end: u32,
}

/// How many values a code here may hold at a time. Longer ones are left to others.
const STACK: usize = 16;

type Stack = [f64; STACK];

impl Program {
    /// Puts a code behind the others. What it reads has to be computed by those before it.
    pub fn push(&mut self, slot: u32, code: &Code) {
        let fits = u32::try_from(self.ops.len() + code.ops.len()).is_ok();
        if fits && is_arithmetic(&code.ops) {
            self.ops.extend_from_slice(&code.ops);
        }
        self.push_other(slot);
    }

    /// Puts a value behind the others that comes about in some other way.
    pub fn push_other(&mut self, slot: u32) {
        let end = self.ops.len() as u32;
        self.steps.push(Step { slot, end });
    }

    /// Computes all values in order. Where a code has no value for the numbers that it meets,
    /// where it takes functions of tables, and where there is none, `other` is asked for the value
    /// of the slot, with all values so far.
    ///
    /// A value that could not be computed is not a number, and neither is what reads it, whether
    /// or not it would be needed there.
    ///
    /// # Panics
    /// When a slot is not among the values.
    pub fn run(&self, values: &mut [f64], other: impl FnMut(u32, &[f64]) -> f64) {
        self.run_but(|_| false, values, other);
    }

    /// The same with slots whose values stay as they are.
    pub fn run_but(
        &self,
        is_kept: impl Fn(u32) -> bool,
        values: &mut [f64],
        mut other: impl FnMut(u32, &[f64]) -> f64,
    ) {
        let mut stack: Stack = [0.0; STACK];
        let mut start = 0;
        for Step { slot, end } in &self.steps {
            let ops = &self.ops[start..*end as usize];
            start = *end as usize;
            if is_kept(*slot) {
                continue;
            }
            let value = match ops {
                [Op::Const(number)] => Some(*number + 0.0),
                [] => None,
                ops => value(ops, values, &mut stack),
            };
            let value = value.unwrap_or_else(|| other(*slot, values));
            values[*slot as usize] = value;
        }
    }
}

/// Whether a code is arithmetic and branches, without functions of tables, on a stack that is not
/// too high.
fn is_arithmetic(ops: &[Op]) -> bool {
    let mut height = 0_usize;
    ops.iter().all(|op| {
        let (takes, gives) = match op {
            Op::Const(_) | Op::Load(_) => (0, 1),
            Op::One(_) => (1, 1),
            Op::Two(_) => (2, 1),
            Op::Clamp => (3, 1),
            Op::Fold(_, count) => (*count as usize, usize::from(*count > 0)),
            // The second arm begins at the height at which the first one did.
            Op::Branch { .. } | Op::Skip { .. } => (1, 0),
            Op::Given(..) => return false,
        };
        let is_fold_of_nothing = matches!(op, Op::Fold(_, 0));
        let possible = height >= takes && !is_fold_of_nothing;
        height = height.saturating_sub(takes) + gives;
        possible && height <= STACK
    }) && height == 1
}

/// The value of a code that [`is_arithmetic`]; `None` where it has none.
#[inline]
fn value(ops: &[Op], values: &[f64], stack: &mut Stack) -> Option<f64> {
    let mut height = 0;
    let mut at = 0;
    while let Some(op) = ops.get(at) {
        at += 1;
        let value = match *op {
            Op::Const(number) => number,
            Op::Load(slot) => {
                let value = values[slot as usize];
                if value.is_nan() {
                    return None;
                }
                value
            }
            Op::Branch { otherwise } => {
                // What an arm reads has to be there even if the other one is taken.
                let there =
                    |op: &Op| !matches!(op, Op::Load(slot) if values[*slot as usize].is_nan());
                if !ops[at..].iter().all(there) {
                    return None;
                }
                height -= 1;
                if stack[height % STACK] == 0.0 {
                    at = otherwise as usize;
                }
                continue;
            }
            Op::Skip { to } => {
                at = to as usize;
                continue;
            }
            Op::Two(Two::Add) => {
                height -= 2;
                finite(stack[height % STACK] + stack[(height + 1) % STACK])?
            }
            Op::Two(Two::Subtract) => {
                height -= 2;
                finite(stack[height % STACK] - stack[(height + 1) % STACK])?
            }
            Op::Two(Two::Multiply) => {
                height -= 2;
                finite(stack[height % STACK] * stack[(height + 1) % STACK])?
            }
            Op::Two(Two::Compare(comparison)) => {
                height -= 2;
                let (a, b) = (stack[height % STACK], stack[(height + 1) % STACK]);
                f64::from(u8::from(compare(comparison, a, b)))
            }
            Op::One(one) => {
                height -= 1;
                apply_one(one, stack[height % STACK]).ok()?
            }
            Op::Two(two) => {
                height -= 2;
                apply_two(two, stack[height % STACK], stack[(height + 1) % STACK]).ok()?
            }
            Op::Clamp => {
                height -= 3;
                let [x, low, high] = [0, 1, 2].map(|at| stack[(height + at) % STACK]);
                if low > high {
                    return None;
                }
                x.max(low).min(high)
            }
            Op::Fold(fold, count) => {
                height -= count as usize;
                folded(fold, stack.get(height..height + count as usize)?)?
            }
            Op::Given(..) => return None,
        };
        stack[height % STACK] = value;
        height += 1;
    }
    // A negative zero becomes a plain one.
    Some(stack[0] + 0.0)
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// A fold over some cells, of which there is at least one.
fn folded(fold: Fold, cells: &[f64]) -> Option<f64> {
    let cells = cells.iter().copied();
    let count = cells.len() as f64;
    let value = match fold {
        Fold::Sum => cells.fold(0.0, |a, b| a + b),
        Fold::Min => cells.fold(f64::INFINITY, f64::min),
        Fold::Max => cells.fold(f64::NEG_INFINITY, f64::max),
        Fold::Mean => cells.fold(0.0, |a, b| a + b) / count,
    };
    finite(value)
}
