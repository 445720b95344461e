//! From the operations of a stack to those of a program.

use super::{Act, Move, PLACES, Program};
use crate::code::{Fold, One, Op, Two};

/// Writes one code behind the others.
///
/// The stack is gone through once, with the places of values instead of the values. What stands at a
/// height of it and is no slot or constant is kept in the place of that number, so that both arms of
/// a branch leave their value in the same one.
pub(super) struct Writer<'p> {
    program: &'p mut Program,
    /// Where the operations of this code begin.
    start: usize,
    /// Where the values on the stack are found.
    stack: Vec<u32>,
    /// The jumps that are still to be told where to go: the operation of the code that they go to, and
    /// their own number.
    open: Vec<(usize, usize)>,
    /// Whether what is read from here on is known to be there.
    looked: bool,
}

/// Constants that were written lately are looked for, so that those that are in every formula stand
/// in the list once.
const LATELY: usize = 16;

impl Writer<'_> {
    /// Writes the operations and gives the place in which the value is found; writes nothing and gives
    /// nothing where they take functions of tables, or a stack that is too high.
    pub(super) fn write(program: &mut Program, ops: &[Op]) -> Option<u32> {
        let (start, constants) = (program.moves.len(), program.constants.len());
        let mut writer =
            Writer { start, stack: Vec::new(), open: Vec::new(), looked: false, program };
        let result = writer.all(ops);
        if result.is_none() {
            program.moves.truncate(start);
            program.constants.truncate(constants);
        }
        result
    }

    fn all(&mut self, ops: &[Op]) -> Option<u32> {
        for (at, op) in ops.iter().enumerate() {
            self.arrive(at)?;
            self.op(*op, &ops[at + 1..])?;
        }
        self.arrive(ops.len())?;
        let fits = u32::try_from(self.program.moves.len()).is_ok()
            && self.program.constants.len() < (u32::MAX / 2) as usize;
        // The last operation leaves the value: there is none only where it is a slot's own.
        let is_left = |place: u32| {
            let slots = self.slots();
            (slots..slots + PLACES as u32).contains(&place)
        };
        match (&self.stack[..], &self.open[..]) {
            ([result], []) if fits => {
                let is_computed = self.program.moves.len() > self.start;
                (is_computed == is_left(*result)).then_some(*result)
            }
            _ => None,
        }
    }

    fn op(&mut self, op: Op, behind: &[Op]) -> Option<()> {
        match op {
            Op::Const(number) => {
                let constant = self.constant(number);
                self.stack.push(constant);
            }
            Op::Load(slot) if slot < self.slots() => self.stack.push(slot),
            Op::One(one) => {
                let a = self.stack.pop()?;
                let act = if one == One::Sqrt { Act::Root } else { Act::One(one) };
                self.keep(act, a, a)?;
            }
            Op::Two(two) => {
                let (b, a) = (self.stack.pop()?, self.stack.pop()?);
                match two {
                    Two::Add => self.keep(Act::Add, a, b)?,
                    Two::Subtract => self.keep(Act::Subtract, a, b)?,
                    Two::Multiply => self.keep(Act::Multiply, a, b)?,
                    Two::Divide => self.keep(Act::Divide, a, b)?,
                    Two::Compare(comparison) => self.keep(Act::Compare(comparison), a, b)?,
                    Two::Power if self.number(b) == Some(2.0) => self.keep(Act::Square, a, a)?,
                    two => self.keep(Act::Two(two), a, b)?,
                }
            }
            Op::Clamp => {
                let (high, low, x) = (self.stack.pop()?, self.stack.pop()?, self.stack.pop()?);
                self.push(Act::Ordered, 0, low, high);
                self.keep(Act::Max, x, low)?;
                let raised = self.stack.pop()?;
                self.keep(Act::Min, raised, high)?;
            }
            Op::Fold(fold, count) => self.fold(fold, count as usize)?,
            Op::Branch { otherwise } => {
                // What an arm reads has to be there even if the other one is taken.
                if !std::mem::replace(&mut self.looked, true) {
                    for op in behind {
                        if let Op::Load(slot) = op {
                            self.push(Act::There, 0, *slot, *slot);
                        }
                    }
                }
                let truth = self.stack.pop()?;
                self.jump(Act::Unless, truth, otherwise);
            }
            Op::Skip { to } => {
                self.in_place()?;
                let left = self.stack.pop()?;
                self.jump(Act::Go, left, to);
            }
            Op::Load(_) | Op::Given(..) => return None,
        }
        Some(())
    }

    /// Folds are taken two by two, the sum of nothing first.
    fn fold(&mut self, fold: Fold, count: usize) -> Option<()> {
        let from = self.stack.len().checked_sub(count).filter(|_| count > 0)?;
        let cells = self.stack.split_off(from);
        let (act, first) = match fold {
            Fold::Sum | Fold::Mean => (Act::Add, self.constant(0.0)),
            Fold::Min => (Act::Min, cells[0]),
            Fold::Max => (Act::Max, cells[0]),
        };
        self.stack.push(first);
        for cell in &cells[usize::from(act != Act::Add)..] {
            let so_far = self.stack.pop()?;
            self.keep(act, so_far, *cell)?;
        }
        if fold == Fold::Mean {
            let (sum, count) = (self.stack.pop()?, self.constant(count as f64));
            self.keep(Act::Divide, sum, count)?;
        }
        Some(())
    }

    /// Ends the arms that lead to an operation of the code, and tells their jumps where it is.
    fn arrive(&mut self, at: usize) -> Option<()> {
        let is_join = |writer: &Self, jump: usize| writer.program.moves[jump].act == Act::Go;
        while let Some(found) = self.open.iter().rposition(|(to, _)| *to == at) {
            let (_, jump) = self.open.remove(found);
            if is_join(self, jump) {
                self.in_place()?;
            }
            self.program.moves[jump].b = (self.program.moves.len() - self.start) as u32;
        }
        Some(())
    }

    /// Brings the value on top of the stack to the place of its height.
    fn in_place(&mut self) -> Option<()> {
        let top = self.stack.pop()?;
        if top == self.place(self.stack.len())? {
            self.stack.push(top);
            return Some(());
        }
        self.keep(Act::Copy, top, top)
    }

    fn jump(&mut self, act: Act, a: u32, to: u32) {
        self.open.push((to as usize, self.program.moves.len()));
        self.push(act, 0, a, 0);
    }

    /// An operation whose value goes on top of the stack.
    fn keep(&mut self, act: Act, a: u32, b: u32) -> Option<()> {
        let place = self.place(self.stack.len())?;
        self.push(act, self.stack.len() as u8, a, b);
        self.stack.push(place);
        Some(())
    }

    fn push(&mut self, act: Act, to: u8, a: u32, b: u32) {
        self.program.moves.push(Move { act, to, a, b });
    }

    /// The place for what stands at a height of the stack, if there are so many.
    fn place(&self, height: usize) -> Option<u32> {
        (height < PLACES).then(|| self.slots() + height as u32)
    }

    fn slots(&self) -> u32 {
        self.program.numbers.len() as u32
    }

    fn constant(&mut self, number: f64) -> u32 {
        let all = &mut self.program.constants;
        let lately = all.len().saturating_sub(LATELY);
        let same = |old: &f64| old.to_bits() == number.to_bits();
        let at = all[lately..].iter().rposition(same).map_or(all.len(), |at| lately + at);
        if at == all.len() {
            all.push(number);
        }
        self.slots() + (PLACES + at) as u32
    }

    /// The number in a place that holds a constant.
    fn number(&self, place: u32) -> Option<f64> {
        let at = place.checked_sub(self.slots() + PLACES as u32)?;
        self.program.constants.get(at as usize).copied()
    }
}
