//! A second evaluation, for programs.

use serde::Serialize;
use setout::independent::{Difference, NotRepeated, Repeat};

use super::{At, Value};

/// What came of evaluating every formula a second time.
#[derive(Serialize)]
pub(crate) struct Repeated<'a> {
    compared: usize,
    by_last_digits: usize,
    followed: usize,
    differences: Vec<Differs<'a>>,
    not_repeated: Vec<LeftOut<'a>>,
}

#[derive(Serialize)]
struct Differs<'a> {
    name: &'a str,
    of: &'a str,
    formula: &'a str,
    first: Value<'a>,
    second: Value<'a>,
    unit: &'a str,
    #[serde(flatten)]
    at: At<'a>,
}

#[derive(Serialize)]
struct LeftOut<'a> {
    name: &'a str,
    of: &'a str,
    why: String,
}

impl<'a> From<&'a Repeat> for Repeated<'a> {
    fn from(repeat: &'a Repeat) -> Self {
        let differs = |difference: &'a Difference| Differs {
            name: &difference.name,
            of: difference.role.as_str(),
            formula: &difference.written,
            first: Some(&difference.first).into(),
            second: difference.second.as_ref().into(),
            unit: difference.first.unit(),
            at: (&difference.place).into(),
        };
        let left_out = |not: &'a NotRepeated| LeftOut {
            name: &not.name,
            of: not.role.as_str(),
            why: not.why.to_string(),
        };
        Self {
            compared: repeat.compared,
            by_last_digits: repeat.by_last_digits,
            followed: repeat.followed,
            differences: repeat.differences.iter().map(differs).collect(),
            not_repeated: repeat.not_repeated.iter().map(left_out).collect(),
        }
    }
}
