//! What must hold of every fault, warning and value, whatever was read.

use setout::{Amount, Design, DimensionResult, Evaluation, Fault, Place, Slug, Verdict};

use super::texts::{Files, source};

/// Reads and evaluates a design, and looks at all that it says.
pub(super) fn looked_at(files: &Files) -> Evaluation {
    let evaluation = Design::read(&source(files)).evaluate();
    for pair in evaluation.faults().windows(2) {
        assert!(pair[0] < pair[1], "not in order, or twice: {pair:?}");
    }
    evaluation.faults().iter().for_each(|fault| well_told(fault, files));
    for warning in evaluation.warnings() {
        let missing = false;
        assert!(lies_inside(&warning.place, files, missing), "{warning:?} lies outside");
        well_said(&warning.message, &warning.help);
    }
    evaluation.dimensions().iter().for_each(is_finite);
    for schedule in evaluation.schedules() {
        schedule.rows.iter().flat_map(|(_, cells)| cells).for_each(is_finite);
    }
    for part in evaluation.parts() {
        let amounts = [&part.quantity, &part.cost, &part.mass];
        assert!(amounts.into_iter().flatten().all(is_number), "{part:?}");
    }
    for check in evaluation.checks() {
        assert!(check.margin.is_none_or(f64::is_finite), "{check:?}");
        assert!(check.tight.is_none_or(f64::is_finite), "{check:?}");
    }
    for limit in evaluation.limits() {
        let ends = [limit.min, limit.max].into_iter().flatten();
        assert!(ends.into_iter().all(f64::is_finite), "{limit:?}");
        assert!(limit.value.iter().all(is_number), "{limit:?}");
    }
    if evaluation.faults().is_empty() {
        is_known(&evaluation);
    }
    evaluation
}

/// Nothing is lost without a fault.
fn is_known(evaluation: &Evaluation) {
    for dimension in evaluation.dimensions() {
        assert!(dimension.value.is_some(), "{dimension:?}");
        assert_eq!(dimension.tolerance.is_some(), dimension.deviations.is_some(), "{dimension:?}");
    }
    let known = |verdict| verdict != Verdict::Unknown;
    evaluation.checks().iter().for_each(|check| assert!(known(check.verdict), "{check:?}"));
    evaluation.limits().iter().for_each(|limit| assert!(known(limit.verdict), "{limit:?}"));
    for schedule in evaluation.schedules() {
        let mut cells = schedule.rows.iter().flat_map(|(_, cells)| cells);
        assert!(cells.all(|cell| cell.value.is_some()), "{schedule:?}");
    }
    for part in evaluation.parts() {
        assert!(part.quantity.is_some(), "{part:?}");
    }
    assert!(evaluation.mass().is_some());
}

/// A fault stands in a text, and says in a line each what is wrong and what would mend it.
pub(super) fn well_told(fault: &Fault, files: &Files) {
    well_said(&fault.message, &fault.help);
    let missing = fault.slug == Slug::NotFound;
    assert!(lies_inside(&fault.place, files, missing), "{fault} lies outside of its file");
}

pub(super) fn well_said(message: &str, help: &str) {
    for text in [message, help] {
        assert!(!text.trim().is_empty(), "{message:?}, {help:?}");
        assert!(!text.contains(['\n', '\r']), "more than a line: {text:?}");
    }
    // A path may end as it likes.
    let ends = message.ends_with('.') && !message.starts_with("there is no file");
    assert!(!ends, "a clause, not a sentence: {message:?}");
}

/// Whether there is such a place. A file that is missing is named all the same.
fn lies_inside(place: &Place, files: &Files, may_be_missing: bool) -> bool {
    let Some(bytes) = files.get(&*place.file) else {
        return may_be_missing && (place.line, place.column) == (1, 1);
    };
    let text = String::from_utf8_lossy(bytes).replace("\r\n", "\n").replace('\r', "\n");
    let line = text.split('\n').nth(place.line - 1);
    line.is_some_and(|line| (1..=line.chars().count() + 1).contains(&place.column))
}

/// Infinity and not-a-number are never values, in any unit.
fn is_finite(dimension: &DimensionResult) {
    let ends = [dimension.base, dimension.min, dimension.max];
    let spans = [dimension.travel, dimension.deviations].into_iter().flatten().flatten();
    let all = ends.into_iter().flatten().chain(spans);
    assert!(all.into_iter().all(f64::is_finite), "{dimension:?}");
    assert!(dimension.value.iter().all(is_number), "{dimension:?}");
}

fn is_number(amount: &Amount) -> bool {
    amount
        .number()
        .is_none_or(|number| number.is_finite() && !(number == 0.0 && number.is_sign_negative()))
}
