//! Proved bounds of a stack-up.

use setout_design::{Mechanism, Setting, Verdict};
use setout_formula::Interval;

use super::{Loosest, Wanted};
use crate::proof::{Aim, Doubt, prove_within};
use crate::states::settings;
use crate::{Proof, Work};

/// How many boxes a proof may look at that is one of many.
const BOXES: u64 = 100;

/// How closely the loosest tolerance is found, as a part of itself.
const CLOSE: f64 = 1e-3;

/// Less than this part of a tolerance is none.
const LEAST: f64 = 1e-6;

/// What rounding outwards leaves on a bound, as a part of its size.
const DUST: f64 = 64.0 * f64::EPSILON;

/// So many times a tolerance is tried at most.
pub(super) const FAR: f64 = 100.0;

/// A bound that nothing in the box is beyond, and what was reached. In base units.
#[derive(Clone, Debug)]
pub(crate) struct Bound {
    pub(crate) value: f64,
    pub(crate) reached: f64,
    pub(crate) at: Vec<Setting>,
}

/// The mechanism of a result in both directions, and the box of its errors.
#[derive(Debug)]
pub(crate) struct Extremes<'a> {
    from: f64,
    ways: [Mechanism<'a>; 2],
    spans: Vec<Interval>,
}

impl<'a> Extremes<'a> {
    /// Of a mechanism that is `from` when everything is as wanted.
    pub(crate) fn of(mechanism: &Mechanism<'a>, from: f64) -> Self {
        Self {
            from,
            ways: [1.0, -1.0].map(|sign| mechanism.away(from, sign)),
            spans: mechanism.variables().iter().map(|variable| variable.span).collect(),
        }
    }

    /// The bounds below and above; the reason where there is none.
    pub(crate) fn bounds(&self, work: &Work<'_>) -> [Result<Bound, Doubt>; 2] {
        self.within(self.spans.clone(), work.boxes, work)
    }

    fn within(
        &self,
        spans: Vec<Interval>,
        boxes: u64,
        work: &Work<'_>,
    ) -> [Result<Bound, Doubt>; 2] {
        let bound = |way: usize| {
            let of = &self.ways[way];
            let proof = prove_within(of, spans.clone(), Aim::BOUND, &Work { boxes, ..*work });
            self.bound(way, &proof).ok_or(proof.doubt.unwrap_or(Doubt::Work))
        };
        [bound(0), bound(1)]
    }

    fn bound(&self, way: usize, proof: &Proof) -> Option<Bound> {
        let (of, sign) = (&self.ways[way], if way == 0 { 1.0 } else { -1.0 });
        if proof.doubt == Some(Doubt::Undefined) {
            return None;
        }
        let (least, found) = (proof.at_least?, proof.found?);
        // Rounding outwards leaves dust on bounds that are exact. A bound that is beyond what was
        // found by more than dust is kept, however close.
        let dust = of.zero().min(DUST * (self.from.abs() + found.abs()));
        let least = if found - least <= dust { found } else { least };
        Some(Bound {
            value: self.from + sign * least,
            reached: self.from + sign * found,
            at: settings(of, &proof.at),
        })
    }

    /// The bounds with one error at a multiple of itself.
    pub(crate) fn with(&self, variable: usize, scale: f64, work: &Work<'_>) -> Option<[f64; 2]> {
        let spans = scaled(self.spans.clone(), variable, scale);
        let [low, high] = self.within(spans, BOXES, work);
        Some([low.ok()?.value, high.ok()?.value])
    }
}

/// What is asked of a result, and the box of its errors and poses.
#[derive(Debug)]
pub(crate) struct Asking<'a> {
    all: Vec<Mechanism<'a>>,
}

impl<'a> Asking<'a> {
    /// Of a margin, which must not be negative.
    pub(crate) fn of_margin(mechanism: &Mechanism<'a>) -> Self {
        Self { all: vec![mechanism.clone()] }
    }

    /// Of a value, which must lie within what is wanted.
    pub(crate) fn of_value(mechanism: &Mechanism<'a>, wanted: &Wanted) -> Self {
        let low = wanted.low.map(|low| mechanism.beyond(low, 1.0));
        let high = wanted.high.map(|high| mechanism.beyond(high, -1.0));
        Self { all: low.into_iter().chain(high).collect() }
    }

    /// How many times as large one error could be with everything that is asked holding for all that
    /// tolerances allow; nothing where the work was stopped before that was known.
    pub(crate) fn loosest(&self, variable: usize, work: &Work<'_>) -> Option<Loosest> {
        let found = self.searched(variable, work);
        // A proof that was cut short holds nowhere.
        (!work.is_stopped()).then_some(found)
    }

    fn searched(&self, variable: usize, work: &Work<'_>) -> Loosest {
        let holds = |scale: f64| {
            self.all.iter().all(|of| {
                let spans = of.variables().iter().map(|variable| variable.span).collect();
                let spans = scaled(spans, variable, scale);
                let boxes = work.boxes.min(BOXES);
                prove_within(of, spans, Aim::VERDICT, &Work { boxes, ..*work }).verdict
                    < Verdict::Unknown
            })
        };
        if !holds(0.0) {
            return Loosest::Never;
        }
        if holds(FAR) {
            return Loosest::Any;
        }
        let (mut good, mut bad) = (0.0, FAR);
        for scale in [1.0, 2.0, 4.0, 10.0, 30.0] {
            if holds(scale) {
                good = scale;
            } else {
                bad = scale;
                break;
            }
        }
        while bad - good > CLOSE * bad && bad > LEAST && !(work.stop)() {
            let middle = (good + bad) / 2.0;
            if holds(middle) { good = middle } else { bad = middle }
        }
        Loosest::Times(good)
    }
}

/// A box with the span of one variable at a multiple of itself, about its middle.
fn scaled(mut spans: Vec<Interval>, variable: usize, scale: f64) -> Vec<Interval> {
    let own = spans[variable];
    let (middle, half) = (own.middle(), own.width() / 2.0 * scale);
    spans[variable] = Interval::new(middle - half, middle + half);
    spans
}
