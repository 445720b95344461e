//! Random numbers that are exact to repeat: a function of a seed, a name and a sample's index.
//!
//! A tolerance that is sampled must come to the same figures tomorrow, on another machine and on
//! any number of threads. So there is no state that moves on from draw to draw: [`Stream::fill`]
//! works out the samples that it is asked for from a counter, and the same samples have the same
//! bits whatever the block, the thread and the width of the processor's vectors.
//!
//! ```
//! use setout_sample::{Spread, Stream};
//!
//! let bore = Stream::new(7, "housing.bore");
//! let spread = Spread::normal(22.0, 0.01).unwrap();
//! let mut all = [0.0; 1000];
//! bore.fill(spread, 0, &mut all);
//!
//! let mut some = [0.0; 10];
//! bore.fill(spread, 500, &mut some);
//! assert_eq!(some, all[500..510]);
//! ```
//!
//! The generator is Philox4x32 with seven rounds, and normal numbers are made by the way of Box and
//! Muller, from polynomials of our own. Nothing is fused, and nothing is left to the platform's
//! mathematics library.

mod kernels;
mod philox;
mod spread;
mod stream;

pub use spread::{BadSpread, Spread};
pub use stream::{Stream, Width};
