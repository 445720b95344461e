//! What has to be known beside the figures of a stack-up.

use std::fmt;

use super::linear::{Linear, capable};
use super::standing::Standing;
use super::{Rss, Simulated, Worst};

/// What has to be known beside the figures.
#[derive(Clone, Debug, PartialEq)]
pub enum Note {
    /// Derivatives are missing by these dimensions.
    NoDerivative(Vec<String>),
    /// The deviation of the samples differs from that of the root of the sum of squares by this part.
    NotStraight(f64),
    /// The ends by the root of the sum of squares lie beyond the worst case.
    RssBeyondWorst,
    /// The bound of the worst case is farther out than anything that was reached.
    NotReached,
    /// There is no bound of the worst case.
    NoBound,
    /// The process of this dimension comes out beyond its tolerance so often in a million, so the
    /// worst case is none for it.
    Incapable(String, f64),
    /// It was stopped before it was done.
    Stopped,
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoDerivative(names) => write!(
                f,
                "the result has a corner or a jump where everything is as wanted, by {}: there is no \
                 root sum square, so go by the simulation",
                names.join(", ")
            ),
            Self::NotStraight(part) => write!(
                f,
                "the result is no straight line in its errors: root sum square is {:.0} % {} the \
                 simulation, so go by that",
                part.abs() * 100.0,
                if *part < 0.0 { "below" } else { "above" }
            ),
            Self::RssBeyondWorst => f.write_str(
                "root sum square reaches beyond the worst case: the result is not normal, so go by the \
                 simulation",
            ),
            Self::NotReached => f.write_str(
                "the bound of the worst case is proved, and lies beyond what was found to be reached",
            ),
            Self::NoBound => f.write_str(
                "there is no bound of the worst case: within the tolerances something has no value",
            ),
            Self::Incapable(name, ppm) => write!(
                f,
                "`{name}` was measured to come out beyond its tolerance {ppm:.0} times in a million: the \
                 worst case does not hold for those"
            ),
            Self::Stopped => f.write_str("it was stopped: these figures are of what was done, and contributors that were not \
                 reached are missing"),
        }
    }
}

/// A process whose dimensions lie beyond their tolerance more often than this, in a million, is told
/// of: what three standard deviations leave out.
const INCAPABLE: f64 = 2700.0;

impl Standing<'_> {
    /// What has to be known beside the figures.
    pub(super) fn notes(
        &self,
        straight: Option<&Linear>,
        worst: Option<&Worst>,
        rss: Option<&Rss>,
        simulated: Option<&Simulated>,
        is_margin: bool,
    ) -> Vec<Note> {
        /// What differs by less is not told.
        const NEAR: f64 = 0.02;
        let mut notes = Vec::new();
        let made = self.of.made();
        let missing = made
            .iter()
            .enumerate()
            .filter(|(place, _)| straight.is_none_or(|straight| straight.slopes[*place].is_none()));
        let mut missing: Vec<String> = missing.map(|(_, made)| made.name.clone()).collect();
        missing.sort();
        if !missing.is_empty() {
            notes.push(Note::NoDerivative(missing));
        }
        if let (Some(rss), Some(simulated)) = (rss, simulated) {
            let part = rss.deviation / simulated.deviation - 1.0;
            // What chance alone does to a standard deviation, three times over.
            let chance = 3.0 / (2.0 * simulated.samples as f64).sqrt();
            if part.abs() > NEAR.max(chance) {
                notes.push(Note::NotStraight(part));
            }
        }
        if let (Some(rss), Some(worst)) = (rss, worst) {
            let dust = 1e-9 * (worst.high - worst.low);
            if rss.low < worst.low - dust || rss.high > worst.high + dust {
                notes.push(Note::RssBeyondWorst);
            }
        }
        match worst {
            None => notes.push(Note::NoBound),
            Some(worst) => {
                let width = worst.high - worst.low;
                let [low, high] = worst.reached;
                // Nobody asks how large a margin can get.
                let is_high_far = !is_margin && worst.high - high > 1e-3 * width;
                if low - worst.low > 1e-3 * width || is_high_far {
                    notes.push(Note::NotReached);
                }
            }
        }
        for made in made {
            let often = capable(made).filter(|of| of.outside_ppm > INCAPABLE);
            notes.extend(often.map(|of| Note::Incapable(made.name.clone(), of.outside_ppm)));
        }
        notes
    }
}
