//! Dimensions, schedules and parts for programs.

use serde::Serialize;
use setout::{Amount, DimensionResult, PartResult, ScheduleResult, Unit};

use super::{At, Measure, Value, unsigned_zero};

/// A dimension or a cell.
#[derive(Serialize)]
pub(crate) struct Dimension<'a> {
    name: &'a str,
    kind: &'static str,
    #[serde(flatten)]
    of: Of<'a>,
    tolerance: Option<&'a str>,
    /// What the tolerance comes to, lower and upper, in the unit.
    deviations: Option<[f64; 2]>,
    note: Option<&'a str>,
    #[serde(flatten)]
    at: At<'a>,
}

/// Texts have no unit and no limits; everything else may.
#[derive(Serialize)]
#[serde(untagged)]
enum Of<'a> {
    Text {
        text: &'a str,
    },
    Value {
        value: Value<'a>,
        unit: &'a str,
        min: Option<f64>,
        max: Option<f64>,
        travel: Option<[f64; 2]>,
        formula: &'a str,
    },
}

impl<'a> From<&'a DimensionResult> for Dimension<'a> {
    fn from(dimension: &'a DimensionResult) -> Self {
        let of = match &dimension.value {
            Some(Amount::Text(text)) => Of::Text { text },
            value => Of::Value {
                value: value.as_ref().into(),
                unit: dimension.unit.symbol(),
                min: dimension.min.map(unsigned_zero),
                max: dimension.max.map(unsigned_zero),
                travel: dimension.travel.map(|ends| ends.map(unsigned_zero)),
                formula: &dimension.written,
            },
        };
        Self {
            name: &dimension.name,
            kind: if dimension.chosen { "chosen" } else { "derived" },
            of,
            tolerance: dimension.tolerance.as_deref(),
            deviations: dimension.deviations.map(|ends| ends.map(unsigned_zero)),
            note: dimension.note.as_deref(),
            at: (&dimension.place).into(),
        }
    }
}

/// A schedule; the cells of a row stand in the order of the columns.
#[derive(Serialize)]
pub(crate) struct Schedule<'a> {
    name: &'a str,
    about: Option<&'a str>,
    columns: Vec<Column<'a>>,
    rows: Vec<Row<'a>>,
    #[serde(flatten)]
    at: At<'a>,
}

#[derive(Serialize)]
struct Column<'a> {
    name: &'a str,
    /// Null for a column of texts.
    unit: Option<&'a str>,
}

#[derive(Serialize)]
struct Row<'a> {
    name: &'a str,
    cells: Vec<Value<'a>>,
}

impl<'a> From<&'a ScheduleResult> for Schedule<'a> {
    fn from(schedule: &'a ScheduleResult) -> Self {
        let units = schedule.units.iter().map(|unit| unit.as_ref().map(Unit::symbol));
        let columns = schedule.columns.iter().zip(units);
        let row = |(name, cells): &'a (String, Vec<DimensionResult>)| Row {
            name,
            cells: cells.iter().map(|cell| cell.value.as_ref().into()).collect(),
        };
        Self {
            name: &schedule.name,
            about: schedule.about.as_deref(),
            columns: columns.map(|(name, unit)| Column { name, unit }).collect(),
            rows: schedule.rows.iter().map(row).collect(),
            at: (&schedule.place).into(),
        }
    }
}

/// A part.
#[derive(Serialize)]
pub(crate) struct Part<'a> {
    name: &'a str,
    made: Option<&'a str>,
    material: Option<&'a str>,
    quantity: Value<'a>,
    cost: Option<Measure<'a>>,
    mass: Option<Measure<'a>>,
    cad: Option<&'a str>,
    uses: &'a [String],
    note: Option<&'a str>,
    fingerprint: &'a str,
    #[serde(flatten)]
    at: At<'a>,
}

impl<'a> From<&'a PartResult> for Part<'a> {
    fn from(part: &'a PartResult) -> Self {
        Self {
            name: &part.name,
            made: part.made.as_deref(),
            material: part.material.as_deref(),
            quantity: part.quantity.as_ref().into(),
            cost: part.cost.as_ref().map(Into::into),
            mass: part.mass.as_ref().map(Into::into),
            cad: part.cad.as_deref(),
            uses: &part.uses,
            note: part.note.as_deref(),
            fingerprint: &part.fingerprint,
            at: (&part.place).into(),
        }
    }
}
