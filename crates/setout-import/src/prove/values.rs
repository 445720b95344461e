//! Values of the table against those of the file.

use std::collections::HashMap;

use setout_design::{Amount, DimensionResult, Evaluation};
use setout_quantity::Kind;

use crate::entry::{Entry, Plain};

/// Values that differ by less, of their size, are the same: two programs' sines.
const SAME: f64 = 1e-12;

/// What the table comes to, by name within it.
pub(super) struct Values(HashMap<String, DimensionResult>);

impl Values {
    pub(super) fn of(evaluation: &Evaluation, table: &str) -> Self {
        let cells = evaluation.schedules().into_iter().flat_map(|schedule| schedule.rows);
        let all = evaluation.dimensions().into_iter().chain(cells.flat_map(|(_, cells)| cells));
        let local = |result: DimensionResult| {
            let name = result.name.strip_prefix(table)?.strip_prefix('.')?.to_owned();
            Some((name, result))
        };
        Self(all.filter_map(local).collect())
    }

    /// How the value of an entry differs from the file's; nothing if what it depends on has a
    /// fault.
    pub(super) fn differs(&self, entry: &Entry) -> Option<String> {
        let (wanted, result) = (entry.comes_to.as_ref()?, self.0.get(&entry.name)?);
        let based = entry.in_base && matches!(result.unit.kind(), Kind::LENGTH | Kind::ANGLE);
        let found = match result.value.as_ref()? {
            Amount::Number { number, .. } if !based => Plain::Number(*number),
            Amount::Number { .. } => Plain::Number(result.base?),
            Amount::Text(text) => Plain::Text(text.clone()),
            Amount::Truth(truth) => Plain::Truth(*truth),
        };
        if same(&found, wanted) || (matches!(found, Plain::Text(_)) && entry.name.contains('.')) {
            return None;
        }
        Some(format!("it would come to {} here, and is {} there", told(&found), told(wanted)))
    }
}

fn same(found: &Plain, wanted: &Plain) -> bool {
    match (found, wanted) {
        (Plain::Number(a), Plain::Number(b)) => {
            a == b || (a - b).abs() <= SAME * a.abs().max(b.abs()).max(1e-3)
        }
        _ => found == wanted,
    }
}

fn told(plain: &Plain) -> String {
    match plain {
        Plain::Number(number) => setout_quantity::shortest(*number),
        Plain::Text(text) => format!("{text:?}"),
        Plain::Truth(truth) => truth.to_string(),
    }
}
