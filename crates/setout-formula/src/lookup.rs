//! Lookups in tables, read over intervals: a table of ranges is constant in pieces.

use crate::code::call;
use crate::functions::Function;
use crate::given::Found;
use crate::reading::Reading;
use crate::{Interval, Texts};

/// By how much a number may pass an end of a range and still be meant as the end; a table may allow
/// a quarter of this.
const BEHIND_END: f64 = 4e-12;

/// What a lookup comes to.
pub(crate) fn read<R: Reading>(function: &'static Function, given: &[R], texts: &Texts) -> R {
    let places: Vec<Interval> = given.iter().map(|of| of.place().interval).collect();
    let Some(tries) = tries(function, &places) else { return R::unknown() };
    let of: Vec<&R> = given.iter().collect();
    let mut found = Interval::EMPTY;
    let mut missing = false;
    for numbers in tries {
        match value(function, &numbers, texts) {
            Some(value) => found = found.hull(Interval::point(value)),
            None => missing = true,
        }
    }
    R::in_pieces(found, &of).provided(if missing { None } else { Some(true) })
}

fn value(function: &Function, numbers: &[f64], texts: &Texts) -> Option<f64> {
    match call(function, numbers, texts)?.ok()? {
        Found::Number(number) => Some(number),
        Found::Text(text) => texts.known(text),
    }
}

/// All that has to be looked up to meet every piece: the numbers themselves, or with one of them
/// between two ends also those. `None` where a function says nothing of its pieces.
fn tries(function: &Function, places: &[Interval]) -> Option<Vec<Vec<f64>>> {
    let point: Vec<f64> = places.iter().map(|place| place.low()).collect();
    let mut varying = (0..places.len()).filter(|at| places[*at].only().is_none());
    let Some(at) = varying.next() else { return Some(vec![point]) };
    let place = places[at];
    if varying.next().is_some() || !place.is_bounded() {
        return None;
    }
    let inner = (function.ends?)().into_iter().flat_map(|end| [end, end * (1.0 + BEHIND_END)]);
    let numbers = [place.low(), place.high()].into_iter().chain(inner);
    let with = |number: f64| {
        let mut numbers = point.clone();
        numbers[at] = number;
        numbers
    };
    Some(numbers.filter(|number| place.contains(*number)).map(with).collect())
}
