//! How much a unit may hold.

/// The largest power of one symbol of a unit, either way.
pub const LARGEST_POWER: i16 = 12;
/// The largest number above or below the line of a kind's exponent.
pub const LARGEST_EXPONENT: i16 = i16::MAX;
