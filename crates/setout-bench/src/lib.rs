//! What the benchmark book is made of: a design of any size, turns and ratios, and a table of them.
//!
//! `cargo bench -p setout-bench` is the book; `docs/benchmarks.md` tells what stands in it.

pub mod arm;
pub mod figure;
pub mod machine;
pub mod made;
pub mod page;
pub mod programs;
pub mod turns;

pub use figure::{Figure, Goal};
pub use turns::{Ratio, Times, by_turns, by_turns_at_once, passed, worked};
