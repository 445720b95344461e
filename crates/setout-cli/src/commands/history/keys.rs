//! A history for programs.

use serde::Serialize;
use setout::{
    Amount, Change, End, Held, Revision, Skipped, Unfollowed, Unit, Walk, What, Why, value_of,
    verdict_of,
};

use super::{Told, judged_to};

#[derive(Serialize)]
pub(super) struct Keys<'a> {
    name: &'a str,
    /// The unit of all values but those that have one of their own beside them.
    unit: &'a str,
    value: Value,
    #[serde(skip_serializing_if = "Option::is_none")]
    verdict: Option<&'a str>,
    revisions: Vec<Entry<'a>>,
    skipped: Vec<Left<'a>>,
    unfollowed: Vec<Untied<'a>>,
    ends: Vec<Ended<'a>>,
    looked_at: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    judged_to: Option<&'a str>,
    replacements: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}

impl<'a> Keys<'a> {
    pub(super) fn of(told: &'a Told<'_>) -> Self {
        let history = told.history;
        let unit = history.unit.as_ref();
        Self {
            name: &history.name,
            unit: unit.map_or("", Unit::symbol),
            value: value(&history.now, unit),
            verdict: verdict_of(&history.now).map(|verdict| verdict.as_str()),
            revisions: history.changes.iter().map(|change| Entry::of(change, unit)).collect(),
            skipped: history.skipped.iter().map(Left::of).collect(),
            unfollowed: history.unfollowed.iter().map(Untied::of).collect(),
            ends: history.ends.iter().map(|end| Ended::of(end, unit, told.walk)).collect(),
            looked_at: history.looked_at,
            judged_to: judged_to(&history.now),
            replacements: told.walk.has_replacements(),
            caution: told.caution(),
        }
    }
}

/// A value: a number in the unit of the answer, a text, a truth, or nothing.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum Value {
    Number(f64),
    Text(String),
    Truth(bool),
    None,
}

/// The number of an amount in a unit; `None` where it cannot be told in it.
pub(crate) fn number(amount: &Amount, wanted: Option<&Unit>) -> Option<f64> {
    let Amount::Number { number, unit } = amount else { return None };
    let wanted = wanted?;
    if unit.symbol() == wanted.symbol() {
        return Some(*number);
    }
    let like = Amount::Number { number: *number, unit: wanted.clone() };
    amount.unit_is_like(&like).then(|| wanted.from_base(unit.to_base(*number)))
}

fn value(standing: &Held, wanted: Option<&Unit>) -> Value {
    match value_of(standing) {
        None => Value::None,
        Some(Amount::Text(text)) => Value::Text(text),
        Some(Amount::Truth(truth)) => Value::Truth(truth),
        Some(amount) => {
            Value::Number(number(&amount, wanted).or(amount.number()).unwrap_or_default())
        }
    }
}

/// The unit of a value that cannot be told in the unit of the answer.
fn unit_of(standing: &Held, wanted: Option<&Unit>) -> Option<String> {
    let amount = value_of(standing)?;
    let own = amount.unit().to_owned();
    let is_number = matches!(amount, Amount::Number { .. });
    let differs = is_number && number(&amount, wanted).is_none();
    (differs || (!is_number && wanted.is_some())).then_some(own)
}

/// Who made a revision, when and why.
#[derive(Serialize)]
pub(crate) struct Made<'a> {
    revision: &'a str,
    short: &'a str,
    date: String,
    author: &'a str,
    summary: &'a str,
}

impl<'a> Made<'a> {
    pub(crate) fn of(revision: &'a Revision) -> Self {
        Self {
            revision: revision.id(),
            short: revision.short(),
            date: revision.date().to_string(),
            author: revision.author_name(),
            summary: revision.summary(),
        }
    }
}

#[derive(Serialize)]
struct Entry<'a> {
    #[serde(flatten)]
    made: Made<'a>,
    name: &'a str,
    value: Value,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    verdict: Option<&'a str>,
    before: Option<Value>,
    #[serde(skip_serializing_if = "Option::is_none")]
    before_unit: Option<String>,
    cause: &'a str,
    because: &'a [String],
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    any_of: bool,
    what: Vec<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    renamed_from: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    renamed_to: Option<&'a str>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    across_skipped: bool,
}

impl<'a> Entry<'a> {
    fn of(change: &'a Change, unit: Option<&Unit>) -> Self {
        let before = change.before.first();
        Self {
            made: Made::of(&change.revision),
            name: &change.name,
            value: value(&change.standing, unit),
            unit: unit_of(&change.standing, unit),
            verdict: change.verdict().map(|verdict| verdict.as_str()),
            before: before.map(|before| value(before, unit)),
            before_unit: before.and_then(|before| unit_of(before, unit)),
            cause: change.cause.as_str(),
            because: &change.because,
            any_of: change.any_of,
            what: change.what.iter().map(|what: &What| what.as_str()).collect(),
            renamed_from: change.renamed_from.as_deref(),
            renamed_to: change.renamed_to.as_deref(),
            across_skipped: change.across_skipped,
        }
    }
}

/// A revision that cannot be evaluated.
#[derive(Serialize)]
pub(crate) struct Left<'a> {
    #[serde(flatten)]
    made: Made<'a>,
    name: &'a str,
    faults: Vec<Reason<'a>>,
}

#[derive(Serialize)]
struct Reason<'a> {
    fault: &'a str,
    file: &'a str,
    line: usize,
    column: usize,
    message: &'a str,
    help: &'a str,
}

impl<'a> Left<'a> {
    pub(crate) fn of(skipped: &'a Skipped) -> Self {
        let reasons = skipped.faults.iter().map(|fault| Reason {
            fault: fault.slug.as_str(),
            file: &fault.place.file,
            line: fault.place.line,
            column: fault.place.column,
            message: &fault.message,
            help: &fault.help,
        });
        let made = Made::of(&skipped.revision);
        Self { made, name: &skipped.name, faults: reasons.collect() }
    }
}

/// A revision that may have renamed and changed a thing at once.
#[derive(Serialize)]
pub(crate) struct Untied<'a> {
    #[serde(flatten)]
    made: Made<'a>,
    name: &'a str,
    cause: &'a str,
    maybe: &'a [String],
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    unread: bool,
}

impl<'a> Untied<'a> {
    pub(crate) fn of(untied: &'a Unfollowed) -> Self {
        Self {
            made: Made::of(&untied.revision),
            name: &untied.name,
            cause: untied.cause.as_str(),
            maybe: &untied.maybe,
            unread: untied.unread,
        }
    }
}

/// A revision before which nothing is known.
#[derive(Serialize)]
pub(crate) struct Ended<'a> {
    #[serde(flatten)]
    made: Made<'a>,
    name: &'a str,
    value: Value,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    verdict: Option<&'a str>,
    why: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    fetch: Option<&'a str>,
}

impl<'a> Ended<'a> {
    pub(crate) fn of(end: &'a End, unit: Option<&Unit>, walk: &'a Walk) -> Self {
        let why = match end.why {
            Why::Shallow => "shallow",
            Why::Since => "since",
            _ => "skipped",
        };
        Self {
            made: Made::of(&end.revision),
            name: &end.name,
            value: value(&end.standing, unit),
            unit: unit_of(&end.standing, unit),
            verdict: verdict_of(&end.standing).map(|verdict| verdict.as_str()),
            why,
            fetch: walk.fetch().filter(|_| end.why == Why::Shallow),
        }
    }
}
