//! When two values are the same.

use std::cell::Cell;

use crate::engine::Worth;
use crate::prepared::Prepared;
use crate::refusal::Refusal;
use crate::shake::Shake;

/// Results are the same if they differ by no more than this part of themselves. Floats keep sixteen
/// digits, and long formulas lose two or three of them on the way.
pub(crate) const SAME: f64 = 1e-12;

/// What each number of a formula may be off without anyone being at fault: some hundred roundings.
const LAST_DIGITS: f64 = 1e-13;

/// How far numbers are shaken to see whether the formula jumps: beyond what the second engine's
/// comparisons and steps take for equal.
const OVER_THE_EDGE: f64 = 1e-11;

/// No value may be further apart than this in its unit, whatever it is made of: it is what checks
/// call no margin.
const NEVER_MORE: f64 = 1e-9;

/// Above this part of itself a value did not drift from another but jumped.
const JUMP: f64 = 1e-9;

/// How a value of the second engine stands to the first's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Standing {
    /// The same, to one part in 10^12.
    Same,
    /// A small difference of large numbers: no further apart than the last digits of the numbers
    /// in the formula can take it.
    LastDigits,
    /// A jump whose side the last digits of a number decide.
    OnTheEdge,
    /// Another value.
    Other,
}

pub(crate) fn is_same(first: &Worth, second: &Worth) -> bool {
    match (first, second) {
        (Worth::Number(a), Worth::Number(b)) => {
            b.is_finite() && (a - b).abs() <= SAME * a.abs().max(b.abs())
        }
        _ => first == second,
    }
}

/// How `second`, computed from the first engine's inputs, stands to what that engine made of them.
pub(crate) fn standing(
    formula: &Prepared<'_>,
    first: &Worth,
    second: &Result<Worth, Refusal>,
    value: &dyn Fn(&str) -> Option<Worth>,
    left: &Cell<u64>,
) -> Standing {
    let Ok(second) = second else { return Standing::Other };
    if is_same(first, second) {
        return Standing::Same;
    }
    let shaken = |by| Shake::ways(by).filter_map(|shake| formula.worked(value, shake, left).ok());
    let (Worth::Number(a), Worth::Number(b), Ok(scale)) = (first, second, &formula.scale) else {
        let edge = shaken(OVER_THE_EDGE).any(|worth| worth == *first);
        return if edge { Standing::OnTheEdge } else { Standing::Other };
    };
    let spread = numbers(shaken(LAST_DIGITS)).map(|number| (number - b).abs()).fold(0.0, f64::max);
    let apart = (a - b).abs();
    if apart <= spread.min(NEVER_MORE * scale.factor.abs()) {
        return Standing::LastDigits;
    }
    let size = a.abs().max(b.abs());
    let mut beyond = numbers(shaken(OVER_THE_EDGE));
    // Once over the edge it is the first engine's value, give or take what it was shaken.
    let jumps =
        apart > JUMP * size && beyond.any(|number| (number - a).abs() <= JUMP / 10.0 * size);
    if jumps { Standing::OnTheEdge } else { Standing::Other }
}

fn numbers(all: impl Iterator<Item = Worth>) -> impl Iterator<Item = f64> {
    all.filter_map(|worth| match worth {
        Worth::Number(number) if number.is_finite() => Some(number),
        _ => None,
    })
}
