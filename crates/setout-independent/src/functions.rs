//! All functions that evalexpr is to call.

use crate::engine::Worth;
use crate::{hardware, linkages, mathematics};

/// Gives back a number, and nothing for infinity. evalexpr alone would bring `1 / (1 / 0)` back to 0.
/// The reader writes it; no formula can call it.
pub(crate) const FINITE: &str = "finite";

pub(crate) fn is_known(name: &str) -> bool {
    mathematics::is_known(name) || linkages::is_known(name) || hardware::is_known(name)
}

/// What a call comes to, `None` if there is no such call.
pub(crate) fn call(name: &str, given: &[Worth]) -> Option<Worth> {
    // Nothing comes of what has no value, whatever a function would make of infinity.
    let missing = |worth: &Worth| worth.number().is_some_and(|number| !number.is_finite());
    if (is_known(name) || name == FINITE) && given.iter().any(missing) {
        return Some(Worth::NONE);
    }
    if name == FINITE {
        return given.first().cloned();
    }
    if mathematics::is_known(name) {
        let numbers: Option<Vec<f64>> = given.iter().map(Worth::number).collect();
        return mathematics::call(name, &numbers?).map(Worth::Number);
    }
    hardware::call(name, given).or_else(|| linkages::call(name, given))
}
