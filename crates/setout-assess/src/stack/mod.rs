//! Stack-ups: how the tolerances of a chain add up in a dimension or in a check's margin.
//!
//! The worst case is a proved bound. Root sum square and the shares of the contributors come from
//! derivatives (GUM, JCGM 100:2008, 5.1.2; from memory), and take the result for a straight line in its
//! errors, and for normal. The simulation (JCGM 101:2008; from memory) takes nothing for granted but
//! how each error falls.

mod bounds;
mod likely;
mod linear;
mod note;
mod over_travel;
mod result;
mod simulate;
mod standing;

use setout_design::{Evaluation, Mechanism, Mechanisms, NotComputed, Variable};

use crate::{THREE_SIGMA, Work};
pub use note::Note;
pub use over_travel::OverTravel;
pub use result::{
    Capable, Contributor, Halved, Least, Loosest, Rss, Simulated, Stack, Toleranced, Worst,
};
use standing::Standing;

/// What a stack-up is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// How many samples are drawn.
    pub samples: u64,
    /// The seed that they are drawn by.
    pub seed: u64,
    /// Which part of the results the ends hold between them, below 1.
    pub coverage: f64,
    /// How many samples are judged over the whole travel as well; none where that is not asked.
    pub over_travel: u64,
}

/// How many samples are drawn where nobody says otherwise: what JCGM 101:2008, 7.2.2, finds to do for
/// a coverage of 95 % (from memory).
pub const SAMPLES: u64 = 1_000_000;

/// How many are judged over the whole travel where nobody says otherwise.
pub const SAMPLES_OVER_TRAVEL: u64 = 10_000;

impl Default for Asked {
    fn default() -> Self {
        Self { samples: SAMPLES, seed: 1, coverage: THREE_SIGMA, over_travel: 0 }
    }
}

/// Between what a result has to lie.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wanted {
    /// The least.
    pub low: Option<f64>,
    /// The most.
    pub high: Option<f64>,
}

impl Wanted {
    /// How far a value is inside of each end.
    pub(crate) fn rooms(&self, value: f64) -> [Option<f64>; 2] {
        [self.low.map(|low| value - low), self.high.map(|high| high - value)]
    }

    fn is_any(&self) -> bool {
        self.low.is_none() && self.high.is_none()
    }

    fn map(self, by: impl Fn(f64) -> f64) -> Self {
        Self { low: self.low.map(&by), high: self.high.map(&by) }
    }
}

/// Why there is no stack-up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoStack {
    /// There is no check and no number of this name.
    Unknown,
    /// The check compares no numbers, so it has no margin.
    NoMargin,
    /// Something that it needs has no value.
    NotComputed,
    /// No tolerance bears on it.
    NoTolerance,
}

/// Works out the stack-up of a dimension or of a check's margin, by its full name. The axes that it
/// depends on stand at rest; for another pose give [`setout_design::Design::with`] their values.
///
/// # Errors
/// [`NoStack`] says why there is none.
///
/// ```
/// use setout_assess::{Asked, Work, stack};
/// use setout_design::{Design, Memory};
/// // A closed chain: three blocks in a groove.
/// let texts = Memory::new([
///     ("design.yaml", "setout: 1\n"),
///     ("box.yaml", "dimensions:\n  \
///        groove: { value: 31 mm, tolerance: ±0.3 mm }\n  \
///        block: { value: 10 mm, tolerance: ±0.1 mm }\n  \
///        gap: groove - 3 * block\n"),
/// ]);
/// let of = Design::read(&texts).evaluate();
/// let asked = Asked { samples: 10_000, ..Asked::default() };
/// let found = stack(&of, "box.gap", &asked, &Work::default()).unwrap();
/// let worst = found.worst.unwrap();
/// assert!((worst.low - 0.4).abs() < 1e-9 && (worst.high - 1.6).abs() < 1e-9);
/// // All three blocks are one dimension, so their errors are one: 3 · 0.1.
/// assert!((found.rss.unwrap().low - (1.0 - 0.18_f64.sqrt())).abs() < 1e-9);
/// ```
pub fn stack(
    of: &Evaluation,
    name: &str,
    asked: &Asked,
    work: &Work<'_>,
) -> Result<Stack, NoStack> {
    let joint = Mechanisms::of(of);
    let apart = Mechanisms::of(of).apart();
    let check = of.checks().iter().position(|check| check.name == name);
    let whole = subject(&joint, check, name)?;
    if whole.made().is_empty() {
        return Err(NoStack::NoTolerance);
    }
    let pose = |variable: &Variable| (!variable.is_deviation).then_some(variable.rest);
    let of_all = whole.posed(&pose);
    let standing = Standing { of: of_all, whole, apart: subject(&apart, check, name)? };
    standing.stack(of, name, check, asked, work, &pose)
}

fn subject<'a>(
    of: &Mechanisms<'a>,
    check: Option<usize>,
    name: &str,
) -> Result<Mechanism<'a>, NoStack> {
    let found = match check {
        Some(check) => of.of_check(check, true),
        None => of.of_value(name),
    };
    found.map_err(
        |NotComputed| if check.is_some() { NoStack::NotComputed } else { NoStack::Unknown },
    )
}
