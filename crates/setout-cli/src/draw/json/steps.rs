//! How a value came about, for programs.

use serde::Serialize;
use setout::Amount;

use super::{At, Value, unsigned_zero};

/// One step of a calculation.
#[derive(Serialize)]
pub(crate) struct Step<'a> {
    name: &'a str,
    /// `chosen`, `derived` or `check`.
    kind: &'static str,
    formula: &'a str,
    filled_in: &'a str,
    #[serde(flatten)]
    came_to: CameTo<'a>,
    needs: &'a [String],
    #[serde(flatten)]
    at: At<'a>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum CameTo<'a> {
    Value { value: Value<'a>, unit: &'a str },
    Verdict { verdict: &'static str, margin: Option<f64>, unit: &'a str },
}

impl<'a> From<&'a setout::Step> for Step<'a> {
    fn from(step: &'a setout::Step) -> Self {
        let unit = |amount: &'a Option<Amount>| amount.as_ref().map_or("", Amount::unit);
        let came_to = match &step.verdict {
            Some((verdict, margin)) => CameTo::Verdict {
                verdict: verdict.as_str(),
                margin: margin.as_ref().and_then(Amount::number).map(unsigned_zero),
                unit: unit(margin),
            },
            None => CameTo::Value { value: step.value.as_ref().into(), unit: unit(&step.value) },
        };
        Self {
            name: &step.name,
            kind: match (&step.verdict, step.chosen) {
                (Some(_), _) => "check",
                (None, true) => "chosen",
                (None, false) => "derived",
            },
            formula: &step.written,
            filled_in: &step.filled_in,
            came_to,
            needs: &step.needs,
            at: (&step.place).into(),
        }
    }
}
