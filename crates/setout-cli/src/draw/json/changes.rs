//! What a hand changed and what followed, for programs.

use serde::Serialize;
use setout::{Amount, Both, Changed, Edited, PartChange};

use super::judged::{CheckTurn, LimitTurn};
use super::pair::Pair;
use super::{At, Value};
use crate::changes::Changes;
use crate::draw::changes::caution;

/// An edit, as it was and is written.
#[derive(Serialize)]
pub(crate) struct Edit<'a> {
    name: &'a str,
    what: &'a str,
    before: Option<&'a str>,
    after: Option<&'a str>,
    #[serde(flatten)]
    values: Option<Values<'a>>,
    overridden: bool,
    #[serde(flatten)]
    at: At<'a>,
}

/// What the texts of an edit came to.
#[derive(Serialize)]
struct Values<'a> {
    before_value: Value<'a>,
    after_value: Value<'a>,
    unit: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    before_unit: Option<&'a str>,
}

impl<'a> From<(&'a Edited, &'a Both<Option<Amount>>)> for Edit<'a> {
    fn from((edit, values): (&'a Edited, &'a Both<Option<Amount>>)) -> Self {
        let computed = values.before.is_some() || values.after.is_some();
        let values = computed.then(|| {
            let Pair { before, after, unit, before_unit } = values.into();
            Values { before_value: before, after_value: after, unit, before_unit }
        });
        Self {
            name: &edit.name,
            what: edit.what.as_str(),
            before: edit.before.as_deref(),
            after: edit.after.as_deref(),
            values,
            overridden: edit.overridden,
            at: (&edit.place).into(),
        }
    }
}

/// A value that followed from edits.
#[derive(Serialize)]
pub(crate) struct Consequence<'a> {
    name: &'a str,
    #[serde(flatten)]
    pair: Pair<'a>,
    because: &'a [String],
    /// Only where no edit alone is to blame.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    any_of: bool,
    path: &'a [String],
    #[serde(flatten)]
    at: At<'a>,
}

impl<'a> From<&'a Changed> for Consequence<'a> {
    fn from(changed: &'a Changed) -> Self {
        Self {
            name: &changed.name,
            pair: Pair::of(changed.before.as_ref(), changed.after.as_ref()),
            because: &changed.because,
            any_of: changed.any_of,
            path: &changed.path,
            at: (&changed.place).into(),
        }
    }
}

/// A part to be looked at again.
#[derive(Serialize)]
struct PartTurn<'a> {
    name: &'a str,
    because: &'a [String],
    uses: &'a [String],
    remake: bool,
    cost: Pair<'a>,
    mass: Pair<'a>,
}

impl<'a> From<&'a PartChange> for PartTurn<'a> {
    fn from(part: &'a PartChange) -> Self {
        Self {
            name: &part.name,
            because: &part.because,
            uses: &part.uses,
            remake: part.remake,
            cost: (&part.cost).into(),
            mass: (&part.mass).into(),
        }
    }
}

/// What edits do beside changing values: the keys that `impact`, `set` and `diff` share.
#[derive(Serialize)]
pub(crate) struct Followed<'a> {
    unchanged: &'a [String],
    parts: Vec<PartTurn<'a>>,
    checks: Vec<CheckTurn<'a>>,
    limits: Vec<LimitTurn<'a>>,
    schedules: &'a [String],
    exports: &'a [String],
    cost: Pair<'a>,
    mass: Pair<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}

impl<'a> From<&'a Changes> for Followed<'a> {
    fn from(changes: &'a Changes) -> Self {
        let found = &changes.found;
        Self {
            unchanged: &found.unchanged,
            parts: found.parts.iter().map(Into::into).collect(),
            checks: found.checks.iter().map(Into::into).collect(),
            limits: found.limits.iter().map(Into::into).collect(),
            schedules: &found.schedules,
            exports: &found.exports,
            cost: (&found.cost).into(),
            mass: (&found.mass).into(),
            caution: caution(changes),
        }
    }
}
