//! Verdicts for programs.

use serde::Serialize;
use setout::{CheckResult, LimitResult, State, Warning};

use super::{At, Value, unsigned_zero};

/// What became of a check. A state that was not assessed is absent.
#[derive(Serialize)]
pub(crate) struct Check<'a> {
    name: &'a str,
    verdict: &'a str,
    margin: Option<f64>,
    unit: &'a str,
    rest: InState,
    #[serde(skip_serializing_if = "Option::is_none")]
    travel: Option<InState>,
    #[serde(skip_serializing_if = "Option::is_none")]
    worst: Option<InState>,
    tight: Option<f64>,
    requirement: &'a str,
    filled_in: &'a str,
    why: Option<&'a str>,
    #[serde(flatten)]
    at: At<'a>,
}

#[derive(Serialize)]
struct InState {
    verdict: &'static str,
    margin: Option<f64>,
    how: &'static str,
}

impl From<State> for InState {
    fn from(state: State) -> Self {
        let State { verdict, margin, how } = state;
        Self { verdict: verdict.as_str(), margin: margin.map(unsigned_zero), how: how.as_str() }
    }
}

impl<'a> From<&'a CheckResult> for Check<'a> {
    fn from(check: &'a CheckResult) -> Self {
        Self {
            name: &check.name,
            verdict: check.verdict.as_str(),
            margin: check.margin.map(unsigned_zero),
            unit: check.unit.symbol(),
            rest: check.rest.into(),
            travel: check.travel.map(Into::into),
            worst: check.worst.map(Into::into),
            tight: check.tight,
            requirement: &check.requirement,
            filled_in: &check.filled_in,
            why: check.why.as_deref(),
            at: (&check.place).into(),
        }
    }
}

/// What became of the limits of a dimension.
#[derive(Serialize)]
pub(crate) struct Limit<'a> {
    name: &'a str,
    /// `limits` or `travel`.
    of: &'a str,
    verdict: &'a str,
    value: Value<'a>,
    min: Option<f64>,
    max: Option<f64>,
    margin: Option<f64>,
    unit: &'a str,
    #[serde(flatten)]
    at: At<'a>,
}

impl<'a> From<&'a LimitResult> for Limit<'a> {
    fn from(limit: &'a LimitResult) -> Self {
        Self {
            name: &limit.name,
            of: if limit.of_travel { "travel" } else { "limits" },
            verdict: limit.verdict.as_str(),
            value: limit.value.as_ref().into(),
            min: limit.min.map(unsigned_zero),
            max: limit.max.map(unsigned_zero),
            margin: limit.margin.map(unsigned_zero),
            unit: limit.unit.symbol(),
            at: (&limit.place).into(),
        }
    }
}

/// What deserves a look.
#[derive(Serialize)]
pub(crate) struct Warned<'a> {
    warning: &'a str,
    name: &'a str,
    message: &'a str,
    help: &'a str,
    #[serde(flatten)]
    at: At<'a>,
}

impl<'a> From<&'a Warning> for Warned<'a> {
    fn from(warning: &'a Warning) -> Self {
        Self {
            warning: warning.slug,
            name: &warning.name,
            message: &warning.message,
            help: &warning.help,
            at: (&warning.place).into(),
        }
    }
}
