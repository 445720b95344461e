//! Headroom against designs with the dimension moved.

use setout::{Evaluation, Mechanisms, Verdict, headroom};
use setout_formula::Interval;

use super::draws::Draws;
use super::proved::work;

/// How many boxes a proof looks at; a headroom is many proofs.
const BOXES: u64 = 12;

/// How many values are tried.
const TRIED: usize = 3;

/// Within its headroom a dimension can have any value, and all that it reaches holds.
/// Says how many values were tried.
pub(super) fn is_roomy(of: &Evaluation, name: &str, draws: &mut Draws) -> usize {
    let found = headroom(of, name, &work(BOXES));
    assert_eq!(format!("{:?}", headroom(of, name, &work(BOXES))), format!("{found:?}"));
    let Ok(found) = found else { return 0 };
    let end = |end: &setout::HeadroomEnd| {
        end.value.or_else(|| end.because.is_none().then_some(end.searched))
    };
    let (Some(low), Some(high)) = (end(&found.low), end(&found.high)) else { return 0 };
    assert!(low <= found.value && found.value <= high, "{found:?}");
    let all = Mechanisms::of(of).with_free(name, Interval::point(0.0)).expect("it has headroom");
    let (checks, limits) = all.reached();
    let mut tried = 0;
    for _ in 0..TRIED {
        let value = draws.within(Interval::new(low, high));
        let value = if found.unit.is_whole() { value.floor().max(low) } else { value };
        let Some(moved) = moved(of, name, value, &found.unit) else { continue };
        tried += 1;
        for check in &checks {
            let check = &moved.checks()[*check];
            assert!(check.rest.verdict < Verdict::Unknown, "{value}: {check:?}, {found:?}");
        }
        for limit in limits.iter().filter_map(|limit| moved.limits().get(*limit)) {
            assert!(limit.verdict < Verdict::Unknown, "{value}: {limit:?}, {found:?}");
        }
    }
    tried
}

/// The design with the dimension at a value; nothing where something has no value then, or where
/// axes or errors are at rest in no pose that belongs to it.
fn moved(of: &Evaluation, name: &str, value: f64, unit: &setout::Unit) -> Option<Evaluation> {
    let symbol = if unit.is_whole() { "" } else { unit.symbol() };
    let text = format!("{value:?} {symbol}");
    let trial = of.design().tried(&[(name, text.trim())]).ok()?;
    let moved = trial.design.evaluate();
    let rests = |own: &setout::DimensionResult| {
        let rest = own.value.as_ref().and_then(setout::Amount::number);
        let inside = own.travel.filter(|_| own.chosen).zip(rest);
        let rests = inside.is_none_or(|([low, high], rest)| low <= rest && rest <= high);
        rests && own.deviations.is_none_or(|[low, high]| low <= 0.0 && high >= 0.0)
    };
    let is_known = moved.faults().is_empty() && moved.limits().len() == of.limits().len();
    (is_known && moved.dimensions().iter().all(rests)).then_some(moved)
}
