//! How much one question may take. A proof that comes to an end here says `unknown`, and why.

/// How much work one proof may be, in steps of its formulas: some seconds.
pub const MOST_WORK: u64 = 100_000_000;
/// Into how many boxes a travel is divided at most, whoever asks: more takes hours.
pub const MOST_BOXES: u64 = 100_000_000;
/// How many samples are drawn at most: more takes more memory than a desk has to spare.
pub const MOST_SAMPLES: u64 = 10_000_000;
