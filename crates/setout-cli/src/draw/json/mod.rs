//! Answers for programs: a contract, whose keys stay.

mod changes;
mod entries;
mod judged;
mod pair;
mod reached;
mod repeated;
mod results;
mod steps;

use serde::Serialize;
use setout::{Amount, Evaluation, Place};

pub(crate) use changes::{Consequence, Edit, Followed};
pub(crate) use entries::{Dimension, Part, Schedule};
pub(crate) use reached::Reach;
pub(crate) use repeated::Repeated;
pub(crate) use results::{Check, Limit, Swept, Warned};
pub(crate) use steps::{CameTo, Step};

use crate::trouble::Trouble;

/// The answer of a command that has none.
#[derive(Serialize)]
pub(crate) struct Nothing {}

/// The text of one document: the keys of an answer, whether it was interrupted, and the faults if
/// there are any.
pub(crate) fn document(answer: &impl Serialize, stopped: bool, troubles: &[Trouble]) -> String {
    let faults = troubles.iter().map(Fault::of).collect();
    let stopped = stopped.then_some(true);
    match serde_json::to_string_pretty(&Document { answer, stopped, faults }) {
        Ok(text) => text + "\n",
        // Answers are structs and lists, which always have a text.
        Err(error) => unreachable!("an answer without a text: {error}"),
    }
}

#[derive(Serialize)]
struct Document<'a, A: Serialize> {
    #[serde(flatten)]
    answer: &'a A,
    #[serde(skip_serializing_if = "Option::is_none")]
    stopped: Option<bool>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    faults: Vec<Fault<'a>>,
}

#[derive(Serialize)]
struct Fault<'a> {
    fault: &'a str,
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<usize>,
    message: &'a str,
    help: &'a str,
}

impl<'a> Fault<'a> {
    fn of(trouble: &'a Trouble) -> Self {
        let place = trouble.place.as_ref();
        Self {
            fault: trouble.slug,
            file: place.map(|place| &*place.file),
            line: place.map(|place| place.line),
            column: place.map(|place| place.column),
            message: &trouble.message,
            help: &trouble.help,
        }
    }
}

/// Where something stands.
#[derive(Serialize)]
pub(crate) struct At<'a> {
    file: &'a str,
    line: usize,
    column: usize,
}

impl<'a> From<&'a Place> for At<'a> {
    fn from(place: &'a Place) -> Self {
        Self { file: &place.file, line: place.line, column: place.column }
    }
}

/// A value that may be anything that a formula gives; null where it was not computed.
#[derive(Serialize)]
#[serde(untagged)]
pub(crate) enum Value<'a> {
    Number(f64),
    Text(&'a str),
    Truth(bool),
    NotComputed,
}

impl<'a> From<Option<&'a Amount>> for Value<'a> {
    fn from(amount: Option<&'a Amount>) -> Self {
        match amount {
            None => Self::NotComputed,
            Some(Amount::Number { number, .. }) => Self::Number(unsigned_zero(*number)),
            Some(Amount::Text(text)) => Self::Text(text),
            Some(Amount::Truth(truth)) => Self::Truth(*truth),
        }
    }
}

/// Programs that compare texts of numbers are not to find a `-0.0`.
pub(crate) fn unsigned_zero(number: f64) -> f64 {
    number + 0.0
}

/// What all parts cost and weigh together; null where that was not computed.
#[derive(Serialize)]
pub(crate) struct Totals {
    cost: Option<Total>,
    mass: Option<Total>,
}

#[derive(Serialize)]
struct Total {
    value: Option<f64>,
    unit: String,
}

impl Totals {
    /// Those of a design.
    pub(crate) fn of(evaluation: &Evaluation) -> Self {
        let total = |amount: Amount| Total {
            value: amount.number().map(unsigned_zero),
            unit: amount.unit().to_owned(),
        };
        Self { cost: evaluation.cost().map(total), mass: evaluation.mass().map(total) }
    }
}

/// A value with its unit.
#[derive(Serialize)]
pub(crate) struct Measure<'a> {
    value: Value<'a>,
    unit: &'a str,
}

impl<'a> From<&'a Amount> for Measure<'a> {
    fn from(amount: &'a Amount) -> Self {
        Self { value: Some(amount).into(), unit: amount.unit() }
    }
}
