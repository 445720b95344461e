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
pub(crate) const LAST_DIGITS: f64 = 1e-13;

/// How far numbers are shaken to see whether the formula jumps: beyond what the second engine's
/// comparisons and steps take for equal. Not the arguments of lookups and linkages: both engines
/// take the end of a range and a change point alike, and a value from next to it is no excuse.
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
    /// in the formula can take it, and no more than [`NEVER_MORE`].
    LastDigits,
    /// No further apart than the last digits of the numbers in the formula can take it, but too far
    /// to be called the same: a linkage at its dead centre, a tangent close to 90 degrees.
    Unsettled,
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
    let shaken = |by| {
        let ways = Shake::ways(by, formula.most_numbers());
        ways.filter_map(|shake| formula.worked(value, shake, left).ok()).filter(Worth::is_some)
    };
    let edge = |is_edge| if is_edge { Standing::OnTheEdge } else { Standing::Other };
    match (first, second, &formula.scale) {
        // The second engine's value is none, but next to it there is one.
        (Worth::Number(a), Worth::Number(_), _) if !second.is_some() => {
            let largest = |by| {
                shaken(by).filter_map(|worth| worth.number()).map(f64::abs).fold(0.0, f64::max)
            };
            let nearby = largest(OVER_THE_EDGE);
            // Next to a pole there are values as well, but the larger ones the nearer it is.
            edge(nearby >= largest(LAST_DIGITS) && a.abs() <= 2.0 * nearby)
        }
        (Worth::Number(a), Worth::Number(b), Ok(scale)) => {
            let numbers = |by| shaken(by).filter_map(|worth| worth.number());
            apart(*a, *b, NEVER_MORE * scale.factor.abs(), numbers)
        }
        _ => edge(shaken(OVER_THE_EDGE).any(|worth| worth == *first)),
    }
}

/// How two numbers stand to each other. `shaken` gives the second engine's for inputs that are off
/// by so much.
fn apart<Numbers: Iterator<Item = f64>>(
    a: f64,
    b: f64,
    most: f64,
    shaken: impl Fn(f64) -> Numbers,
) -> Standing {
    let spread = |by| shaken(by).map(|number| (number - b).abs()).fold(0.0, f64::max);
    let (apart, widest) = ((a - b).abs(), spread(LAST_DIGITS));
    if apart <= widest.min(most) {
        return Standing::LastDigits;
    }
    // What is continuous moves less where its inputs do; a jump is as high from either place.
    if apart <= widest && spread(LAST_DIGITS / 10.0) <= widest / 2.0 {
        return Standing::Unsettled;
    }
    let size = a.abs().max(b.abs());
    // Once over the edge it is the first engine's value, give or take what it was shaken, and
    // nothing lies between the two.
    let near = |number: f64, to: f64| (number - to).abs() <= apart / 10.0;
    let is_first = |number: f64| (number - a).abs() <= JUMP / 10.0 * size;
    if apart <= JUMP * size {
        return Standing::Other;
    }
    let beyond: Vec<f64> = shaken(OVER_THE_EDGE).collect();
    let parted = beyond.iter().all(|number| near(*number, a) || near(*number, b));
    if parted && beyond.into_iter().any(is_first) { Standing::OnTheEdge } else { Standing::Other }
}
