//! The things of a table, a line each.

use setout::{Amount, CheckResult, DimensionResult, PartResult, ScheduleResult};

use super::amounts::{amount, limits, measure};
use super::columns::{Cell, Columns};
use super::ink::Ink;
use super::page::Page;

/// How far in a table's things stand, below its name.
const INDENT: usize = 2;

/// The name of a thing within its table.
fn bare(name: &str) -> &str {
    name.split_once('.').map_or(name, |(_, bare)| bare)
}

/// Lists dimensions. Those named in `outside` do not keep to their limits.
pub(crate) fn dimensions(all: &[DimensionResult], outside: &[&str], page: &mut Page) {
    let mut columns = Columns::default();
    for dimension in all {
        let ink = match &dimension.value {
            None => Ink::Unknown,
            Some(_) if outside.contains(&&*dimension.name) => Ink::Fails,
            Some(_) => Ink::Plain,
        };
        columns.row([
            Cell::text(Ink::Plain, bare(&dimension.name)),
            Cell::number(ink, &amount(dimension.value.as_ref())),
            Cell::text(Ink::Faint, &remarks(dimension)),
        ]);
    }
    columns.draw(INDENT, page);
}

/// Limits, travel, tolerance, and the note or else where the value comes from: as much of this
/// as there is, in one column, since few dimensions have all of it.
fn remarks(dimension: &DimensionResult) -> String {
    let derived = !dimension.chosen;
    let remarks = [
        limits(dimension.min, dimension.max, dimension.unit.symbol()),
        travel(dimension).map(|travel| format!("moves {travel}")),
        dimension.tolerance.clone(),
        dimension.note.clone().or(derived.then(|| format!("from {}", dimension.written))),
    ];
    remarks.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// The ends of a travel.
pub(super) fn travel(dimension: &DimensionResult) -> Option<String> {
    let [from, to] = dimension.travel?;
    limits(Some(from), Some(to), dimension.unit.symbol())
}

/// Draws a schedule among the things of its table.
pub(crate) fn schedule(schedule: &ScheduleResult, page: &mut Page) {
    super::schedule(schedule, bare(&schedule.name), INDENT, page);
}

/// Lists checks.
pub(crate) fn checks(all: &[CheckResult], page: &mut Page) {
    let mut columns = Columns::default();
    for check in all {
        let margin = check.margin.map(|margin| measure(margin, check.unit.symbol()));
        columns.row([
            Cell::text(Ink::Faint, "check"),
            Cell::text(Ink::Plain, bare(&check.name)),
            Cell::text(Ink::of(check.verdict), check.verdict.as_str()),
            Cell::number(Ink::Plain, &margin.unwrap_or_default()),
            Cell::text(Ink::Faint, check.why.as_deref().unwrap_or_default()),
        ]);
    }
    columns.draw(INDENT, page);
}

/// Lists parts.
pub(crate) fn parts(all: &[PartResult], page: &mut Page) {
    let mut columns = Columns::default();
    let shown = |value: Option<&Amount>| value.map(|value| amount(Some(value)));
    for part in all {
        let number = |text: Option<String>| Cell::number(Ink::Plain, &text.unwrap_or_default());
        columns.row([
            Cell::text(Ink::Faint, "part"),
            Cell::text(Ink::Plain, bare(&part.name)),
            number(shown(part.quantity.as_ref())),
            Cell::text(Ink::Plain, part.made.as_deref().unwrap_or_default()),
            number(shown(part.cost.as_ref())),
            number(shown(part.mass.as_ref())),
            Cell::text(Ink::Faint, part.material.as_deref().unwrap_or_default()),
        ]);
    }
    columns.draw(INDENT, page);
}
