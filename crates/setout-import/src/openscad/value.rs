//! What expressions come to in the program itself, to compare with.

use std::collections::HashMap;

use super::tree::{Expr, Op};

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    Number(f64),
    Text(String),
    Truth(bool),
}

/// The value of an expression; `None` where the program has `undef`, infinity or no number.
pub(super) fn of(expr: &Expr, values: &HashMap<String, Value>) -> Option<Value> {
    let number = |expr: &Expr| match of(expr, values)? {
        Value::Number(number) => Some(number),
        _ => None,
    };
    let value = match expr {
        Expr::Number(value, _) => Value::Number(*value),
        Expr::Text(text) => Value::Text(text.clone()),
        Expr::Truth(truth) => Value::Truth(*truth),
        Expr::Pi => Value::Number(std::f64::consts::PI),
        Expr::Name(name) => values.get(name)?.clone(),
        Expr::Negative(a) => Value::Number(-number(a)?),
        Expr::Not(a) => Value::Truth(!holds(&of(a, values)?)),
        Expr::If(condition, yes, no) => {
            let branch = if holds(&of(condition, values)?) { yes } else { no };
            return of(branch, values);
        }
        Expr::Binary(Op::And, a, b) => {
            Value::Truth(holds(&of(a, values)?) && holds(&of(b, values)?))
        }
        Expr::Binary(Op::Or, a, b) => {
            Value::Truth(holds(&of(a, values)?) || holds(&of(b, values)?))
        }
        Expr::Binary(op, a, b) if op.compares() => {
            Value::Truth(compared(*op, &of(a, values)?, &of(b, values)?)?)
        }
        Expr::Binary(op, a, b) => Value::Number(computed(*op, number(a)?, number(b)?)?),
        Expr::Call(name, arguments) => {
            let numbers: Option<Vec<f64>> = arguments.iter().map(number).collect();
            Value::Number(called(name, &numbers?)?)
        }
        Expr::Vector(_) => return None,
    };
    match value {
        Value::Number(number) if !number.is_finite() => None,
        value => Some(value),
    }
}

fn holds(value: &Value) -> bool {
    match value {
        Value::Number(number) => *number != 0.0,
        Value::Text(text) => !text.is_empty(),
        Value::Truth(truth) => *truth,
    }
}

fn compared(op: Op, a: &Value, b: &Value) -> Option<bool> {
    let order = match (a, b) {
        (Value::Number(a), Value::Number(b)) => a.partial_cmp(b)?,
        (Value::Text(a), Value::Text(b)) => a.cmp(b),
        (Value::Truth(a), Value::Truth(b)) => a.cmp(b),
        _ => return None,
    };
    Some(match op {
        Op::Equal => order.is_eq(),
        Op::Unequal => order.is_ne(),
        Op::Less => order.is_lt(),
        Op::AtMost => order.is_le(),
        Op::More => order.is_gt(),
        _ => order.is_ge(),
    })
}

fn computed(op: Op, a: f64, b: f64) -> Option<f64> {
    Some(match op {
        Op::Plus => a + b,
        Op::Minus => a - b,
        Op::Times => a * b,
        Op::Over => a / b,
        Op::Power => a.powf(b),
        _ => return None,
    })
}

fn called(name: &str, numbers: &[f64]) -> Option<f64> {
    let first = *numbers.first()?;
    Some(match name {
        "abs" => first.abs(),
        "sign" if first == 0.0 => 0.0,
        "sign" => first.signum(),
        "min" => numbers.iter().copied().fold(f64::INFINITY, f64::min),
        "max" => numbers.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        "round" => first.round(),
        "ceil" => first.ceil(),
        "floor" => first.floor(),
        "sqrt" => first.sqrt(),
        "exp" => first.exp(),
        "ln" => first.ln(),
        "log" => first.log10(),
        "sin" => at_quadrant(first).unwrap_or_else(|| first.to_radians().sin()),
        "cos" => at_quadrant(first + 90.0).unwrap_or_else(|| first.to_radians().cos()),
        "tan" => tangent(first)?,
        "asin" => first.asin().to_degrees(),
        "acos" => first.acos().to_degrees(),
        "atan" => first.atan().to_degrees(),
        "atan2" => first.atan2(*numbers.get(1)?).to_degrees(),
        "norm" => numbers.iter().map(|number| number * number).sum::<f64>().sqrt(),
        _ => return None,
    })
}

/// The sine at a multiple of 90°, where it is exact.
fn at_quadrant(angle: f64) -> Option<f64> {
    let turn = angle.rem_euclid(360.0);
    [(0.0, 0.0), (90.0, 1.0), (180.0, 0.0), (270.0, -1.0)]
        .into_iter()
        .find_map(|(at, sine)| (turn == at).then_some(sine))
}

fn tangent(angle: f64) -> Option<f64> {
    match at_quadrant(angle) {
        Some(0.0) => Some(0.0),
        Some(_) => None,
        None => Some(angle.to_radians().tan()),
    }
}
