//! What a random formula is by the standard library's mathematics, and how much of that can be
//! told: engines differ by an ulp in a sine, and a cancellation makes that grow.
//!
//! Every value carries a slack, the change that ulps in the operands make, found by moving
//! each operand to both ends of its own. Where that meets a jump (a comparison of equals, a whole
//! number under `floor`) or an edge of a domain, nothing can be told, and the formula is left out.

use crate::tree::Tree;

/// A value and how far engines may differ in it. Truths are 1 and 0.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Judged {
    pub(crate) value: f64,
    pub(crate) slack: f64,
    /// The largest number on the way.
    pub(crate) largest: f64,
}

/// Why a formula has no value to compare.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Unjudged {
    /// A function has no value for its numbers, or one past the largest float.
    NoValue,
    /// It hangs on the last bits.
    Unsure,
}

type Result = std::result::Result<Judged, Unjudged>;

/// Functions of two good libraries differ by no more than this, relative.
const FUNCTION_SLACK: f64 = 4.0 * f64::EPSILON;
/// Where more than this is lost, a comparison says nothing of the engines.
const MOST_SLACK: f64 = 1e-9;

/// The value of a formula.
pub(crate) fn judged(tree: &Tree, names: &[f64]) -> Result {
    match tree {
        Tree::Number(number, None) => Ok(exact(*number)),
        Tree::Number(number, Some(unit)) => {
            let value = number * unit.factor;
            let slack = if unit.factor == 1.0 { 0.0 } else { 2.0 * f64::EPSILON * value.abs() };
            Ok(Judged { slack, ..exact(value) })
        }
        Tree::Truth(truth) => Ok(exact(f64::from(u8::from(*truth)))),
        Tree::Name(index) => Ok(exact(names[*index])),
        Tree::Unary('!', inner) => spread(&|x| 1.0 - x[0], &[judged(inner, names)], 0.0),
        Tree::Unary(_, inner) => spread(&|x| -x[0], &[judged(inner, names)], 0.0),
        Tree::Binary(sign @ ("&&" | "||"), left, right) => shortcut(sign, left, right, names),
        Tree::Binary(sign, left, right) => {
            let slack = if *sign == "^" { FUNCTION_SLACK } else { 0.0 };
            let inner = [judged(left, names), judged(right, names)];
            // What is divided by may be 0, though neither end of its slack is.
            let below = inner[usize::from(*sign == "/")];
            if matches!(*sign, "/" | "^") && below.is_ok_and(|below| below.may_be_zero()) {
                return Err(Unjudged::Unsure);
            }
            spread(&|x| operated(sign, x), &inner, slack)
        }
        Tree::Call(function, arguments) if function.name == "if" => {
            let condition = sure(judged(&arguments[0], names)?)?;
            judged(&arguments[if condition { 1 } else { 2 }], names)
        }
        Tree::Call(function, arguments) => {
            let inner: Vec<_> = arguments.iter().map(|tree| judged(tree, names)).collect();
            // An angle of very many turns could be any angle.
            if function.turns() && inner[0].is_ok_and(|angle| angle.width() > 1e-3) {
                return Err(Unjudged::Unsure);
            }
            spread(&function.value, &inner, FUNCTION_SLACK)
        }
    }
}

fn exact(value: f64) -> Judged {
    Judged { value, slack: 0.0, largest: value.abs() }
}

fn sure(condition: Judged) -> std::result::Result<bool, Unjudged> {
    if condition.slack > 0.0 { Err(Unjudged::Unsure) } else { Ok(condition.value != 0.0) }
}

fn shortcut(sign: &str, left: &Tree, right: &Tree, names: &[f64]) -> Result {
    let left = judged(left, names)?;
    if sure(left)? == (sign == "||") { Ok(left) } else { judged(right, names) }
}

fn operated(sign: &str, x: &[f64]) -> f64 {
    let truth = |truth: bool| f64::from(u8::from(truth));
    match sign {
        "+" => x[0] + x[1],
        "-" => x[0] - x[1],
        "*" => x[0] * x[1],
        "/" => x[0] / x[1],
        "^" => x[0].powf(x[1]),
        "<" => truth(x[0] < x[1]),
        "<=" => truth(x[0] <= x[1]),
        ">" => truth(x[0] > x[1]),
        ">=" => truth(x[0] >= x[1]),
        "==" => truth(x[0] == x[1]),
        _ => truth(x[0] != x[1]),
    }
}

/// The value of a function, with the slack that its operands' make and `own`, that of the function.
fn spread(function: &dyn Fn(&[f64]) -> f64, inner: &[Result], own: f64) -> Result {
    if inner.iter().any(|operand| matches!(operand, Err(Unjudged::NoValue))) {
        return Err(Unjudged::NoValue);
    }
    let inner = inner.iter().copied().collect::<std::result::Result<Vec<_>, _>>()?;
    let at: Vec<f64> = inner.iter().map(|operand| operand.value).collect();
    let value = function(&at);
    let (mut slack, mut edge) = (0.0, false);
    for (index, operand) in inner.iter().enumerate() {
        let width = operand.slack + own * operand.value.abs();
        for moved in [operand.value - width, operand.value + width] {
            let mut there = at.clone();
            there[index] = moved;
            let there = function(&there);
            edge |= there.is_finite() != value.is_finite();
            slack += (there - value).abs();
        }
    }
    if edge {
        return Err(Unjudged::Unsure);
    }
    if !value.is_finite() {
        return Err(Unjudged::NoValue);
    }
    if slack > 0.0 || own > 0.0 {
        slack += own.max(f64::EPSILON) * value.abs();
    }
    let largest = inner.iter().fold(value.abs(), |largest, operand| largest.max(operand.largest));
    Ok(Judged { value, slack, largest })
}

impl Judged {
    /// How far a function's operand may lie to either side.
    fn width(&self) -> f64 {
        self.slack + FUNCTION_SLACK * self.value.abs()
    }

    /// Whether the value is not 0 and may be all the same.
    fn may_be_zero(&self) -> bool {
        self.slack > 0.0 && self.slack >= self.value.abs()
    }

    /// Whether enough is left of the value to compare engines by it.
    pub(crate) fn tells(&self) -> bool {
        self.slack <= MOST_SLACK * self.value.abs()
    }

    /// How far an engine's value may lie from another's: 1e-12, or what the formula itself loses.
    pub(crate) fn tolerance(&self) -> f64 {
        self.slack.max(1e-12 * self.value.abs())
    }
}
