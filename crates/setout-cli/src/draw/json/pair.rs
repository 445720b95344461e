//! The same thing before and after, for programs.

use serde::Serialize;
use setout::{Amount, Both, Unit};

use super::{Value, unsigned_zero};

/// An amount before and after, both in the unit beside them.
#[derive(Serialize)]
pub(crate) struct Pair<'a> {
    pub(super) before: Value<'a>,
    pub(super) after: Value<'a>,
    pub(super) unit: &'a str,
    /// Only where it measured something else before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) before_unit: Option<&'a str>,
}

impl<'a> Pair<'a> {
    /// The amounts, that before in the unit after if both measure the same.
    pub(crate) fn of(before: Option<&'a Amount>, after: Option<&'a Amount>) -> Self {
        let unit = after.or(before).map_or("", Amount::unit);
        let (was, before_unit) = match (before, after) {
            (Some(Amount::Number { number, unit: was }), Some(Amount::Number { unit: is, .. })) => {
                match value(*number, was, is) {
                    Some(number) => (Value::Number(number), None),
                    None => (before.into(), Some(was.symbol())),
                }
            }
            _ => (before.into(), None),
        };
        Self { before: was, after: after.into(), unit, before_unit }
    }
}

impl<'a> From<&'a Both<Option<Amount>>> for Pair<'a> {
    fn from(both: &'a Both<Option<Amount>>) -> Self {
        Self::of(both.before.as_ref(), both.after.as_ref())
    }
}

/// A number in another unit, if both measure the same.
pub(super) fn value(number: f64, was: &Unit, is: &Unit) -> Option<f64> {
    if was == is {
        return Some(unsigned_zero(number));
    }
    let alike = was.kind() == is.kind() && was.is_reading() == is.is_reading();
    alike.then(|| unsigned_zero(is.from_base(was.to_base(number))))
}

/// A margin, which is a difference, in another unit; null if the two measure different things.
pub(super) fn margin(margin: Option<f64>, was: &Unit, is: &Unit) -> Option<f64> {
    let margin = margin?;
    if was == is {
        return Some(unsigned_zero(margin));
    }
    let alike = was.kind() == is.kind();
    alike.then(|| unsigned_zero(is.difference_from_base(was.difference_to_base(margin))))
}
