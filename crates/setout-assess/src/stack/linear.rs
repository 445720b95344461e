//! Contributions to a stack-up from derivatives.

use std::collections::BTreeMap;

use setout_design::{Made, Mechanism, Outcome};

use super::bounds::FAR;
use super::likely::Likely;
use super::{Capable, Loosest, Wanted};
use crate::{Capability, beyond};

/// The result near the middle of all errors, as a straight line in each of them. In base units.
#[derive(Clone, Debug)]
pub(crate) struct Linear {
    /// The result with every error at its mean.
    pub(crate) mean: f64,
    /// How much the result changes with each dimension that is made; nothing for one by which it has
    /// no derivative there.
    pub(crate) slopes: Vec<Option<f64>>,
    /// What each error does, by its key; nothing where a derivative is missing.
    pub(crate) errors: BTreeMap<String, Option<Error>>,
}

/// What one error does to the result: that of a dimension, or one that several share.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Error {
    /// The standard deviation that it brings, with a sign.
    pub(crate) deviation: f64,
    /// How far it moves the result on either side within its tolerance, with a sign.
    pub(crate) half: f64,
}

/// Takes the derivatives of a mechanism in which every dimension is off by itself.
pub(crate) fn linear(apart: &Mechanism<'_>, made: &[Made], likely: &[Likely]) -> Option<Linear> {
    let mut point: Vec<f64> = vec![0.0; apart.variables().len()];
    let mut places = Vec::with_capacity(made.len());
    for (made, likely) in made.iter().zip(likely) {
        let own = apart.made().iter().find(|own| own.name == made.name)?;
        point[own.variable] = likely.middle;
        places.push(own.variable);
    }
    let Outcome::Found { margin: Some(mean), .. } = apart.at(&point) else { return None };
    let derivatives = apart.derivatives(&point);
    let slopes: Vec<Option<f64>> = places.iter().map(|place| derivatives[*place]).collect();
    let mut errors: BTreeMap<String, Option<Error>> = BTreeMap::new();
    for ((made, likely), slope) in made.iter().zip(likely).zip(&slopes) {
        let half = (made.zone.high() - made.zone.low()) / 2.0 * likely.half.signum();
        let sum = errors.entry(likely.key.clone()).or_insert(Some(Error::default()));
        *sum = sum.zip(*slope).map(|(sum, slope)| Error {
            deviation: sum.deviation + slope * likely.deviation(),
            half: sum.half + slope * half,
        });
    }
    Some(Linear { mean, slopes, errors })
}

impl Linear {
    /// The standard deviation of the result: the root of the sum of the squares of what each error
    /// brings. Nothing where a derivative is missing.
    pub(crate) fn deviation(&self) -> Option<f64> {
        self.with(&|_, error| error.deviation)
    }

    /// The same with one error at a multiple of itself.
    pub(crate) fn deviation_with(&self, key: &str, scale: f64) -> Option<f64> {
        self.with(&|own, error| error.deviation * if own == key { scale } else { 1.0 })
    }

    fn with(&self, of: &dyn Fn(&str, &Error) -> f64) -> Option<f64> {
        let squares = self.errors.iter().map(|(key, error)| {
            let deviation = of(key, error.as_ref()?);
            Some(deviation * deviation)
        });
        squares.sum::<Option<f64>>().map(f64::sqrt)
    }

    /// The share of one error in the variance of the result.
    pub(crate) fn share(&self, key: &str) -> Option<f64> {
        let (own, all) = (self.errors.get(key).copied()??, self.deviation()?);
        (all > 0.0).then(|| (own.deviation / all).powi(2))
    }

    /// Its share in the worst case.
    pub(crate) fn worst_share(&self, key: &str) -> Option<f64> {
        let own = self.errors.get(key).copied()??;
        let all = self.errors.values().map(|error| Some(error.as_ref()?.half.abs()));
        let all = all.sum::<Option<f64>>()?;
        (all > 0.0).then(|| own.half.abs() / all)
    }

    /// The odds of lying outside of what is wanted, were the result normal.
    pub(crate) fn outside(&self, wanted: &Wanted) -> Option<f64> {
        let deviation = self.deviation()?;
        let side = |room: f64| match () {
            () if deviation > 0.0 => beyond(room / deviation),
            () if room < 0.0 => 1.0,
            () => 0.0,
        };
        let rooms = wanted.rooms(self.mean);
        Some(rooms.into_iter().flatten().map(side).sum::<f64>().min(1.0))
    }

    /// How many times as large one error could be with so many standard deviations staying within
    /// what is wanted.
    pub(crate) fn loosest(&self, key: &str, wanted: &Wanted, deviations: f64) -> Option<Loosest> {
        let own = self.errors.get(key).copied()??.deviation.abs();
        let others = self.deviation_with(key, 0.0)?;
        let rooms = wanted.rooms(self.mean);
        let room = rooms.into_iter().flatten().reduce(f64::min)? / deviations;
        let left = room.max(0.0).powi(2) - others * others;
        Some(match () {
            () if room < 0.0 || left < 0.0 => Loosest::Never,
            () if own == 0.0 => Loosest::Any,
            () if left.sqrt() > FAR * own => Loosest::Any,
            () => Loosest::Times(left.sqrt() / own),
        })
    }
}

/// What the process of a dimension is capable of, where it was measured.
pub(crate) fn capable(made: &Made) -> Option<Capable> {
    let measured = made.measured.as_ref()?;
    let (low, high) = (made.zone.low(), made.zone.high());
    let of = Capability::of(Some(low), Some(high), measured.mean, measured.deviation);
    let beyond_low = beyond((measured.mean - low) / measured.deviation);
    let beyond_high = beyond((high - measured.mean) / measured.deviation);
    Some(Capable { of, outside_ppm: (beyond_low + beyond_high) * 1e6 })
}
