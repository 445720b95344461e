//! Expressions as formulas with units.

use std::cell::RefCell;
use std::collections::HashMap;

use setout_quantity::{Kind, shortest};

use super::kinds::{Kinds, Sort};
use super::remark::Stated;
use super::tree::{Expr, Op};
use super::usual::Guess;
use super::value::Value;
use super::variables::Variable;

pub(super) struct Writer<'a> {
    pub(super) kinds: &'a RefCell<Kinds>,
    pub(super) names: &'a HashMap<String, String>,
    /// The unit that comments give for a kind other than lengths and angles.
    pub(super) stated: HashMap<Kind, String>,
}

type Written = Result<String, String>;

/// How tightly things bind in a formula.
const COMPARISON: u8 = 3;
const UNARY: u8 = 6;
const POWER: u8 = 7;
const ATOM: u8 = 8;

impl Writer<'_> {
    /// The formula for the value of a variable.
    pub(super) fn formula(&self, variable: &Variable) -> Written {
        // A number in a unit that is not made of mm and deg stands as it is.
        if let (Some(number), Some(Stated::Unit(unit, _))) =
            (variable.expr.number(), &variable.remarks.stated)
            && unit != "count"
        {
            return Ok(format!("{} {unit}", spelt(number)));
        }
        self.at(&variable.expr, 0)
    }

    /// A number in the unit of a variable.
    pub(super) fn limit(&self, number: f64, variable: &Variable) -> Written {
        if let Some(Stated::Unit(unit, _)) = &variable.remarks.stated
            && unit != "count"
        {
            return Ok(format!("{} {unit}", spelt(number)));
        }
        match self.of(&variable.key) {
            Some(Sort::Quantity(kind)) => self.amount(number, kind),
            _ => Ok(spelt(number)),
        }
    }

    /// The unit that has to stand beside the value: that of counts, and of what the design would
    /// show in another.
    pub(super) fn unit(&self, variable: &Variable, value: &Value) -> Option<String> {
        let counted =
            matches!(&variable.remarks.stated, Some(Stated::Unit(unit, _)) if unit == "count");
        let whole = matches!(value, Value::Number(number) if number.fract() == 0.0);
        let plain = self.of(&variable.key) == Some(Sort::Quantity(Kind::NUMBER));
        if counted || (variable.guess == Some(Guess::Count) && whole && plain) {
            return Some("count".to_owned());
        }
        match self.of(&variable.key)? {
            Sort::Quantity(Kind::LENGTH | Kind::ANGLE | Kind::NUMBER) => None,
            Sort::Quantity(_) if variable.expr.number().is_some() => None,
            Sort::Quantity(kind) => self.symbol(kind),
            _ => None,
        }
    }

    fn symbol(&self, kind: Kind) -> Option<String> {
        if let Some(unit) = self.stated.get(&kind) {
            return Some(unit.clone());
        }
        let mut parts = Vec::new();
        for (index, exponent) in kind.exponents().into_iter().enumerate() {
            let base = ["mm", "deg"].get(index);
            match (base, exponent.to_string().as_str()) {
                (_, "0") => {}
                (Some(base), "1") => parts.push((*base).to_owned()),
                (Some(base), whole) if !whole.contains('/') => {
                    parts.push(format!("{base}^{whole}"))
                }
                _ => return None,
            }
        }
        Some(parts.join("*"))
    }

    fn amount(&self, number: f64, kind: Kind) -> Written {
        if kind.is_number() {
            return Ok(spelt(number));
        }
        let unit = self.symbol(kind).ok_or("the unit of a number in it cannot be told")?;
        Ok(format!("{} {unit}", spelt(number)))
    }

    /// An expression in a place that asks for something that binds as tightly as `least`.
    fn at(&self, expr: &Expr, least: u8) -> Written {
        let (binds, text) = self.written(expr)?;
        Ok(if binds < least { format!("({text})") } else { text })
    }

    fn written(&self, expr: &Expr) -> Result<(u8, String), String> {
        Ok(match expr {
            Expr::Number(number, id) => {
                let kind = self.kinds.borrow().literals.get(id).copied().unwrap_or(Kind::NUMBER);
                let text = self.amount(*number, kind)?;
                // `2 mm^2` and `1 / 2 mm` would be read otherwise.
                (if kind.is_number() { ATOM } else { UNARY }, text)
            }
            Expr::Text(text) if text.contains(['"', '\\', '\n']) => {
                return Err("it computes with a text that has quotes or line ends".into());
            }
            Expr::Text(text) => (ATOM, format!("\"{text}\"")),
            Expr::Truth(truth) => (ATOM, truth.to_string()),
            Expr::Pi => (ATOM, "pi".to_owned()),
            Expr::Name(name) => (ATOM, self.names[name].clone()),
            Expr::Negative(a) if matches!(**a, Expr::Number(..)) => {
                (UNARY, format!("-{}", self.written(a)?.1))
            }
            Expr::Negative(a) => (UNARY, format!("-{}", self.at(a, POWER)?)),
            Expr::Not(a) => (UNARY, format!("!{}", self.condition(a, ATOM)?)),
            Expr::Binary(op, a, b) => self.binary(*op, a, b)?,
            Expr::If(condition, yes, no) => {
                let condition = self.condition(condition, 0)?;
                (ATOM, format!("if({condition}, {}, {})", self.at(yes, 0)?, self.at(no, 0)?))
            }
            Expr::Call(name, arguments) => (ATOM, self.call(name, arguments)?),
            Expr::Vector(_) => return Err("formulas have no lists".into()),
        })
    }

    fn binary(&self, op: Op, a: &Expr, b: &Expr) -> Result<(u8, String), String> {
        let (binds, left, right) = match op {
            Op::Or => (1, self.condition(a, 1)?, self.condition(b, 2)?),
            Op::And => (2, self.condition(a, 2)?, self.condition(b, 3)?),
            Op::Plus | Op::Minus => (4, self.at(a, 4)?, self.at(b, 5)?),
            Op::Times => (5, self.at(a, 5)?, self.at(b, UNARY)?),
            Op::Over => (5, self.at(a, 5)?, self.at(b, POWER)?),
            Op::Power => (POWER, self.at(a, ATOM)?, self.at(b, POWER)?),
            _ => (COMPARISON, self.at(a, 4)?, self.at(b, 4)?),
        };
        Ok((binds, format!("{left} {} {right}", op.sign())))
    }

    /// A condition; there, a number holds when it is not 0.
    fn condition(&self, expr: &Expr, least: u8) -> Written {
        match self.sort(expr) {
            Some(Sort::Quantity(_)) => {
                let text = format!("{} != 0", self.at(expr, 4)?);
                Ok(if least > COMPARISON { format!("({text})") } else { text })
            }
            Some(Sort::Text) => Err("it takes a text for a condition".into()),
            _ => self.at(expr, least),
        }
    }

    fn call(&self, name: &str, arguments: &[Expr]) -> Written {
        let written: Result<Vec<String>, String> =
            arguments.iter().map(|argument| self.at(argument, 0)).collect();
        let mut written = written?;
        if matches!(name, "round" | "ceil" | "floor")
            && let Some(Sort::Quantity(kind)) = self.sort(&arguments[0])
            && !kind.is_number()
        {
            written.push(self.amount(1.0, kind)?);
        }
        let name = match name {
            "log" => "log10",
            "norm" => "hypot",
            name => name,
        };
        Ok(format!("{name}({})", written.join(", ")))
    }

    fn of(&self, key: &str) -> Option<Sort> {
        self.kinds.borrow().of.get(key).copied()
    }

    fn sort(&self, expr: &Expr) -> Option<Sort> {
        self.kinds.borrow_mut().infer(expr)
    }
}

/// A number as every YAML reader and every formula reads it.
pub(crate) fn spelt(number: f64) -> String {
    let text = shortest(number);
    match text.split_once('e') {
        None => text,
        Some((digits, exponent)) => {
            let point = if digits.contains('.') { "" } else { ".0" };
            let plus = if exponent.starts_with('-') { "" } else { "+" };
            format!("{digits}{point}e{plus}{exponent}")
        }
    }
}
