//! Verdicts for programs.

use serde::{Serialize, Serializer};
use setout::{Assessment, CheckResult, LimitResult, Setting, State, Warning};

use super::{At, Value, unsigned_zero};

/// What became of a check. A state that was not assessed is absent.
#[derive(Serialize)]
pub(crate) struct Check<'a> {
    name: &'a str,
    verdict: &'a str,
    margin: Option<f64>,
    unit: &'a str,
    rest: InState<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    travel: Option<InState<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    worst: Option<InState<'a>>,
    tight: Option<f64>,
    requirement: &'a str,
    filled_in: String,
    why: Option<&'a str>,
    #[serde(flatten)]
    at: At<'a>,
}

/// A state of a check. What a proof found is there where there was one.
#[derive(Serialize)]
pub(crate) struct InState<'a> {
    verdict: &'static str,
    margin: Option<f64>,
    how: &'static str,
    #[serde(flatten)]
    proof: Option<InProof<'a>>,
}

/// What a proof found.
#[derive(Serialize)]
struct InProof<'a> {
    at_least: Option<f64>,
    at: Settings<'a>,
    #[serde(skip_serializing_if = "Settings::is_empty")]
    deviations: Settings<'a>,
    boxes: u64,
    left: usize,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    unreachable: Vec<Unreachable<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<&'a str>,
}

#[derive(Serialize)]
struct Unreachable<'a> {
    name: &'a str,
    low: f64,
    high: f64,
    unit: &'a str,
}

/// Where something stands, by its name.
pub(crate) struct Settings<'a>(Vec<&'a Setting>);

impl<'a> Settings<'a> {
    /// The axes of a pose, or the deviations.
    pub(crate) fn of(proof: &'a Assessment, deviations: bool) -> Self {
        Self(proof.at.iter().filter(|setting| setting.is_deviation == deviations).collect())
    }

    fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl Serialize for Settings<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|own| (&own.name, unsigned_zero(own.value))))
    }
}

impl<'a> From<&'a State> for InState<'a> {
    fn from(state: &'a State) -> Self {
        Self {
            verdict: state.verdict.as_str(),
            margin: state.margin.map(unsigned_zero),
            how: state.how.as_str(),
            proof: state.proof.as_deref().map(Into::into),
        }
    }
}

impl<'a> From<&'a Assessment> for InProof<'a> {
    fn from(proof: &'a Assessment) -> Self {
        let unreachable = proof.unreachable.iter().map(|span| Unreachable {
            name: &span.name,
            low: unsigned_zero(span.low),
            high: unsigned_zero(span.high),
            unit: span.unit.symbol(),
        });
        Self {
            at_least: proof.at_least.map(unsigned_zero),
            at: Settings::of(proof, false),
            deviations: Settings::of(proof, true),
            boxes: proof.boxes,
            left: proof.left,
            unreachable: unreachable.collect(),
            why: proof.why.as_deref(),
        }
    }
}

/// A check that was swept: the keys of its state, with both margins in one.
#[derive(Serialize)]
pub(crate) struct Swept<'a> {
    margin: Margins,
    at: Settings<'a>,
    #[serde(skip_serializing_if = "Settings::is_empty")]
    deviations: Settings<'a>,
    boxes: u64,
    left: usize,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    unreachable: Vec<Unreachable<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<&'a str>,
}

#[derive(Serialize)]
struct Margins {
    at_least: Option<f64>,
    found: Option<f64>,
}

impl<'a> From<&'a State> for Swept<'a> {
    fn from(state: &'a State) -> Self {
        let found = state.margin.map(unsigned_zero);
        match state.proof.as_deref().map(InProof::from) {
            Some(InProof { at_least, at, deviations, boxes, left, unreachable, why }) => {
                let margin = Margins { at_least, found };
                Self { margin, at, deviations, boxes, left, unreachable, why }
            }
            None => Self {
                margin: Margins { at_least: found, found },
                at: Settings(Vec::new()),
                deviations: Settings(Vec::new()),
                boxes: 0,
                left: 0,
                unreachable: Vec::new(),
                why: None,
            },
        }
    }
}

impl<'a> From<&'a CheckResult> for Check<'a> {
    fn from(check: &'a CheckResult) -> Self {
        Self {
            name: &check.name,
            verdict: check.verdict.as_str(),
            margin: check.margin.map(unsigned_zero),
            unit: check.unit.symbol(),
            rest: (&check.rest).into(),
            travel: check.travel.as_ref().map(Into::into),
            worst: check.worst.as_ref().map(Into::into),
            tight: check.tight,
            requirement: &check.requirement,
            filled_in: check.filled_in.to_string(),
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
    /// Over the travel of the axes that it depends on.
    #[serde(skip_serializing_if = "Option::is_none")]
    travel: Option<InState<'a>>,
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
            travel: limit.travel.as_ref().map(Into::into),
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
