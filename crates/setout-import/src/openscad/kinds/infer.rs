//! What expressions are, from the bottom up.

use setout_quantity::Kind;

use super::{Kinds, Sort, ratio};
use crate::openscad::tree::{Expr, Op};

const NUMBER: Option<Sort> = Some(Sort::Quantity(Kind::NUMBER));
const ANGLE: Option<Sort> = Some(Sort::Quantity(Kind::ANGLE));

impl Kinds {
    /// What an expression is, and what follows from it for its parts.
    pub(in crate::openscad) fn infer(&mut self, expr: &Expr) -> Option<Sort> {
        match expr {
            Expr::Number(_, id) => self.literals.get(id).map(|kind| Sort::Quantity(*kind)),
            Expr::Text(_) => Some(Sort::Text),
            Expr::Truth(_) => Some(Sort::Truth),
            Expr::Pi => NUMBER,
            Expr::Name(name) => self.of.get(name).copied(),
            Expr::Negative(a) => self.infer(a),
            Expr::Not(a) => {
                self.condition(a);
                Some(Sort::Truth)
            }
            Expr::If(condition, yes, no) => {
                self.condition(condition);
                self.join(&[yes, no])
            }
            Expr::Binary(op, a, b) => self.binary(*op, a, b),
            Expr::Call(name, arguments) => self.call(name, arguments),
            Expr::Vector(_) => None,
        }
    }

    fn condition(&mut self, expr: &Expr) {
        if self.infer(expr).is_none() {
            self.demand(expr, Kind::NUMBER);
        }
    }

    /// Things of one kind: what one of them is, the others are.
    fn join(&mut self, parts: &[&Expr]) -> Option<Sort> {
        let sorts: Vec<Option<Sort>> = parts.iter().map(|part| self.infer(part)).collect();
        let known = sorts.iter().flatten().next().copied();
        if let Some(Sort::Quantity(kind)) = known {
            for (part, _) in parts.iter().zip(&sorts).filter(|(_, sort)| sort.is_none()) {
                self.demand(part, kind);
            }
        }
        known
    }

    fn binary(&mut self, op: Op, a: &Expr, b: &Expr) -> Option<Sort> {
        match op {
            Op::Or | Op::And => {
                self.condition(a);
                self.condition(b);
                Some(Sort::Truth)
            }
            Op::Plus | Op::Minus => self.join(&[a, b]),
            Op::Times | Op::Over => {
                let (left, right) = (self.factor(a), self.factor(b));
                // A literal beside a plain number may still turn out to bear the unit.
                let open = |sort: Option<Sort>| sort == NUMBER || sort.is_none();
                let bearing = a.is_pure() && self.infer(a).is_none() && open(right)
                    || b.is_pure() && self.infer(b).is_none() && open(left) && op == Op::Times;
                match (left, right) {
                    _ if bearing => None,
                    (Some(Sort::Quantity(left)), Some(Sort::Quantity(right))) => {
                        let kind =
                            if op == Op::Times { left.times(right) } else { left.over(right) };
                        kind.map(Sort::Quantity)
                    }
                    _ => None,
                }
            }
            Op::Power => self.power(a, b),
            Op::Equal | Op::Unequal => {
                // Formulas compare plain numbers so; what chooses among cases is one.
                if self.join(&[a, b]).is_none() {
                    self.demand(a, Kind::NUMBER);
                    self.demand(b, Kind::NUMBER);
                }
                Some(Sort::Truth)
            }
            _ => {
                self.join(&[a, b]);
                Some(Sort::Truth)
            }
        }
    }

    /// A factor of a product; literals are plain until something asks for more.
    fn factor(&mut self, expr: &Expr) -> Option<Sort> {
        let sort = self.infer(expr);
        if sort.is_none() && expr.is_pure() { NUMBER } else { sort }
    }

    fn power(&mut self, base: &Expr, exponent: &Expr) -> Option<Sort> {
        self.demand(exponent, Kind::NUMBER);
        let sort = self.infer(base);
        match (sort, exponent.number().and_then(ratio)) {
            (Some(Sort::Quantity(kind)), Some(exponent)) => {
                kind.powered(exponent).map(Sort::Quantity)
            }
            (None, None) => {
                self.demand(base, Kind::NUMBER);
                NUMBER
            }
            (sort, _) => sort,
        }
    }

    fn call(&mut self, name: &str, arguments: &[Expr]) -> Option<Sort> {
        let all: Vec<&Expr> = arguments.iter().collect();
        match name {
            "sin" | "cos" | "tan" => {
                self.demand(&arguments[0], Kind::ANGLE);
                self.infer(&arguments[0]);
                NUMBER
            }
            "asin" | "acos" | "atan" => {
                self.demand(&arguments[0], Kind::NUMBER);
                self.infer(&arguments[0]);
                ANGLE
            }
            "exp" | "ln" | "log" => {
                self.demand(&arguments[0], Kind::NUMBER);
                self.infer(&arguments[0]);
                NUMBER
            }
            "atan2" => {
                self.join(&all);
                ANGLE
            }
            "sign" => {
                self.infer(&arguments[0]);
                NUMBER
            }
            "sqrt" => match self.infer(&arguments[0]) {
                Some(Sort::Quantity(kind)) => kind.powered(ratio(0.5)?).map(Sort::Quantity),
                other => other,
            },
            _ => self.join(&all),
        }
    }
}
