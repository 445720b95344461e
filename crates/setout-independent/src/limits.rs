//! How much the second engine computes.

/// How many expressions are computed for a design: some seconds' work. One formula needs one, and
/// one more for every comparison and every cell of a column. What is beyond is not repeated, and
/// that is said.
pub const MOST_WORK: u64 = 5_000_000;
