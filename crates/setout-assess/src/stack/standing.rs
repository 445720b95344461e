//! The work of a stack-up.

use std::cmp::Ordering;

use setout_design::{Evaluation, Made, Mechanism, Outcome, Setting, Spread, Variable};

use super::bounds::{Asking, Extremes};
use super::likely::Likely;
use super::linear::{Linear, capable, linear};
use super::over_travel::over_travel;
use super::simulate::draw;
use super::{
    Asked, Contributor, Halved, Least, NoStack, Note, OverTravel, Rss, Simulated, Stack,
    Toleranced, Wanted, Worst,
};
use crate::states::settings;
use crate::threads::in_threads;
use crate::{Capability, Work, deviations_for, prove};

/// A mechanism in one pose, over all poses, and over all poses with every dimension off by itself.
pub(super) struct Standing<'a> {
    pub(super) of: Mechanism<'a>,
    pub(super) whole: Mechanism<'a>,
    pub(super) apart: Mechanism<'a>,
}

impl Standing<'_> {
    /// All of it.
    pub(super) fn stack(
        &self,
        evaluation: &Evaluation,
        name: &str,
        check: Option<usize>,
        asked: &Asked,
        work: &Work<'_>,
        pose: &dyn Fn(&Variable) -> Option<f64>,
    ) -> Result<Stack, NoStack> {
        let unit = self.of.unit().clone();
        let show = |base: f64| match check {
            Some(_) => unit.difference_from_base(base),
            None => unit.from_base(base),
        };
        let made = self.of.made();
        let likely: Vec<Likely> = made.iter().map(Likely::of).collect();
        let still = self.apart.posed(pose);
        let nominal = match still.at(&vec![0.0; still.variables().len()]) {
            Outcome::Found { margin: Some(nominal), .. } => nominal,
            Outcome::Found { margin: None, .. } => return Err(NoStack::NoMargin),
            Outcome::Apart | Outcome::Undefined => return Err(NoStack::NotComputed),
        };
        let wanted = wanted(evaluation, name, check);
        let straight = linear(&still, made, &likely);
        let extremes = Extremes::of(&self.of, nominal);
        let bounds = extremes.bounds(work);
        let least = check.and_then(|_| self.least(&show, work));
        // A check has to hold in all poses, so its tolerances are judged over them.
        let asking = match check {
            Some(_) => Asking::of_margin(&self.whole),
            None => Asking::of_value(&self.of, &wanted),
        };
        let first = if check.is_some() { self.axes() } else { 0 };
        let zero = self.of.zero();
        let is_outside = |value: f64, holds: bool| match check {
            Some(_) => !holds,
            None => {
                let rooms = wanted.rooms(value).into_iter().flatten();
                value.is_nan() || rooms.fold(f64::INFINITY, f64::min) < -zero
            }
        };
        let (seed, stop) = (asked.seed, work.stop);
        let mut drawn = draw(&self.of, &likely, seed, asked.samples, &is_outside, stop);
        let figures = drawn.figures(asked.coverage);
        let k = deviations_for(asked.coverage);
        let rss =
            straight.as_ref().and_then(|straight| Some((straight.mean, straight.deviation()?)));
        let rss = rss.map(|(mean, deviation)| Rss {
            mean: show(mean),
            deviation: unit.difference_from_base(deviation),
            low: show(mean - k * deviation),
            high: show(mean + k * deviation),
            outside_ppm: (straight.as_ref())
                .filter(|_| !wanted.is_any())
                .and_then(|straight| Some(straight.outside(&wanted)? * 1e6)),
        });
        let worst = match bounds {
            [Ok(low), Ok(high)] => Some(Worst {
                low: show(low.value),
                high: show(high.value),
                reached: [show(low.reached), show(high.reached)],
                at: [low.at, high.at],
            }),
            _ => None,
        };
        let simulated = figures.map(|figures| Simulated {
            mean: show(figures.mean),
            deviation: unit.difference_from_base(figures.deviation),
            low: show(figures.low),
            high: show(figures.high),
            samples: drawn.samples,
            without: drawn.without,
            outside: (!wanted.is_any() || drawn.without > 0).then(|| drawn.odds()),
            capability: (!wanted.is_any() && figures.deviation > 0.0)
                .then(|| Capability::of(wanted.low, wanted.high, figures.mean, figures.deviation)),
        });
        let all = Whole {
            standing: self,
            straight: straight.as_ref(),
            extremes: &extremes,
            asking: (!wanted.is_any()).then_some((&asking, first)),
        };
        let errors = errors(made, &likely);
        let mut contributors = in_threads(&errors, stop, |(variable, key)| {
            all.contributor(*variable, key, &wanted, k, &show, work)
        });
        contributors.sort_by(most_first);
        let over = (asked.over_travel > 0).then(|| self.over_travel(&likely, asked, work));
        let mut notes = self.notes(
            straight.as_ref(),
            worst.as_ref(),
            rss.as_ref(),
            simulated.as_ref(),
            check.is_some(),
        );
        if drawn.samples < asked.samples || stop() {
            notes.push(Note::Stopped);
        }
        Ok(Stack {
            name: name.to_owned(),
            is_margin: check.is_some(),
            nominal: show(nominal),
            pose: posed(&self.apart, pose),
            wanted: wanted.map(show),
            worst,
            rss,
            simulated,
            contributors,
            least,
            over_travel: over,
            notes,
            asked: asked.clone(),
            unit: unit.clone(),
        })
    }

    /// The least margin over all poses and tolerances; nothing where it depends on no axis, and where
    /// not all poses were looked at: those may have less.
    fn least(&self, show: &dyn Fn(f64) -> f64, work: &Work<'_>) -> Option<Least> {
        if self.axes() == 0 {
            return None;
        }
        let proof = prove(&self.whole, work);
        let margin = proof.found.filter(|_| proof.doubt.is_none())?;
        let all = settings(&self.whole, &proof.at).into_iter();
        let pose = all.filter(|setting| !setting.is_deviation).collect();
        Some(Least { margin: show(margin), pose })
    }

    /// The odds that some pose fails. `likely` is in the order of the dimensions in this pose.
    fn over_travel(&self, likely: &[Likely], asked: &Asked, work: &Work<'_>) -> OverTravel {
        let own = |made: &Made| self.of.made().iter().position(|own| own.name == made.name);
        let places = self.apart.made().iter().filter_map(own);
        let likely: Vec<Likely> = places.map(|place| likely[place].clone()).collect();
        over_travel(&self.apart, &likely, asked.seed, asked.over_travel, work)
    }

    /// How many axes it depends on. They come first among the variables over all poses.
    fn axes(&self) -> usize {
        self.whole.variables().iter().filter(|variable| !variable.is_deviation).count()
    }
}

/// Every error once, by its variable and its key.
fn errors<'l>(made: &[Made], likely: &'l [Likely]) -> Vec<(usize, &'l str)> {
    let mut errors: Vec<(usize, &str)> = Vec::new();
    for (made, likely) in made.iter().zip(likely) {
        if errors.iter().all(|(variable, _)| *variable != made.variable) {
            errors.push((made.variable, &likely.key));
        }
    }
    errors
}

/// The largest share of the variance first.
fn most_first(a: &Contributor, b: &Contributor) -> Ordering {
    let share = |of: &Contributor| of.share.unwrap_or(0.0);
    let moves = |of: &Contributor| of.moves.unwrap_or(0.0);
    (share(b).total_cmp(&share(a))).then(moves(b).total_cmp(&moves(a))).then(a.name.cmp(&b.name))
}

/// Where the axes stand.
fn posed(of: &Mechanism<'_>, pose: &dyn Fn(&Variable) -> Option<f64>) -> Vec<Setting> {
    let axes = of.variables().iter().filter_map(|variable| {
        let value = variable.in_unit(pose(variable)?);
        let (name, unit) = (variable.name.clone(), variable.unit.clone());
        Some(Setting { name, value, unit, is_deviation: false })
    });
    axes.collect()
}

/// Between what a result has to lie, in base units.
fn wanted(of: &Evaluation, name: &str, check: Option<usize>) -> Wanted {
    if check.is_some() {
        return Wanted { low: Some(0.0), high: None };
    }
    let limits = of.limits().iter().find(|limit| limit.name == name && !limit.of_travel);
    limits.map_or_else(Wanted::default, |limit| {
        Wanted { low: limit.min, high: limit.max }.map(|end| limit.unit.to_base(end))
    })
}

struct Whole<'s, 'a> {
    standing: &'s Standing<'a>,
    straight: Option<&'s Linear>,
    extremes: &'s Extremes<'a>,
    /// What is asked of the result, if anything is, and the number of the first error there.
    asking: Option<(&'s Asking<'a>, usize)>,
}

impl Whole<'_, '_> {
    fn contributor(
        &self,
        variable: usize,
        key: &str,
        wanted: &Wanted,
        k: f64,
        show: &(dyn Fn(f64) -> f64 + Sync),
        work: &Work<'_>,
    ) -> Contributor {
        let made = self.standing.of.made().iter().enumerate();
        let made = made.filter(|(_, made)| made.variable == variable);
        let unit = self.standing.of.unit();
        let error = self.straight.and_then(|straight| straight.errors.get(key).copied()?);
        let halved = |straight: &Linear| {
            let way = k * straight.deviation_with(key, 0.5)?;
            Some([show(straight.mean - way), show(straight.mean + way)])
        };
        let worst = self.extremes.with(variable, 0.5, work);
        let mut dimensions: Vec<Toleranced> =
            made.map(|(place, made)| self.toleranced(place, made)).collect();
        dimensions.sort_by(|a, b| a.name.cmp(&b.name));
        let name = match &dimensions[..] {
            [one] => one.name.clone(),
            _ => key.to_owned(),
        };
        Contributor {
            name,
            dimensions,
            moves: error.map(|error| unit.difference_from_base(error.half.abs())),
            share: self.straight.and_then(|straight| straight.share(key)),
            worst_share: self.straight.and_then(|straight| straight.worst_share(key)),
            halved: Halved {
                worst: worst.map(|ends| ends.map(show)),
                rss: self.straight.and_then(halved),
            },
            loosest_at_worst: self
                .asking
                .and_then(|(asking, first)| asking.loosest(first + variable, work)),
            loosest_by_rss: self.asking.and_then(|_| self.straight?.loosest(key, wanted, k)),
        }
    }

    fn toleranced(&self, place: usize, made: &Made) -> Toleranced {
        let unit = &made.unit;
        let shown = |base: f64| unit.difference_from_base(base);
        let slope = self.straight.and_then(|straight| straight.slopes[place]);
        let result = self.standing.of.unit();
        Toleranced {
            name: made.name.clone(),
            low: shown(made.zone.low()),
            high: shown(made.zone.high()),
            spread: if made.measured.is_some() { Spread::Normal } else { made.spread },
            slope: slope
                .map(|slope| result.difference_from_base(slope * unit.difference_to_base(1.0))),
            measured: made.measured.map(|of| [shown(of.mean), shown(of.deviation)]),
            capable: capable(made),
            shares: made.shares.as_ref().map(|(name, _)| name.clone()),
            is_opposite: made.shares.as_ref().is_some_and(|(_, is_opposite)| *is_opposite),
            unit: unit.clone(),
        }
    }
}
