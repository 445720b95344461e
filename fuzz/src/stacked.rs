//! Stack-ups against results that are evaluated alone.

use setout::{Asked, Evaluation, Mechanism, Mechanisms, Spread, Stack, Variable, Worst, stack};
use setout_design::Outcome;
use setout_formula::{Interval, Samples};

use super::draws::Draws;
use super::proved::{DEAR, work};

/// How many samples are drawn, and how many of them are judged over the travel.
const SAMPLES: u64 = 200;
const OVER_TRAVEL: u64 = 8;
/// How many boxes a proof looks at.
const BOXES: u64 = 24;
/// How many results are evaluated alone.
const ALONE: usize = 40;
/// What is left of a sum when it is rounded, as a part of what was added.
const ROUNDING: f64 = 128.0 * f64::EPSILON;

/// The worst case holds every result that tolerances allow, and the same is told twice.
pub(super) fn is_stacked(of: &Evaluation, name: &str, draws: &mut Draws) {
    let all = Mechanisms::of(of);
    let check = of.checks().iter().position(|check| check.name == name);
    let mechanism = match check {
        Some(check) => all.of_check(check, true),
        None => all.of_value(name),
    };
    let Ok(mechanism) = mechanism else { return };
    if mechanism.cost() > DEAR {
        return;
    }
    let still = mechanism.posed(&|own: &Variable| (!own.is_deviation).then_some(own.rest));
    is_drawn_alike(&still, draws);
    let seed = draws.number();
    let asked = Asked { samples: SAMPLES, seed, over_travel: OVER_TRAVEL, ..Asked::default() };
    let found = stack(of, name, &asked, &work(BOXES));
    let again = stack(of, name, &asked, &work(BOXES));
    assert_eq!(format!("{again:?}"), format!("{found:?}"));
    let Ok(found) = found else { return };
    assert!(found.nominal.is_finite(), "{found:?}");
    if let Some(worst) = &found.worst {
        holds_all(&still, &found, worst, draws);
    }
}

/// A value or margin in the unit of the stack-up.
fn shown(of: &Stack, base: f64) -> f64 {
    if of.is_margin { of.unit.difference_from_base(base) } else { of.unit.from_base(base) }
}

fn holds_all(still: &Mechanism<'_>, found: &Stack, worst: &Worst, draws: &mut Draws) {
    let holds = |value: f64, what: &str| {
        let size = found.nominal.abs() + value.abs() + shown(found, 0.0).abs();
        let (low, high) = (worst.low - ROUNDING * size, worst.high + ROUNDING * size);
        assert!(low <= value && value <= high, "{what} {value}: {found:?} of {still:?}");
    };
    let whole: Vec<Interval> = still.variables().iter().map(|own| own.span).collect();
    // What is off in any case is never as wanted.
    if still.made().iter().all(|made| made.zone.contains(0.0)) && !is_shared(still) {
        holds(found.nominal, "nominal");
    }
    worst.reached.iter().for_each(|reached| holds(*reached, "reached"));
    for _ in 0..ALONE {
        let point = draws.point(still.variables(), &whole);
        if let Outcome::Found { margin: Some(margin), .. } = still.at(&point) {
            holds(shown(found, margin), "alone");
        }
    }
    // Normal errors have no end, and what was measured may be beyond its tolerance.
    let ends = |made: &setout::Made| made.measured.is_none() && made.spread != Spread::Normal;
    if let Some(drawn) = found.simulated.filter(|_| still.made().iter().all(ends)) {
        [drawn.low, drawn.high].into_iter().for_each(|end| holds(end, "drawn"));
    }
}

/// Of dimensions that are off together not all need be as wanted at once.
fn is_shared(of: &Mechanism<'_>) -> bool {
    of.made().iter().any(|made| made.shares.is_some())
}

/// A block of samples comes to what each comes to alone, to the last bit.
fn is_drawn_alike(still: &Mechanism<'_>, draws: &mut Draws) {
    let whole: Vec<Interval> = still.variables().iter().map(|own| own.span).collect();
    let points: Vec<Vec<f64>> =
        (0..ALONE).map(|_| draws.point(still.variables(), &whole)).collect();
    let errors: Vec<Vec<f64>> = (still.made().iter())
        .map(|made| points.iter().map(|point| made.deviation(point)).collect())
        .collect();
    let samples: Vec<Samples<'_>> = errors.iter().map(|own| Samples::Each(own)).collect();
    let (mut found, mut holds) = (vec![0.0; ALONE], vec![false; ALONE]);
    let axes = vec![0.0; still.variables().len()];
    still.blocks().run(&axes, &samples, &mut found, &mut holds);
    for (sample, point) in points.iter().enumerate() {
        let (margin, held) = match still.at(point) {
            Outcome::Found { holds, margin } => (margin.unwrap_or(f64::NAN), holds),
            Outcome::Apart | Outcome::Undefined => (f64::NAN, false),
        };
        let same = found[sample].to_bits() == margin.to_bits() && holds[sample] == held;
        let block = (found[sample], holds[sample]);
        assert!(same, "{block:?}, alone {:?} at {point:?} of {still:?}", (margin, held));
    }
}
