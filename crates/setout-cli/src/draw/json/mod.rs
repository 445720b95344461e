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

use super::safe::is_hidden;
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
        Ok(text) => seen(text) + "\n",
        // Answers are structs and lists, which always have a text.
        Err(error) => unreachable!("an answer without a text: {error}"),
    }
}

/// The same document with what a terminal or a reader's eye would obey written by its number: a
/// document is looked at as well, and a program reads either alike.
fn seen(text: String) -> String {
    // Line ends are those of the document: one in a text is `\n` already.
    let is_hidden = |c: char| c != '\n' && is_hidden(c);
    if !text.contains(is_hidden) {
        return text;
    }
    let mut seen = String::with_capacity(text.len());
    for c in text.chars() {
        if is_hidden(c) {
            let units = c.encode_utf16(&mut [0; 2]).to_vec();
            seen.extend(units.iter().map(|unit| format!("\\u{unit:04x}")));
        } else {
            seen.push(c);
        }
    }
    seen
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

#[cfg(test)]
mod tests {
    use super::seen;

    #[test]
    fn what_would_be_obeyed_is_written_by_its_number() {
        let text = "{\n  \"why\": \"a\u{9b}31m \u{202e}gnp \u{e0041} größer 👩\u{200d}🔧\"\n}";
        let wanted =
            "{\n  \"why\": \"a\\u009b31m \\u202egnp \\udb40\\udc41 größer 👩\u{200d}🔧\"\n}";
        assert_eq!(seen(text.into()), wanted);
        let read = |text: &str| serde_json::from_str::<serde_json::Value>(text).expect("JSON");
        assert_eq!(read(text), read(wanted));
    }
}
