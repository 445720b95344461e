//! How much a design may hold. Every limit gives `too-large`, never a hang.

/// The most tables of a design.
pub const MOST_TABLES: usize = 10_000;
/// The most values (dimensions, cells, costs) of a design.
pub const MOST_VALUES: usize = 4_000_000;
/// The longest name.
pub const LONGEST_NAME: usize = 64;
/// How many files a part's model may include, one through the other.
pub const MOST_INCLUDES: usize = 256;
