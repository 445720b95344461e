//! Verdicts of checks and limits over travel, and at the worst of travel and tolerances.

use std::sync::Arc;

use setout_design::{
    Assessment, AxisSpan, CheckResult, Evaluation, How, LimitResult, Mechanism, Mechanisms,
    NotComputed, Setting, State, Verdict,
};

use crate::threads::in_threads;
use crate::{Doubt, Progress, Proof, Work, prove};

/// Assesses every check over the travel of its axes and at the worst of travel and tolerances, and
/// every limit over travel.
///
/// What varies with no axis has the same verdict over travel as at rest, and what varies with no
/// tolerance the same at the worst as over travel. Stopped early, what was not finished is unknown.
pub fn assess(evaluation: &Evaluation, work: &Work<'_>) -> Evaluation {
    let mechanisms = Mechanisms::of(evaluation);
    work.tell(Progress::ToDo(evaluation.checks().len() + evaluation.limits().len()));
    let checks: Vec<usize> = (0..evaluation.checks().len()).collect();
    let checks = judged(&checks, |index| {
        let checked = checked(&mechanisms, index, &evaluation.checks()[index], work);
        work.tell(Progress::Done);
        checked
    });
    let limits: Vec<usize> = (0..evaluation.limits().len()).collect();
    let limits = judged(&limits, |index| {
        let limited = limited(&mechanisms, index, &evaluation.limits()[index], work);
        work.tell(Progress::Done);
        limited
    });
    evaluation.with_results(checks, limits)
}

/// With fewer to judge, threads take longer to start than they save.
const FEW: usize = 16;

/// What `judge` makes of each; in several threads where there are many.
fn judged<R: Send>(all: &[usize], judge: impl Fn(usize) -> R + Sync) -> Vec<R> {
    match all.len() {
        0..FEW => all.iter().map(|index| judge(*index)).collect(),
        _ => in_threads(all, &|| false, |index| judge(*index)),
    }
}

fn checked(of: &Mechanisms<'_>, index: usize, check: &CheckResult, work: &Work<'_>) -> CheckResult {
    let [moves, made] = of.check_varies(index);
    let travel = match moves {
        true => found(|| of.of_check(index, false), work),
        false => check.rest.clone(),
    };
    let worst = match made {
        true => match of.of_check(index, true) {
            // What deviates may reach it through a value that is made itself, and not vary it.
            Ok(all) if moves && !all.variables().iter().any(|own| own.is_deviation) => {
                travel.clone()
            }
            all => found(|| all, work),
        },
        false => travel.clone(),
    };
    check.clone().with_states(Some(travel), Some(worst))
}

fn limited(of: &Mechanisms<'_>, index: usize, limit: &LimitResult, work: &Work<'_>) -> LimitResult {
    if !of.limit_varies(index) {
        return limit.clone();
    }
    let travel = found(|| of.of_limit(index), work);
    let verdict = limit.verdict.max(travel.verdict);
    LimitResult { verdict, travel: Some(travel), ..limit.clone() }
}

fn found<'a>(
    mechanism: impl FnOnce() -> Result<Mechanism<'a>, NotComputed>,
    work: &Work<'_>,
) -> State {
    if work.is_stopped() {
        return not_begun();
    }
    match mechanism() {
        Ok(mechanism) => state(&mechanism, &prove(&mechanism, work)),
        Err(NotComputed) => {
            State { verdict: Verdict::Unknown, margin: None, how: How::Computed, proof: None }
        }
    }
}

/// The state of what was not begun before the work was stopped.
fn not_begun() -> State {
    let told = Assessment {
        at_least: None,
        at: Vec::new(),
        boxes: 0,
        left: 1,
        unreachable: Vec::new(),
        why: Some(NOT_BEGUN.to_owned()),
    };
    State {
        verdict: Verdict::Unknown,
        margin: None,
        how: How::Sampled,
        proof: Some(Arc::new(told)),
    }
}

const NOT_BEGUN: &str = "it was stopped before its turn came";

/// A proof as a state of a check, in the units that it is shown in.
pub fn state(of: &Mechanism<'_>, proof: &Proof) -> State {
    let margin = |base: f64| {
        let shown = of.unit().difference_from_base(base);
        // Rounding outwards leaves dust on bounds that are exact.
        if base.abs() <= of.zero() { 0.0 } else { shown }
    };
    let at = settings(of, &proof.at);
    let spans = proof.unreachable.iter().flat_map(|place| of.variables().iter().zip(place));
    let unreachable =
        spans.filter(|(variable, _)| !variable.is_deviation).map(|(variable, span)| AxisSpan {
            name: variable.name.clone(),
            low: variable.in_unit(span.low()),
            high: variable.in_unit(span.high()),
            unit: variable.unit.clone(),
        });
    let told = Assessment {
        at_least: proof.at_least.map(margin),
        at,
        boxes: proof.boxes,
        left: proof.left,
        unreachable: unreachable.collect(),
        why: proof.doubt.map(|doubt| why(doubt, proof)),
    };
    State {
        verdict: proof.verdict,
        margin: proof.found.map(margin),
        how: if proof.verdict == Verdict::Unknown { How::Sampled } else { How::Proved },
        proof: Some(Arc::new(told)),
    }
}

/// Where axes stand at a point, and by how much dimensions deviate.
pub(crate) fn settings(of: &Mechanism<'_>, point: &[f64]) -> Vec<Setting> {
    let axes = of.variables().iter().zip(point).filter(|(variable, _)| !variable.is_deviation);
    let axes = axes.map(|(variable, value)| Setting {
        name: variable.name.clone(),
        value: variable.in_unit(*value),
        unit: variable.unit.clone(),
        is_deviation: false,
    });
    let mut made: Vec<_> = of.made().iter().collect();
    made.sort_by(|a, b| a.name.cmp(&b.name));
    let made = made.into_iter().map(|made| Setting {
        name: made.name.clone(),
        value: made.unit.difference_from_base(made.deviation(point)),
        unit: made.unit.clone(),
        is_deviation: true,
    });
    axes.chain(made).collect()
}

fn why(doubt: Doubt, proof: &Proof) -> String {
    match doubt {
        Doubt::Work => {
            let (verb, boxes) = if proof.left == 1 { ("is", "box") } else { ("are", "boxes") };
            format!(
                "{} boxes were not enough: {} {boxes} {verb} undecided",
                proof.boxes, proof.left
            )
        }
        Doubt::Undefined => "there is a pose without a value".to_owned(),
        Doubt::Fine if proof.left == 1 => "1 box stays undecided however small it is".to_owned(),
        Doubt::Fine => format!("{} boxes stay undecided however small they are", proof.left),
        Doubt::Unreachable => "no linkage closes anywhere in the travel".to_owned(),
        Doubt::Stopped => match proof.boxes {
            0 => NOT_BEGUN.to_owned(),
            1 => "it was stopped after 1 box".to_owned(),
            boxes => format!("it was stopped after {boxes} boxes"),
        },
    }
}
