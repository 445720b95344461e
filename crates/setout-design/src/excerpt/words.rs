//! The names that one entry of a table reads.

use std::collections::HashMap;
use std::sync::Arc;

use setout_quantity::Units;

use super::sheet::{Sheet, Spot};
use crate::document::{Expr, Reader, Table, read_table};

/// The names in the formulas of an entry, by what each formula is for.
#[derive(Debug, Default)]
pub(super) struct Words {
    pub(super) value: Vec<String>,
    pub(super) limits: Vec<String>,
    pub(super) travel: Vec<String>,
}

/// What was found before, by the section and the text of the entry: nothing else decides it.
#[derive(Debug, Default)]
pub(super) struct Known(HashMap<usize, HashMap<Box<str>, Arc<Words>>>);

/// So many texts are kept.
const MOST_KEPT: usize = 100_000;

impl Known {
    pub(super) fn of(&mut self, sheet: &Sheet, spot: Spot, units: &Units) -> Arc<Words> {
        let text = sheet.text(spot);
        let known = self.0.entry(spot.section).or_default();
        if let Some(words) = known.get(text) {
            return Arc::clone(words);
        }
        if known.len() >= MOST_KEPT {
            known.clear();
        }
        let words = Arc::new(words(sheet, spot, units));
        known.insert(text.into(), Arc::clone(&words));
        words
    }
}

fn words(sheet: &Sheet, spot: Spot, units: &Units) -> Words {
    let mut reader = Reader::new(&sheet.file, 0, units);
    let table = read_table(&mut reader, &sheet.with_only(&[spot]), "it", "");
    let mut words = Words::default();
    of_values(&table, &mut words.value);
    for dimension in &table.dimensions {
        let limits = [&dimension.min, &dimension.max].into_iter().flatten();
        limits.for_each(|expr| add(expr, &mut words.limits));
        let travel = dimension.travel.iter().flat_map(|ends| ends.iter());
        travel.for_each(|expr| add(expr, &mut words.travel));
    }
    for names in [&mut words.value, &mut words.limits, &mut words.travel] {
        names.sort_unstable();
        names.dedup();
    }
    words
}

fn of_values(table: &Table, names: &mut Vec<String>) {
    let dimensions = table.dimensions.iter().map(|dimension| &dimension.value);
    let rows = table.schedules.iter().flat_map(|schedule| &schedule.rows);
    let cells = rows.flat_map(|row| row.cells.iter().map(|(_, value)| value));
    for value in dimensions.chain(cells) {
        value.formula().into_iter().for_each(|expr| add(expr, names));
    }
    let checks = table.checks.iter().flat_map(|check| [&check.require, &check.tight]);
    let parts = table.parts.iter().flat_map(|part| [&part.quantity, &part.cost, &part.mass]);
    checks.chain(parts).flatten().for_each(|expr| add(expr, names));
}

fn add(expr: &Expr, names: &mut Vec<String>) {
    let used = expr.formula.iter().flat_map(|formula| formula.names());
    names.extend(used.map(|name| name.name.to_string()));
}
