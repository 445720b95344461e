//! What a proof says, against poses that are evaluated alone.

use setout::{Mechanism, Verdict, Work, prove};
use setout_design::Outcome;
use setout_formula::{Closes, Decoration, Interval};

use super::draws::Draws;

/// How many boxes a proof looks at.
const BOXES: u64 = 60;

/// How many poses and boxes are drawn for a mechanism.
const DRAWN: usize = 24;

/// What takes more work than this is only a slower one.
pub(super) const DEAR: u64 = 20_000;

/// So much work, and no more.
pub(super) fn work(boxes: u64) -> Work<'static> {
    Work { boxes, ..Work::default() }
}

/// A refuted pose fails alone, and no pose is against what was proved.
pub(super) fn is_proved(of: &Mechanism<'_>, draws: &mut Draws) {
    let proof = prove(of, &work(BOXES));
    let again = prove(of, &work(BOXES));
    assert_eq!(format!("{again:?}"), format!("{proof:?}"));
    let alone = of.at(&proof.at);
    let fails = matches!(alone, Outcome::Found { holds: false, .. });
    assert_eq!(fails, proof.verdict == Verdict::Fails, "{alone:?} at the pose of {proof:?}");
    if let (Some(found), Outcome::Found { margin: Some(margin), .. }) = (proof.found, alone) {
        // A pose that fails with nothing less to its name may be told instead.
        assert!(fails || margin.to_bits() == found.to_bits(), "{margin} at {proof:?}");
    }
    if let (Some(least), Some(found)) = (proof.at_least, proof.found) {
        is_no_less(found, least, of.zero(), &|| format!("{proof:?}"));
    }
    let whole: Vec<Interval> = of.variables().iter().map(|variable| variable.span).collect();
    for _ in 0..DRAWN {
        let point = draws.point(of.variables(), &whole);
        let at = of.at(&point);
        let told = || format!("{at:?} at {point:?}, against {proof:?} of {of:?}");
        let is_proved = proof.verdict < Verdict::Unknown;
        match at {
            Outcome::Found { holds, margin } => {
                let alone = Alone::of(of, &point);
                assert!(holds || !is_proved || alone.holds.is_none(), "{}", told());
                let margin = margin.map(|margin| margin.max(alone.most()));
                if let (Some(margin), Some(least)) = (margin, proof.at_least) {
                    is_no_less(margin, least, of.zero(), &told);
                }
                let tight = of.tight().filter(|_| proof.verdict == Verdict::Holds);
                let is_wide = margin.zip(tight).is_none_or(|(own, tight)| own >= tight - of.zero());
                assert!(is_wide, "{}", told());
                let place = point.first().copied().filter(|_| point.len() == 1);
                let lost = |place: f64| proof.unreachable.iter().any(|of| of[0].contains(place));
                assert!(!place.is_some_and(lost), "{}", told());
            }
            Outcome::Apart => {}
            Outcome::Undefined => assert!(!is_proved, "{}", told()),
        }
    }
}

/// Linkages are solved by other steps for a pose than for a box, so both are rounded otherwise.
const ROUNDING: f64 = 1e-12;

/// What intervals say of one pose. A margin that is evaluated differs from the exact one by what
/// rounding does to it; intervals of a pose alone hold both, those of a box the exact one.
struct Alone {
    holds: Option<bool>,
    margin: Option<Interval>,
}

impl Alone {
    fn of(of: &Mechanism<'_>, point: &[f64]) -> Self {
        let sides: Vec<Interval> = point.iter().map(|at| Interval::point(*at)).collect();
        let judged = of.judge(&sides);
        Self { holds: judged.holds, margin: judged.margin.map(|margin| margin.of.interval) }
    }

    fn most(&self) -> f64 {
        self.margin.map_or(f64::NEG_INFINITY, Interval::high)
    }
}

/// No margin is below a bound, but by rounding.
fn is_no_less(margin: f64, least: f64, zero: f64, told: &dyn Fn() -> String) {
    let room = zero + ROUNDING * margin.abs();
    assert!(margin >= least - room, "{margin} < {least}: {}", told());
}

/// What intervals say of a box is so for the poses in it.
pub(super) fn is_judged(of: &Mechanism<'_>, draws: &mut Draws) {
    for _ in 0..DRAWN {
        let place = draws.spans(of.variables());
        let judged = of.judge(&place);
        let points = [(); 2].map(|()| draws.point(of.variables(), &place));
        for point in &points {
            let at = of.at(point);
            let told = || format!("{at:?} at {point:?} in {place:?}: {judged:?} of {of:?}");
            match at {
                Outcome::Found { holds, margin } => {
                    let alone = Alone::of(of, point);
                    let agrees = |other: Option<bool>| other.is_none_or(|other| other == holds);
                    assert!(agrees(alone.holds), "{}", told());
                    assert!(agrees(judged.holds) || alone.holds.is_none(), "{}", told());
                    assert!(judged.closes != Closes::Nowhere, "{}", told());
                    if let (Some(margin), Some(own)) = (margin, alone.margin) {
                        let room = of.zero() + ROUNDING * margin.abs();
                        let wide = own.plus(Interval::new(-room, room));
                        assert!(wide.contains(margin), "{own:?} {}", told());
                    }
                    if let (Some(own), Some(judged)) = (alone.margin, &judged.margin) {
                        let meet = own.and(judged.of.interval);
                        assert!(own.is_empty() || !meet.is_empty(), "{own:?} {}", told());
                    }
                }
                Outcome::Apart => assert!(judged.closes != Closes::Everywhere, "{}", told()),
                Outcome::Undefined => assert!(!judged.defined, "{}", told()),
            }
        }
        is_as_steep(of, draws, &place, &points[0]);
    }
}

/// Along each variable the margin changes by no more and no less than its slopes allow.
fn is_as_steep(of: &Mechanism<'_>, draws: &mut Draws, place: &[Interval], from: &[f64]) {
    let judged = of.judge(place);
    let Some(margin) = &judged.margin else { return };
    let whole =
        margin.of.decoration == Decoration::Continuous && margin.of.closes == Closes::Everywhere;
    if !whole {
        return;
    }
    let known = |point: &[f64]| Alone::of(of, point).margin;
    for (variable, side) in place.iter().enumerate() {
        let mut to = from.to_vec();
        to[variable] = draws.of_variable(&of.variables()[variable], *side);
        let (Some(by), Some(a), Some(b)) = (margin.by(variable), known(from), known(&to)) else {
            continue;
        };
        let way = Interval::point(to[variable]).minus(Interval::point(from[variable]));
        let (change, most) = (b.minus(a), by.times(way));
        let meet = change.low() <= most.high() && most.low() <= change.high();
        assert!(meet, "{change:?} by {variable}, {most:?} from {from:?} to {to:?} of {of:?}");
    }
}
