//! What happens when the mechanism moves and parts come out a little large or small. Pure: no
//! clock, no terminal, no randomness.
//!
//! At rest every check has one margin. Over the travel of its axes, and over all that tolerances
//! allow, it has as many as there are poses: [`prove`] finds the least of them, with a bound that
//! no pose can be below, by branch and bound over intervals. [`assess`] does so for every check
//! and limit of a design.
//!
//! ```
//! use setout_assess::{Work, assess};
//! use setout_design::{Design, How, Memory, Verdict};
//! let texts = Memory::new([
//!     ("design.yaml", "setout: 1\n"),
//!     ("jaw.yaml", "dimensions:\n  \
//!        opening: { value: 0 deg, travel: [0 deg, 28 deg] }\n  \
//!        drop: 50 mm * sin(opening)\n\
//!      checks:\n  clear: { require: drop <= 20 mm, why: the chin meets the frame }\n"),
//! ]);
//! let rest = Design::read(&texts).evaluate();
//! assert_eq!(rest.checks()[0].verdict, Verdict::Holds);
//! let all = assess(&rest, &Work::default());
//! let travel = all.checks()[0].travel.clone().unwrap();
//! assert_eq!((travel.verdict, travel.how), (Verdict::Fails, How::Proved));
//! assert_eq!(travel.proof.unwrap().at[0].value, 28.0);
//! ```

mod headroom;
pub mod limits;
mod mend;
mod odds;
mod proof;
mod stack;
mod states;
mod threads;
mod work;

pub use headroom::{End, Headroom, NoHeadroom, headroom, headrooms};
pub use mend::{Move, mends};
pub use odds::{CONFIDENCE, Capability, Odds, THREE_SIGMA, beyond, deviations_for};
pub use proof::{Doubt, Proof, prove};
pub use stack::{
    Asked, Capable, Contributor, Halved, Least, Loosest, NoStack, Note, OverTravel, Rss, SAMPLES,
    SAMPLES_OVER_TRAVEL, Simulated, Stack, Toleranced, Wanted, Worst, stack,
};
pub use states::{assess, state};
pub use work::{BOXES, Progress, Work};
