//! What every variable and every literal is, as far as it can be worked out.
//!
//! What is known is carried along: sums and comparisons join things of one kind, sines take
//! angles, literals that multiply stay plain. Passes go up and down the file until nothing new
//! comes of them; what is then still open is a length, and the passes begin again. Wrong guesses
//! do no harm beyond leaving something out: kinds are checked again when the table is read.

mod demand;
mod infer;

use std::collections::{HashMap, HashSet};

use setout_quantity::{Kind, Ratio};

use super::remark::Stated;
use super::tree::{Expr, Op};
use super::usual::Guess;
use super::variables::Variable;

/// What an expression is, once it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    Quantity(Kind),
    Text,
    Truth,
}

/// What was worked out.
#[derive(Debug, Default)]
pub(super) struct Kinds {
    pub(super) of: HashMap<String, Sort>,
    /// By number of the literal.
    pub(super) literals: HashMap<usize, Kind>,
    /// What took its kind from a comment or a name, and what is plain as nothing says otherwise.
    pub(super) guessed: HashSet<String>,
    pub(super) unasked: HashSet<String>,
    changed: bool,
}

/// More passes than any chain of uses that people write.
const MOST_PASSES: usize = 12;

pub(super) fn solve(found: &[Variable]) -> Kinds {
    let mut kinds = Kinds::default();
    for variable in found.iter().filter(|variable| variable.refused.is_none()) {
        if let Some(kind) = stated(variable) {
            kinds.of.insert(variable.key.clone(), Sort::Quantity(kind));
        }
        if variable.expr.is_pure() {
            kinds.guess(variable);
        }
    }
    kinds.carry(found);
    found.iter().for_each(|variable| kinds.guess(variable));
    kinds.carry(found);
    let factors = factors(found);
    for variable in found {
        let small = variable.expr.number().is_some_and(|n| n != 0.0 && n.abs() < 1.0);
        if small && factors.get(variable.key.as_str()) == Some(&true) {
            kinds.of.entry(variable.key.clone()).or_insert(Sort::Quantity(Kind::NUMBER));
        }
    }
    kinds.carry(found);
    for variable in found.iter().filter(|variable| variable.expr.is_bare()) {
        kinds.of.entry(variable.key.clone()).or_insert(Sort::Quantity(Kind::LENGTH));
    }
    kinds.carry(found);
    for variable in found.iter().filter(|variable| variable.refused.is_none()) {
        if !kinds.of.contains_key(&variable.key) {
            kinds.of.insert(variable.key.clone(), Sort::Quantity(Kind::NUMBER));
            kinds.unasked.insert(variable.key.clone());
        }
    }
    kinds.carry(found);
    kinds
}

fn stated(variable: &Variable) -> Option<Kind> {
    match &variable.remarks.stated {
        Some(Stated::Unit(_, kind)) => Some(*kind),
        Some(Stated::None) if variable.expr.is_pure() => Some(Kind::NUMBER),
        _ => None,
    }
}

/// The variables that are read, and whether all they do is multiply or divide something that is
/// no literal: below 1, those are ratios.
fn factors(found: &[Variable]) -> HashMap<&str, bool> {
    fn walk<'a>(expr: &'a Expr, multiplies: bool, into: &mut HashMap<&'a str, bool>) {
        match expr {
            Expr::Name(name) => *into.entry(name).or_insert(true) &= multiplies,
            Expr::Binary(Op::Times, a, b) => {
                walk(a, !b.is_pure(), into);
                walk(b, !a.is_pure(), into);
            }
            Expr::Binary(Op::Over, a, b) => {
                walk(a, false, into);
                walk(b, !a.is_pure(), into);
            }
            _ => expr.parts(|part| walk(part, false, into)),
        }
    }
    let mut factors = HashMap::new();
    found.iter().for_each(|variable| walk(&variable.expr, false, &mut factors));
    factors
}

impl Kinds {
    /// Takes what a comment or a name says, where nothing better is known.
    fn guess(&mut self, variable: &Variable) {
        let kind = match variable.guess {
            Some(Guess::Angle) => Kind::ANGLE,
            Some(Guess::Count | Guess::Number) => Kind::NUMBER,
            None => return,
        };
        if variable.refused.is_none() && !self.of.contains_key(&variable.key) {
            self.of.insert(variable.key.clone(), Sort::Quantity(kind));
            self.guessed.insert(variable.key.clone());
        }
    }

    fn carry(&mut self, found: &[Variable]) {
        for pass in 0..MOST_PASSES {
            self.changed = false;
            if pass % 2 == 0 {
                found.iter().for_each(|variable| self.visit(variable));
            } else {
                found.iter().rev().for_each(|variable| self.visit(variable));
            }
            if !self.changed && pass > 0 {
                return;
            }
        }
    }

    fn visit(&mut self, variable: &Variable) {
        let found = self.infer(&variable.expr);
        match (self.of.get(&variable.key).copied(), found) {
            (None, Some(sort)) => {
                self.of.insert(variable.key.clone(), sort);
                self.changed = true;
            }
            (Some(Sort::Quantity(kind)), None) => self.demand(&variable.expr, kind),
            _ => {}
        }
    }
}

/// A number as a fraction of small whole numbers.
fn ratio(number: f64) -> Option<Ratio> {
    (1..=6_i32).find_map(|below| {
        let above = number * f64::from(below);
        let whole = above.fract() == 0.0 && above.abs() <= 12.0;
        #[expect(clippy::cast_possible_truncation, reason = "it is whole and at most 12")]
        whole.then(|| Ratio::new(above as i64, i64::from(below))).flatten()
    })
}
