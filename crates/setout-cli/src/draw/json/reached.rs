//! What depends on something, for programs.

use serde::Serialize;
use setout::{Amount, Reached};

use super::{At, Value};

/// All that depends on some values.
#[derive(Serialize)]
pub(crate) struct Reach<'a> {
    of: &'a [String],
    reached: Vec<Dependent<'a>>,
    checks: &'a [String],
    limits: &'a [String],
    parts: Vec<Part<'a>>,
    schedules: &'a [String],
    exports: &'a [String],
    cost: bool,
    mass: bool,
}

#[derive(Serialize)]
struct Dependent<'a> {
    name: &'a str,
    value: Value<'a>,
    unit: &'a str,
    path: &'a [String],
    #[serde(flatten)]
    at: At<'a>,
}

#[derive(Serialize)]
struct Part<'a> {
    name: &'a str,
    uses: &'a [String],
}

impl<'a> From<&'a Reached> for Dependent<'a> {
    fn from(reached: &'a Reached) -> Self {
        Self {
            name: &reached.name,
            value: reached.value.as_ref().into(),
            unit: reached.value.as_ref().map_or("", Amount::unit),
            path: &reached.path,
            at: (&reached.place).into(),
        }
    }
}

impl<'a> From<&'a setout::Reach> for Reach<'a> {
    fn from(reach: &'a setout::Reach) -> Self {
        Self {
            of: &reach.of,
            reached: reach.values.iter().map(Into::into).collect(),
            checks: &reach.checks,
            limits: &reach.limits,
            parts: reach.parts.iter().map(|(name, uses)| Part { name, uses }).collect(),
            schedules: &reach.schedules,
            exports: &reach.exports,
            cost: reach.cost,
            mass: reach.mass,
        }
    }
}
