//! Any design over its travel and its tolerances.

use setout::{Design, Evaluation, Mechanism, Mechanisms, Verdict, assess as assessed};
use setout_design::Outcome;

use super::draws::Draws;
use super::proved::{DEAR, is_judged, is_proved, work};
use super::roomy::is_roomy;
use super::stacked::is_stacked;
use super::texts::{files, source};

/// So many checks and limits are proved, and so many names stacked up.
const PROVED: usize = 4;
const STACKED: usize = 2;
/// How many boxes a proof looks at when all are assessed.
const BOXES: u64 = 20;

/// What is proved of a design is so in every pose and with every error that is drawn, what is
/// refuted fails alone, worst cases hold what is drawn, and everything is the same when asked again.
pub fn assess(bytes: &[u8]) {
    let evaluation = Design::read(&source(&files(bytes))).evaluate();
    let mut draws = Draws::of(bytes);
    is_the_same_again(&evaluation);
    let all = Mechanisms::of(&evaluation);
    for check in some(evaluation.checks().len(), PROVED, &mut draws) {
        for with_tolerances in [false, true] {
            let Ok(of) = all.of_check(check, with_tolerances) else { continue };
            if !with_tolerances {
                is_as_at_rest(&evaluation, &of, check);
            }
            holds_good(&of, &mut draws);
        }
    }
    for limit in some(evaluation.limits().len(), PROVED, &mut draws) {
        if let Ok(of) = all.of_limit(limit) {
            holds_good(&of, &mut draws);
        }
    }
    for name in stacked(&evaluation, &mut draws) {
        is_stacked(&evaluation, &name, &mut draws);
    }
    let chosen = chosen(&evaluation);
    if !chosen.is_empty() {
        is_roomy(&evaluation, &chosen[draws.one_of(chosen.len())], &mut draws);
    }
}

/// Some numbers below `count`, in a row.
fn some(count: usize, most: usize, draws: &mut Draws) -> impl Iterator<Item = usize> + use<> {
    let first = draws.one_of(count);
    (0..count.min(most)).map(move |index| (first + index) % count)
}

fn holds_good(of: &Mechanism<'_>, draws: &mut Draws) {
    if of.cost() <= DEAR {
        is_judged(of, draws);
        is_proved(of, draws);
    }
}

fn is_the_same_again(of: &Evaluation) {
    let [one, other] = [(); 2].map(|()| assessed(of, &work(BOXES)));
    assert_eq!(format!("{:?}", one.checks()), format!("{:?}", other.checks()));
    assert_eq!(format!("{:?}", one.limits()), format!("{:?}", other.limits()));
}

/// At rest a mechanism comes to what the design does.
fn is_as_at_rest(of: &Evaluation, mechanism: &Mechanism<'_>, check: usize) {
    let rest: Vec<f64> = mechanism.variables().iter().map(|own| own.rest).collect();
    let own = &of.checks()[check].rest;
    let (holds, margin) = match mechanism.at(&rest) {
        Outcome::Found { holds, margin } => (holds, margin),
        Outcome::Apart | Outcome::Undefined => (false, None),
    };
    // Where it rests outside of its travel there is a fault.
    if own.verdict != Verdict::Unknown && of.faults().is_empty() {
        let shown = margin.map(|margin| mechanism.unit().difference_from_base(margin));
        assert_eq!(holds, own.verdict < Verdict::Unknown, "{own:?} of {mechanism:?}");
        assert_eq!(shown, own.margin, "{own:?} of {mechanism:?}");
    }
}

/// Names of checks and dimensions to stack up.
fn stacked(of: &Evaluation, draws: &mut Draws) -> Vec<String> {
    let checks = of.checks().iter().map(|check| check.name.clone());
    let dimensions = of.dimensions().into_iter().map(|own| own.name);
    let all: Vec<String> = checks.chain(dimensions).collect();
    some(all.len(), STACKED, draws).map(|place| all[place].clone()).collect()
}

fn chosen(of: &Evaluation) -> Vec<String> {
    let dimensions = of.dimensions().into_iter();
    let chosen = dimensions.filter(|own| own.chosen && own.base.is_some() && own.travel.is_none());
    chosen.map(|own| own.name).collect()
}

/// Whether an input is a design of which something varies, without a fault.
pub fn is_assessed(bytes: &[u8]) -> bool {
    let evaluation = Design::read(&source(&files(bytes))).evaluate();
    let all = Mechanisms::of(&evaluation);
    let mut checks = 0..evaluation.checks().len();
    evaluation.faults().is_empty() && checks.any(|check| all.check_varies(check).contains(&true))
}
