//! Many of a design, made by chance.

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use setout_design::Mechanism;
use setout_formula::Samples;

use super::likely::Likely;
use crate::Odds;

/// So many samples are worked on at a time.
const BLOCK: usize = 1024;

/// Rows that are whole pages long lie at the same place of each: a processor then takes a number that
/// is read for one that was just written, and waits.
const APART: usize = 40;

/// What came of many samples. Numbers are in base units.
#[derive(Debug)]
pub(crate) struct Drawn {
    /// Those that there are, in order of the samples.
    values: Vec<f64>,
    /// How many samples were drawn.
    pub(crate) samples: u64,
    /// How many lie outside of what is wanted; those without a value among them.
    outside: u64,
    /// How many have no value.
    pub(crate) without: u64,
}

/// Mean, standard deviation, and the ends of the middle part that was asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Figures {
    pub(crate) mean: f64,
    pub(crate) deviation: f64,
    pub(crate) low: f64,
    pub(crate) high: f64,
}

/// Draws samples of a mechanism that has no axis left. `is_outside` is asked about a value and
/// whether the requirement holds.
pub(crate) fn draw(
    of: &Mechanism<'_>,
    likely: &[Likely],
    seed: u64,
    samples: u64,
    is_outside: &(dyn Fn(f64, bool) -> bool + Sync),
    stop: &(dyn Fn() -> bool + Sync),
) -> Drawn {
    let mut values = vec![f64::NAN; usize::try_from(samples).unwrap_or_default()];
    let (outside, done) = (AtomicU64::new(0), AtomicU64::new(0));
    let chunks = Mutex::new(values.chunks_mut(BLOCK).enumerate());
    let next = || if stop() { None } else { chunks.lock().ok()?.next() };
    let some = || {
        let mut blocks = of.blocks();
        let mut drawn = vec![[0.0; BLOCK + APART]; likely.len()];
        let mut holds = [false; BLOCK];
        let axes = vec![0.0; of.variables().len()];
        while let Some((index, values)) = next() {
            let count = values.len();
            for (likely, drawn) in likely.iter().zip(&mut drawn) {
                likely.draw(seed, (index * BLOCK) as u64, &mut drawn[..count]);
            }
            let deviations: Vec<Samples<'_>> =
                drawn.iter().map(|drawn| Samples::Each(&drawn[..count])).collect();
            blocks.run(&axes, &deviations, values, &mut holds[..count]);
            let found = values.iter().zip(&holds);
            let found = found.filter(|(value, holds)| is_outside(**value, **holds)).count();
            outside.fetch_add(found as u64, Ordering::Relaxed);
            done.fetch_add(count as u64, Ordering::Relaxed);
        }
    };
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let threads = threads.min(values_in_chunks(samples));
    std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(some)).collect();
        some();
        for other in others {
            if let Err(panic) = other.join() {
                std::panic::resume_unwind(panic);
            }
        }
    });
    // Chunks are handed out in order, and each that was handed out was finished.
    let samples = done.into_inner();
    values.truncate(usize::try_from(samples).unwrap_or_default());
    values.retain(|value| !value.is_nan());
    let without = samples - values.len() as u64;
    Drawn { values, samples, outside: outside.into_inner(), without }
}

fn values_in_chunks(samples: u64) -> usize {
    usize::try_from(samples).unwrap_or_default().div_ceil(BLOCK).max(1)
}

impl Drawn {
    /// How many lie outside of what is wanted.
    pub(crate) fn odds(&self) -> Odds {
        Odds::of(self.outside, self.samples)
    }

    /// The figures; nothing where less than two have a value. The middle part is the one with as many
    /// samples below as above it, as in JCGM 101:2008, 7.7 (from memory).
    pub(crate) fn figures(&mut self, coverage: f64) -> Option<Figures> {
        let count = self.values.len();
        if count < 2 {
            return None;
        }
        let from = self.values[0];
        let mean = from + self.values.iter().map(|value| value - from).sum::<f64>() / count as f64;
        let squares: f64 = self.values.iter().map(|value| (value - mean) * (value - mean)).sum();
        let deviation = (squares / (count - 1) as f64).sqrt();
        let within = ((coverage * count as f64).round() as usize).min(count - 1);
        let first = (count - within) / 2;
        let mut at = |place: usize| {
            *self.values.select_nth_unstable_by(place.min(count - 1), f64::total_cmp).1
        };
        let (low, high) = (at(first.saturating_sub(1)), at(first + within - 1));
        Some(Figures { mean, deviation, low, high })
    }
}
