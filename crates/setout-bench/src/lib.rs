//! What the benchmark book is made of: a design of any size, turns and ratios, and a table of them.
//!
//! `cargo bench -p setout-bench` is the book; `docs/benchmarks.md` tells what stands in it.

pub mod made;
