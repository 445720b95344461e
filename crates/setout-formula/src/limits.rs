//! How much a formula may hold. A design from a stranger is evaluated too, so every limit is named
//! here and gives a fault, never a hang.

/// The longest formula, in bytes.
pub const LONGEST: usize = 4096;
/// How deep brackets, calls, signs and powers may be nested.
pub const DEEPEST: usize = 64;
/// The most operations that one formula may come to when its columns are written out row by row.
pub const MOST_OPERATIONS: usize = 1 << 20;
