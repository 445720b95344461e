//! Verdicts before and after, for programs.

use serde::Serialize;
use setout::{Amount, CheckChange, CheckResult, LimitChange, LimitResult, Unit};

use super::pair::{margin, value};

/// A check before and after; a side on which it does not exist is null.
#[derive(Serialize)]
pub(super) struct CheckTurn<'a> {
    name: &'a str,
    before: Option<Judged>,
    after: Option<Judged>,
    unit: &'a str,
    because: &'a [String],
    turned: bool,
    why: Option<&'a str>,
}

#[derive(Serialize)]
struct Judged {
    verdict: &'static str,
    margin: Option<f64>,
}

impl Judged {
    fn of(check: &CheckResult, unit: &Unit) -> Self {
        let margin = margin(check.margin, &check.unit, unit);
        Self { verdict: check.verdict.as_str(), margin }
    }
}

impl<'a> From<&'a CheckChange> for CheckTurn<'a> {
    fn from(change: &'a CheckChange) -> Self {
        let (before, after) = (change.result.before.as_ref(), change.result.after.as_ref());
        let shown = after.or(before);
        let judged =
            |check: &CheckResult| Judged::of(check, shown.map_or(&check.unit, |shown| &shown.unit));
        Self {
            name: &change.name,
            before: before.map(judged),
            after: after.map(judged),
            unit: shown.map_or("", |check| check.unit.symbol()),
            because: &change.because,
            turned: change.turned(),
            why: shown.and_then(|check| check.why.as_deref()),
        }
    }
}

/// The limits of a dimension before and after; a side without any is null.
#[derive(Serialize)]
pub(super) struct LimitTurn<'a> {
    name: &'a str,
    /// `limits` or `travel`.
    of: &'a str,
    before: Option<Within>,
    after: Option<Within>,
    unit: &'a str,
    turned: bool,
}

#[derive(Serialize)]
struct Within {
    verdict: &'static str,
    value: Option<f64>,
    min: Option<f64>,
    max: Option<f64>,
    margin: Option<f64>,
}

impl Within {
    fn of(limit: &LimitResult, unit: &Unit) -> Self {
        let end = |end: Option<f64>| value(end?, &limit.unit, unit);
        let number = limit.value.as_ref().and_then(Amount::number);
        Self {
            verdict: limit.verdict.as_str(),
            value: end(number),
            min: end(limit.min),
            max: end(limit.max),
            margin: margin(limit.margin, &limit.unit, unit),
        }
    }
}

impl<'a> From<&'a LimitChange> for LimitTurn<'a> {
    fn from(change: &'a LimitChange) -> Self {
        let (before, after) = (change.result.before.as_ref(), change.result.after.as_ref());
        let shown = after.or(before);
        let within =
            |limit: &LimitResult| Within::of(limit, shown.map_or(&limit.unit, |shown| &shown.unit));
        Self {
            name: &change.name,
            of: if shown.is_some_and(|limit| limit.of_travel) { "travel" } else { "limits" },
            before: before.map(within),
            after: after.map(within),
            unit: shown.map_or("", |limit| limit.unit.symbol()),
            turned: change.turned(),
        }
    }
}
