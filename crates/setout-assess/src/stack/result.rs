//! What a stack-up comes to.

use setout_design::{Setting, Spread};
use setout_quantity::Unit;

use super::{Asked, Note, OverTravel, Wanted};
use crate::{Capability, Odds};

/// How the tolerances of a chain add up. Everything is in `unit`.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// The full name of the dimension or check.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// Whether it is the margin of a check.
    pub is_margin: bool,
    /// With everything as wanted.
    pub nominal: f64,
    /// Where the axes stand that it depends on.
    pub pose: Vec<Setting>,
    /// Between what it has to lie: above 0 for a margin, within its limits for a dimension.
    pub wanted: Wanted,
    /// The least and the most that tolerances allow.
    pub worst: Option<Worst>,
    /// What comes of the root of the sum of squares; absent where there is no derivative.
    pub rss: Option<Rss>,
    /// What came of samples; absent where there are none with a value.
    pub simulated: Option<Simulated>,
    /// What contributes, the largest share of the variance first.
    pub contributors: Vec<Contributor>,
    /// The least margin of a check over all poses and all that tolerances allow; absent where it
    /// depends on no axis.
    pub least: Option<Least>,
    /// The odds that some pose fails, where that was asked for.
    pub over_travel: Option<OverTravel>,
    /// What has to be known beside the figures.
    pub notes: Vec<Note>,
    /// What it was asked for.
    pub asked: Asked,
}

/// Bounds of the worst case: nothing that tolerances allow lies outside of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Worst {
    /// No result is less.
    pub low: f64,
    /// No result is more.
    pub high: f64,
    /// The least and the most that were reached.
    pub reached: [f64; 2],
    /// By how much dimensions deviate where these were reached.
    pub at: [Vec<Setting>; 2],
}

/// The least margin over all poses and all that tolerances allow.
#[derive(Clone, Debug, PartialEq)]
pub struct Least {
    /// The least that was found.
    pub margin: f64,
    /// Where the axes stand there.
    pub pose: Vec<Setting>,
}

/// What comes of the root of the sum of squares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rss {
    /// With every error at its mean.
    pub mean: f64,
    /// The standard deviation.
    pub deviation: f64,
    /// The lower end of what is covered.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// How many in a million lie outside of what is wanted, were the result normal.
    pub outside_ppm: Option<f64>,
}

/// What came of samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Simulated {
    /// Their mean.
    pub mean: f64,
    /// Their standard deviation.
    pub deviation: f64,
    /// The lower end of what is covered.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// How many were drawn.
    pub samples: u64,
    /// How many of them have no value.
    pub without: u64,
    /// The odds of lying outside of what is wanted, or of having no value.
    pub outside: Option<Odds>,
    /// What that comes to as the capability of a process.
    pub capability: Option<Capability>,
}

/// One error that a result depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Contributor {
    /// The full name of the dimension, or that of an error that several of them share.
    pub name: String,
    /// The dimensions that have this error.
    pub dimensions: Vec<Toleranced>,
    /// How far it moves the result on either side within its tolerance, by derivatives.
    pub moves: Option<f64>,
    /// Its share in the variance.
    pub share: Option<f64>,
    /// Its share in the worst case.
    pub worst_share: Option<f64>,
    /// What half the tolerance would come to.
    pub halved: Halved,
    /// The loosest tolerance with the worst case within what is wanted, others as they are; of a check
    /// over the whole travel of all axes.
    pub loosest_at_worst: Option<Loosest>,
    /// The loosest one with what is covered, by the root of the sum of squares, within it; in this
    /// pose.
    pub loosest_by_rss: Option<Loosest>,
}

/// A dimension with a tolerance.
#[derive(Clone, Debug, PartialEq)]
pub struct Toleranced {
    /// Its full name.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// The lower deviation, in `unit`.
    pub low: f64,
    /// The upper deviation.
    pub high: f64,
    /// How its errors spread.
    pub spread: Spread,
    /// How much the result changes with it: the result's unit for each of `unit`.
    pub slope: Option<f64>,
    /// What its process was measured to do: the mean error and the standard deviation, in `unit`.
    pub measured: Option<[f64; 2]>,
    /// What its process is capable of, where it was measured.
    pub capable: Option<Capable>,
    /// The error that it shares with others, which need not bear on this result.
    pub shares: Option<String>,
    /// Whether it is small where others with the same error are large.
    pub is_opposite: bool,
}

/// What a measured process is capable of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capable {
    /// The figures.
    pub of: Capability,
    /// How many in a million come out beyond the tolerance.
    pub outside_ppm: f64,
}

/// The ends with one tolerance at half of itself.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Halved {
    /// Those of the worst case.
    pub worst: Option<[f64; 2]>,
    /// Those of the root of the sum of squares.
    pub rss: Option<[f64; 2]>,
}

/// How loose a tolerance could be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Loosest {
    /// So many times as large as it is.
    Times(f64),
    /// Nothing was found to stop it, up to 100 times.
    Any,
    /// Without it there is too much already.
    Never,
}
