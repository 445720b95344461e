//! How a value came about, for programs.

use serde::Serialize;
use setout::Amount;

use super::{At, Value, unsigned_zero};

/// One step of a calculation.
#[derive(Serialize)]
pub(crate) struct Step<'a> {
    #[serde(flatten)]
    came_to: CameTo<'a>,
    /// `chosen`, `derived` or `check`.
    kind: &'static str,
    formula: &'a str,
    filled_in: &'a str,
    needs: &'a [String],
    #[serde(flatten)]
    at: At<'a>,
}

/// What a step came to.
#[derive(Serialize)]
#[serde(untagged)]
pub(crate) enum CameTo<'a> {
    Value { name: &'a str, value: Value<'a>, unit: &'a str },
    Verdict { name: &'a str, verdict: &'static str, margin: Option<f64>, unit: &'a str },
}

impl<'a> CameTo<'a> {
    /// That of a step.
    pub(crate) fn of(step: &'a setout::Step) -> Self {
        let name = &*step.name;
        let unit = |amount: &'a Option<Amount>| amount.as_ref().map_or("", Amount::unit);
        match &step.verdict {
            Some((verdict, margin)) => Self::Verdict {
                name,
                verdict: verdict.as_str(),
                margin: margin.as_ref().and_then(Amount::number).map(unsigned_zero),
                unit: unit(margin),
            },
            None => {
                Self::Value { name, value: step.value.as_ref().into(), unit: unit(&step.value) }
            }
        }
    }
}

impl<'a> From<&'a setout::Step> for Step<'a> {
    fn from(step: &'a setout::Step) -> Self {
        Self {
            came_to: CameTo::of(step),
            kind: match (&step.verdict, step.chosen) {
                (Some(_), _) => "check",
                (None, true) => "chosen",
                (None, false) => "derived",
            },
            formula: &step.written,
            filled_in: &step.filled_in,
            needs: &step.needs,
            at: (&step.place).into(),
        }
    }
}
