//! How the error of a dimension is likely to fall.

use setout_design::{Made, Spread as Named};
use setout_sample::{Spread, Stream};

/// The error of one dimension: a middle, and the way from there that a draw says.
#[derive(Clone, Debug)]
pub(crate) struct Likely {
    /// The mean error, in base units.
    pub(crate) middle: f64,
    /// What a draw of 1 adds to it: half the tolerance, or three measured standard deviations; with
    /// the sign that a shared error has for this dimension.
    pub(crate) half: f64,
    spread: Named,
    /// What the draws are keyed by: the dimension, or the error that several share.
    pub(crate) key: String,
}

impl Likely {
    pub(crate) fn of(made: &Made) -> Self {
        let (low, high) = (made.zone.low(), made.zone.high());
        let is_opposite = made.shares.as_ref().is_some_and(|(_, is_opposite)| *is_opposite);
        let (middle, half, spread) = match &made.measured {
            Some(measured) => (measured.mean, 3.0 * measured.deviation, Named::Normal),
            None => (low + (high - low) / 2.0, (high - low) / 2.0, made.spread),
        };
        let key = made.shares.as_ref().map_or(&made.name, |(name, _)| name).clone();
        Self { middle, half: if is_opposite { -half } else { half }, spread, key }
    }

    /// The standard deviation, in base units, with the sign of `half`.
    pub(crate) fn deviation(&self) -> f64 {
        match self.spread {
            Named::Normal => self.half / 3.0,
            Named::Uniform => self.half / 3.0_f64.sqrt(),
            Named::Triangular => self.half / 6.0_f64.sqrt(),
        }
    }

    /// Draws the samples from `start` on, in base units.
    pub(crate) fn draw(&self, seed: u64, start: u64, samples: &mut [f64]) {
        let spread = match self.spread {
            Named::Normal => Spread::normal(0.0, 1.0 / 3.0),
            Named::Uniform => Spread::uniform(-1.0, 1.0),
            Named::Triangular => Spread::triangular(-1.0, 0.0, 1.0),
        };
        match spread {
            Ok(spread) => Stream::new(seed, &self.key).fill(spread, start, samples),
            Err(_) => samples.fill(0.0),
        }
        for sample in samples {
            *sample = self.middle + self.half * *sample;
        }
    }
}
