//! Branch and bound: the least margin of a mechanism over all poses.
//!
//! The span of the axes and deviations is a box. Over a box the margin has a lower bound, from
//! intervals and from the mean value form; where it only rises or falls with a variable, the least
//! margin lies on that face, and the box is as thin as the face. A box that could still hold
//! a margin below the least that was found is halved along the variable with the largest slope
//! times width, the box with the lowest bound first. Every margin that is found is that of a pose
//! evaluated by itself.
//!
//! The mean value form and the monotonicity test are as in R. E. Moore, R. B. Kearfott,
//! M. J. Cloud, *Introduction to Interval Analysis* (SIAM, 2009), chapters 6 and 11 (from memory).

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use setout_design::{Mechanism, Outcome, Verdict};
use setout_formula::{Closes, Decoration, Interval, Judged};

use crate::limits::MOST_WORK;
use crate::{Progress, Work};

/// How closely the least margin is found: to this part of itself.
const CLOSE: f64 = 1e-3;

/// After so many boxes it is enough to know on which side of nothing, and of what is asked for, every
/// margin lies.
const CLOSELY: u64 = 128;

/// How many boxes are looked at after a pose was found that fails, to find the worst one.
const AFTER_FAILING: u64 = 500;

/// How closely the end of a span is found in which a linkage does not close, as a part of the axis.
const EDGE: f64 = 1e-5;

/// No side of a box is halved below this part of the whole span.
const THINNEST: f64 = 1e-12;

/// What was found of a mechanism. Margins are in base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// The verdict over all poses that can be reached.
    pub verdict: Verdict,
    /// No pose has less margin than this; absent where there is no bound, or no margin.
    pub at_least: Option<f64>,
    /// The least margin that a pose was found to have.
    pub found: Option<f64>,
    /// That pose, or one that fails or has no value: a number for every variable.
    pub at: Vec<f64>,
    /// How many boxes were looked at.
    pub boxes: u64,
    /// How many were left undecided.
    pub left: usize,
    /// Boxes of variables in which a linkage closes nowhere. With one variable each is such a span as
    /// a whole; with several there is one box, and all poses that cannot be reached lie in it.
    pub unreachable: Vec<Vec<Interval>>,
    /// Why the verdict is unknown.
    pub doubt: Option<Doubt>,
}

/// Why a verdict is unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// The work that was allowed did not do.
    Work,
    /// There is a pose without a value.
    Undefined,
    /// Boxes that could not be halved any further stayed undecided.
    Fine,
    /// No pose can be reached.
    Unreachable,
    /// Somebody stopped it.
    Stopped,
}

struct Open {
    /// No margin in the box is less.
    low: f64,
    place: Vec<Interval>,
    /// How steep the margin may be along each variable, if that is known.
    slopes: Option<Vec<f64>>,
    holds: Option<bool>,
    closes: Closes,
}

impl PartialEq for Open {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Open {}

impl PartialOrd for Open {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Open {
    /// The lowest bound is the greatest: it comes out of the heap first.
    fn cmp(&self, other: &Self) -> Ordering {
        other.low.total_cmp(&self.low)
    }
}

/// What a proof is for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Aim {
    /// How closely the least margin is found: to this part of itself.
    pub(crate) closely: f64,
    /// After so many boxes a settled verdict is enough.
    pub(crate) enough: u64,
    /// How many boxes are looked at after a pose was found that fails.
    pub(crate) after_failing: u64,
}

impl Aim {
    /// The least margin, and the pose that has it.
    pub(crate) const LEAST: Self =
        Self { closely: CLOSE, enough: CLOSELY, after_failing: AFTER_FAILING };
    /// A bound as near to the least margin as it can be had.
    pub(crate) const BOUND: Self = Self { closely: 1e-4, enough: 500, after_failing: 0 };
    /// Whether it holds, and nothing else.
    pub(crate) const VERDICT: Self = Self { closely: CLOSE, enough: 0, after_failing: 0 };
}

struct Search<'m, 'a> {
    of: &'m Mechanism<'a>,
    aim: Aim,
    work: &'m Work<'m>,
    spans: Vec<Interval>,
    open: BinaryHeap<Open>,
    found: Option<f64>,
    at: Vec<f64>,
    fails: bool,
    undefined: Option<Vec<f64>>,
    reached: bool,
    at_least: f64,
    has_margin: bool,
    unreachable: Vec<Vec<Interval>>,
    boxes: u64,
    left: usize,
}

/// So many boxes every proof may look at.
const FEWEST: u64 = 16;

/// Proves or refutes a mechanism's requirement over the whole span of its variables, looking at no
/// more boxes than `work` allows; of one that depends on thousands of values at fewer, and at least at
/// 16. Stopped early, it gives what is known by then.
pub fn prove(of: &Mechanism<'_>, work: &Work<'_>) -> Proof {
    let spans: Vec<Interval> = of.variables().iter().map(|variable| variable.span).collect();
    prove_within(of, spans, Aim::LEAST, work)
}

/// The same within a box of the variables.
pub(crate) fn prove_within(
    of: &Mechanism<'_>,
    spans: Vec<Interval>,
    aim: Aim,
    work: &Work<'_>,
) -> Proof {
    let inside = |(variable, span): (&setout_design::Variable, &Interval)| {
        variable.rest.clamp(span.low(), span.high())
    };
    let mut search = Search {
        of,
        aim,
        at: of.variables().iter().zip(&spans).map(inside).collect(),
        work,
        spans: spans.clone(),
        open: BinaryHeap::new(),
        found: None,
        fails: false,
        undefined: None,
        reached: false,
        at_least: f64::INFINITY,
        has_margin: true,
        unreachable: Vec::new(),
        boxes: 0,
        left: 0,
    };
    search.try_point(&search.at.clone());
    let most_boxes = work.boxes.min((MOST_WORK / of.cost()).max(FEWEST));
    let doubt = search.run(spans, most_boxes);
    search.done(doubt)
}

impl Search<'_, '_> {
    fn run(&mut self, spans: Vec<Interval>, most_boxes: u64) -> Option<Doubt> {
        if self.work.is_stopped() {
            (self.at_least, self.left) = (f64::NEG_INFINITY, 1);
            return Some(Doubt::Stopped);
        }
        self.look_at(spans);
        let mut failed_at = None;
        while let Some(open) = self.open.pop() {
            if self.is_settled(&open) {
                self.at_least = self.at_least.min(open.low);
                continue;
            }
            if self.fails {
                let since = *failed_at.get_or_insert(self.boxes);
                if self.boxes - since >= self.aim.after_failing {
                    self.leave(&open);
                    return None;
                }
            }
            if self.undefined.is_some() && self.boxes >= AFTER_FAILING {
                self.leave(&open);
                return Some(Doubt::Undefined);
            }
            if self.boxes >= most_boxes || self.work.is_stopped() {
                self.leave(&open);
                return Some(if self.boxes >= most_boxes { Doubt::Work } else { Doubt::Stopped });
            }
            match self.side_to_halve(&open) {
                Some(side) => {
                    let halves = self.halves(open.place[side], side);
                    for half in halves.into_iter().filter(|half| !half.is_empty()) {
                        let mut place = open.place.clone();
                        place[side] = half;
                        self.look_at(place);
                    }
                }
                None => {
                    // What spoils it may be an end, where a formula has no value.
                    let ends: [fn(&Interval) -> f64; 2] = [|side| side.low(), |side| side.high()];
                    for end in ends {
                        self.try_point(&open.place.iter().map(end).collect::<Vec<f64>>());
                    }
                    self.at_least = self.at_least.min(open.low);
                    self.left += usize::from(open.holds != Some(true));
                }
            }
        }
        None
    }

    /// Leaves a box and all others undecided.
    fn leave(&mut self, open: &Open) {
        self.at_least = self.at_least.min(open.low);
        let rest = self.open.drain().filter(|open| open.holds != Some(true)).count();
        self.left += rest + usize::from(open.holds != Some(true));
    }

    /// Whether nothing in a box can matter any more.
    fn is_settled(&self, open: &Open) -> bool {
        // Where a linkage stops closing is told as a span, so it is looked for.
        if let (Closes::Perhaps, [side]) = (open.closes, &open.place[..])
            && side.width() > EDGE * self.spans[0].width()
        {
            return false;
        }
        let zero = self.of.zero();
        let is_verdict_enough = self.aim.enough == 0;
        let near = |found: f64| found - (self.aim.closely * found.abs()).max(zero);
        let close = match self.found {
            Some(found) => open.low >= near(found),
            None => !self.has_margin,
        };
        let decided = open.holds == Some(true) || self.fails;
        // A margin near what is asked for has to be known on which side of it.
        let tight = is_verdict_enough
            || self.of.tight().is_none_or(|tight| {
                open.low >= tight - zero || self.found.is_some_and(|found| found < tight - zero)
            });
        (close || self.boxes >= self.aim.enough) && decided && tight
    }

    fn look_at(&mut self, place: Vec<Interval>) {
        self.boxes += 1;
        self.work.tell(Progress::Box);
        let mut judged = self.of.judge_moving(&place);
        if judged.closes == Closes::Nowhere {
            self.unreachable.push(place);
            return;
        }
        let (thin, is_thin) = self.on_faces(&place, &judged);
        let place = if is_thin {
            let again = self.of.judge_moving(&thin);
            let low = |of: &Judged| of.margin.as_ref().map(|margin| margin.of.interval.low());
            let holds = judged.holds.filter(|holds| *holds).or(again.holds);
            // Both bound the least margin of the box.
            if low(&again) >= low(&judged) {
                judged = again;
            }
            judged.holds = holds;
            thin
        } else {
            place
        };
        let point: Vec<f64> =
            place
                .iter()
                .zip(self.of.variables())
                .map(|(side, variable)| {
                    if variable.whole {
                        side.middle().floor().max(side.low())
                    } else {
                        side.middle()
                    }
                })
                .collect();
        self.try_point(&point);
        let low = match (&judged.margin, judged.defined) {
            (Some(margin), true) => margin.of.interval.low(),
            (None, true) if judged.holds == Some(true) => {
                self.has_margin = false;
                return;
            }
            _ => f64::NEG_INFINITY,
        };
        self.has_margin &= judged.margin.is_some();
        let holds = judged.holds.filter(|_| judged.defined);
        let slopes = Self::slopes(&judged, point.len());
        self.open.push(Open { low, place, slopes, holds, closes: judged.closes });
    }

    /// How much the margin may change along each variable for each unit of it; absent where there
    /// is no bound.
    fn slopes(judged: &Judged, variables: usize) -> Option<Vec<f64>> {
        let by = |variable: usize| {
            let by = judged.margin.as_ref()?.by(variable)?;
            by.is_bounded().then(|| by.magnitude())
        };
        (0..variables).map(by).collect()
    }

    /// The face on which the margin is least, for every variable with which it only rises or only
    /// falls.
    fn on_faces(&self, place: &[Interval], judged: &Judged) -> (Vec<Interval>, bool) {
        let mut thin = place.to_vec();
        let mut is_thin = false;
        let Some(margin) = &judged.margin else { return (thin, false) };
        let smooth = margin.of.decoration == Decoration::Continuous
            && margin.of.closes == Closes::Everywhere;
        if !smooth {
            return (thin, false);
        }
        for (variable, side) in thin.iter_mut().enumerate() {
            let Some(slope) = margin.by(variable) else { return (place.to_vec(), false) };
            let end = match () {
                () if side.only().is_some() => continue,
                () if slope.low() >= 0.0 => side.low(),
                () if slope.high() <= 0.0 => side.high(),
                () => continue,
            };
            *side = Interval::point(end);
            is_thin = true;
        }
        (thin, is_thin)
    }

    fn try_point(&mut self, point: &[f64]) {
        match self.of.at(point) {
            Outcome::Found { holds, margin } => {
                self.reached = true;
                let is_less = match (margin, self.found) {
                    (Some(margin), Some(found)) => margin < found,
                    (margin, None) => margin.is_some(),
                    (None, Some(_)) => false,
                };
                // A pose that fails without a margin is as bad as one can be.
                if is_less || (!holds && !self.fails) {
                    self.at = point.to_vec();
                }
                if is_less {
                    self.found = margin;
                }
                self.fails |= !holds;
            }
            Outcome::Apart => {}
            Outcome::Undefined => {
                self.undefined.get_or_insert_with(|| point.to_vec());
            }
        }
    }

    /// The side along which halving promises most; none where no side can be halved.
    fn side_to_halve(&self, open: &Open) -> Option<usize> {
        let width = |side: usize| {
            let (own, whole) = (open.place[side], self.spans[side]);
            let part = own.width() / whole.width();
            let least =
                if self.of.variables()[side].whole { 1.0 / whole.width() } else { THINNEST };
            let middle = own.middle();
            let can = part >= least && own.low() < middle && middle < own.high();
            can.then_some(part)
        };
        let sides = (0..open.place.len()).filter_map(|side| Some((side, width(side)?)));
        let sides: Vec<(usize, f64)> = sides.collect();
        let widest = |sides: &[(usize, f64)], weight: &dyn Fn(usize) -> f64| {
            let size = |(side, part): &(usize, f64)| part * weight(*side);
            sides.iter().max_by(|a, b| size(a).total_cmp(&size(b)).then(b.0.cmp(&a.0))).copied()
        };
        // Where nothing bounds the slopes, a box is too large for the formulas: that is mostly a
        // matter of axes, which go much farther than tolerances.
        let is_axis =
            |side: usize| if self.of.variables()[side].is_deviation { 1.0 / 64.0 } else { 1.0 };
        let (by_part, part) = widest(&sides, &is_axis)?;
        let Some(slopes) = &open.slopes else { return Some(by_part) };
        let change = |side: usize| slopes[side] * self.spans[side].width();
        let (steepest, own) = widest(&sides, &change)?;
        // A side that was halved over and over while another stayed whole helps no more.
        let none = change(steepest) == 0.0 || own < part / 4096.0;
        Some(if none { by_part } else { steepest })
    }

    fn halves(&self, side: Interval, variable: usize) -> [Interval; 2] {
        if !self.of.variables()[variable].whole {
            return side.halves();
        }
        let below = side.middle().floor().max(side.low().ceil());
        [Interval::new(side.low().ceil(), below), Interval::new(below + 1.0, side.high().floor())]
    }

    fn done(mut self, doubt: Option<Doubt>) -> Proof {
        let (found, zero) = (self.found, self.of.zero());
        if let (false, Some(point)) = (self.fails, &self.undefined) {
            self.at = point.clone();
        }
        let doubt = match () {
            () if self.fails => None,
            () if self.undefined.is_some() => Some(Doubt::Undefined),
            () if doubt.is_some() && self.left > 0 => doubt,
            () if self.left > 0 => Some(Doubt::Fine),
            () if !self.reached => Some(Doubt::Unreachable),
            () => None,
        };
        // Bounds are of exact margins. One that was evaluated may be less by its rounding, and what
        // was found is not more than found.
        let bound = self.at_least.min(found.unwrap_or(f64::INFINITY));
        let at_least = (bound.is_finite() && self.has_margin).then_some(bound);
        let is_tight = self.of.tight().is_some_and(|tight| {
            // Not shown to have the margin that was asked for.
            let least = at_least.or(found).unwrap_or(f64::INFINITY);
            found.is_some_and(|found| found < tight - zero) || least < tight - zero
        });
        let verdict = match () {
            () if self.fails => Verdict::Fails,
            () if doubt.is_some() => Verdict::Unknown,
            () if is_tight => Verdict::Tight,
            () => Verdict::Holds,
        };
        Proof {
            verdict,
            at_least,
            found,
            at: self.at,
            boxes: self.boxes,
            left: self.left,
            unreachable: put_together(self.unreachable),
            doubt,
        }
    }
}

/// Boxes that touch as one; with several variables all of them as one.
fn put_together(mut boxes: Vec<Vec<Interval>>) -> Vec<Vec<Interval>> {
    boxes.sort_by(|a, b| a[0].low().total_cmp(&b[0].low()));
    let mut found: Vec<Vec<Interval>> = Vec::new();
    for own in boxes {
        match found.last_mut() {
            Some(last) if own.len() > 1 || own[0].low() <= last[0].high() => {
                last.iter_mut().zip(&own).for_each(|(a, b)| *a = a.hull(*b));
            }
            _ => found.push(own),
        }
    }
    found
}
