//! What is asked of expressions, from the top down.

use setout_quantity::Kind;

use super::{Kinds, Sort, ratio};
use crate::openscad::tree::{Expr, Op};

impl Kinds {
    /// Makes what is still open in an expression such that it is of a kind.
    pub(super) fn demand(&mut self, expr: &Expr, kind: Kind) {
        match expr {
            Expr::Number(_, id) if !self.literals.contains_key(id) => {
                self.literals.insert(*id, kind);
                self.changed = true;
            }
            Expr::Name(name) if !self.of.contains_key(name) => {
                self.of.insert(name.clone(), Sort::Quantity(kind));
                self.changed = true;
            }
            Expr::Negative(a) => self.demand(a, kind),
            Expr::Binary(Op::Plus | Op::Minus, a, b) => {
                self.demand(a, kind);
                self.demand(b, kind);
            }
            Expr::Binary(op @ (Op::Times | Op::Over), a, b) => self.demand_product(*op, a, b, kind),
            Expr::Binary(Op::Power, base, exponent) => {
                let root = exponent.number().filter(|n| *n != 0.0).and_then(|n| ratio(1.0 / n));
                if let Some(kind) = root.and_then(|root| kind.powered(root)) {
                    self.demand(base, kind);
                }
            }
            Expr::If(_, yes, no) => {
                self.demand(yes, kind);
                self.demand(no, kind);
            }
            Expr::Call(name, arguments) => match name.as_str() {
                "abs" | "min" | "max" | "round" | "ceil" | "floor" | "norm" => {
                    arguments.iter().for_each(|argument| self.demand(argument, kind));
                }
                "sqrt" => {
                    if let Some(square) = kind.times(kind) {
                        self.demand(&arguments[0], square);
                    }
                }
                _ => {}
            },
            _ => {}
        }
    }

    fn demand_product(&mut self, op: Op, a: &Expr, b: &Expr, kind: Kind) {
        let quantity = |sort| match sort {
            Some(Sort::Quantity(kind)) => Some(kind),
            _ => None,
        };
        let (left, right) = (quantity(self.infer(a)), quantity(self.infer(b)));
        let wanted =
            |known: Kind| if op == Op::Times { kind.over(known) } else { kind.times(known) };
        match (left, right) {
            (Some(_), Some(_)) => {}
            (Some(left), None) => {
                let rest = if op == Op::Times { kind.over(left) } else { left.over(kind) };
                if let Some(rest) = rest {
                    self.demand(b, rest);
                }
            }
            (None, Some(right)) => {
                if let Some(rest) = wanted(right) {
                    self.demand(a, rest);
                }
            }
            // `2 * a`, `a / 2`, `2 * 3`: the literal is plain. `360 / sides` is an angle by count.
            (None, None) if b.is_pure() || (kind == Kind::ANGLE && op == Op::Over) => {
                self.demand(b, Kind::NUMBER);
                self.demand(a, kind);
            }
            (None, None) if a.is_pure() && op == Op::Times => {
                self.demand(a, Kind::NUMBER);
                self.demand(b, kind);
            }
            (None, None) => {}
        }
    }
}
