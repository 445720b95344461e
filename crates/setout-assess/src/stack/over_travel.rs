//! The odds that a design that is made by chance fails in some pose.
//!
//! Each sample is a set of errors, and whether any pose of the travel fails with them is a question
//! for a proof. Samples lie close together, so they are judged by the box around many of them: where
//! nothing in it fails they all hold; where a pose fails, those that fail in it are counted; what is
//! left is divided.

use setout_design::{Mechanism, Outcome, Setting, Verdict};
use setout_formula::Interval;

use super::likely::Likely;
use crate::proof::{Aim, prove_within};
use crate::states::settings;
use crate::{Odds, Work};

/// How many boxes a proof for many samples may look at.
const BOXES: u64 = 64;

/// The odds that some pose fails.
#[derive(Clone, Debug, PartialEq)]
pub struct OverTravel {
    /// The odds. Samples that were not decided are in the upper limit alone.
    pub odds: Odds,
    /// How many samples no proof decided.
    pub undecided: u64,
    /// The pose in which most of those fail that do, without the errors.
    pub pose: Vec<Setting>,
    /// How many of them fail in it.
    pub in_pose: u64,
}

struct Samples<'m, 'a> {
    of: &'m Mechanism<'a>,
    /// For each deviation of the mechanism, its variable and its samples.
    errors: Vec<(usize, Vec<f64>)>,
    axes: Vec<Interval>,
    failing: u64,
    undecided: u64,
    /// The poses in which some failed, and how many.
    poses: Vec<(Vec<f64>, u64)>,
}

/// Draws so many samples and judges each over the travel of all axes. `of` has every dimension off
/// by itself; `likely` says how, in the order of what it is made of.
pub(crate) fn over_travel(
    of: &Mechanism<'_>,
    likely: &[Likely],
    seed: u64,
    samples: u64,
    work: &Work<'_>,
) -> OverTravel {
    let count = usize::try_from(samples).unwrap_or_default();
    let errors = of.made().iter().zip(likely).map(|(made, likely)| {
        let mut drawn = vec![0.0; count];
        likely.draw(seed, 0, &mut drawn);
        (made.variable, drawn)
    });
    let axes = of.variables().iter().map(|variable| variable.span).collect();
    let mut all =
        Samples { of, errors: errors.collect(), axes, failing: 0, undecided: 0, poses: Vec::new() };
    let mut waiting = vec![(0..count as u32).collect::<Vec<u32>>()];
    while let Some(some) = waiting.pop() {
        if (work.stop)() {
            all.undecided += (some.len() + waiting.iter().map(Vec::len).sum::<usize>()) as u64;
            break;
        }
        all.judge(some, &mut waiting, work);
    }
    let most = all.poses.iter().max_by_key(|(_, count)| *count);
    let axes = |point: &[f64]| {
        let all = settings(of, point).into_iter();
        all.filter(|setting| !setting.is_deviation).collect()
    };
    OverTravel {
        odds: Odds::between(all.failing, all.failing + all.undecided, samples),
        undecided: all.undecided,
        pose: most.map_or_else(Vec::new, |(point, _)| axes(point)),
        in_pose: most.map_or(0, |(_, count)| *count),
    }
}

impl Samples<'_, '_> {
    fn judge(&mut self, some: Vec<u32>, waiting: &mut Vec<Vec<u32>>, work: &Work<'_>) {
        let spans = self.around(&some);
        let boxes = if some.len() == 1 { work.boxes } else { BOXES };
        let proof = prove_within(self.of, spans.clone(), Aim::VERDICT, &Work { boxes, ..*work });
        if proof.verdict < Verdict::Unknown {
            // Nothing fails in any pose that can be reached. Of one sample that tells that there is
            // such a pose, of many not that there is one with each.
            if some.len() > 1 {
                let astray = some.into_iter().filter(|sample| !self.has_value_at_rest(*sample));
                waiting.extend(astray.map(|sample| vec![sample]));
            }
            return;
        }
        let before = some.len();
        let left = match proof.verdict {
            Verdict::Fails => self.failing_in(&proof.at, some),
            _ => some,
        };
        match left.len() {
            0 => {}
            // Alone, and no proof for it.
            1 if before == 1 => self.undecided += 1,
            1 => waiting.push(left),
            _ => waiting.extend(self.halves(left, &spans, &proof.at)),
        }
    }

    fn has_value_at_rest(&self, sample: u32) -> bool {
        let mut point: Vec<f64> =
            self.of.variables().iter().map(|variable| variable.rest).collect();
        for (variable, drawn) in &self.errors {
            point[*variable] = drawn[sample as usize];
        }
        matches!(self.of.at(&point), Outcome::Found { .. })
    }

    /// The box around some samples, with all poses.
    fn around(&self, some: &[u32]) -> Vec<Interval> {
        let mut spans = self.axes.clone();
        for (variable, drawn) in &self.errors {
            let numbers = some.iter().map(|sample| drawn[*sample as usize]);
            let (low, high) = numbers
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), own| {
                    (low.min(own), high.max(own))
                });
            spans[*variable] = Interval::new(low, high);
        }
        spans
    }

    /// Counts those that fail in a pose, and gives back the others.
    fn failing_in(&mut self, at: &[f64], some: Vec<u32>) -> Vec<u32> {
        let mut point = at.to_vec();
        let (mut left, before) = (Vec::new(), some.len());
        for sample in some {
            for (variable, drawn) in &self.errors {
                point[*variable] = drawn[sample as usize];
            }
            match self.of.at(&point) {
                Outcome::Found { holds: false, .. } => {}
                _ => left.push(sample),
            }
        }
        let failing = (before - left.len()) as u64;
        self.failing += failing;
        if failing > 0 {
            let axes = |point: &[f64]| -> Vec<u64> {
                let own = self.of.variables().iter().zip(point);
                own.filter(|(own, _)| !own.is_deviation).map(|(_, value)| value.to_bits()).collect()
            };
            let pose = axes(at);
            match self.poses.iter_mut().find(|(point, _)| axes(point) == pose) {
                Some((_, count)) => *count += failing,
                None => self.poses.push((at.to_vec(), failing)),
            }
        }
        left
    }

    /// Divides samples along the error that moves the margin most within their box.
    fn halves(&self, mut some: Vec<u32>, spans: &[Interval], at: &[f64]) -> [Vec<u32>; 2] {
        let slopes = self.of.gradient(at);
        let weight = |(variable, _): &&(usize, Vec<f64>)| {
            let width = spans[*variable].width();
            (slopes[*variable].abs() * width, width)
        };
        let steepest = self.errors.iter().max_by(|a, b| {
            let (a, b) = (weight(a), weight(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        let half = some.len() / 2;
        if let Some((_, drawn)) = steepest {
            let at = |sample: &u32| drawn[*sample as usize];
            some.select_nth_unstable_by(half, |a, b| at(a).total_cmp(&at(b)));
        }
        let rest = some.split_off(half);
        [some, rest]
    }
}
