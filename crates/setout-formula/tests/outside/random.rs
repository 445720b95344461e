//! Random numbers that are the same on every machine.

/// The generator SplitMix64 (Steele, Lea and Flood 2014).
pub(crate) struct Random(u64);

impl Random {
    /// The numbers of a seed: `SETOUT_TEST_SEED` if it is set, else always the same.
    pub(crate) fn seeded() -> (Self, u64) {
        let given = std::env::var("SETOUT_TEST_SEED").ok().and_then(|seed| seed.parse().ok());
        let seed = given.unwrap_or(20_261_125);
        (Self(seed), seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number from 0 to below `end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        (self.next() % end as u64) as usize
    }

    /// Whether a thing happens that happens so many times in a hundred.
    pub(crate) fn percent(&mut self, of_hundred: usize) -> bool {
        self.below(100) < of_hundred
    }

    /// One of some things.
    pub(crate) fn one_of<T: Copy>(&mut self, things: &[T]) -> T {
        things[self.below(things.len())]
    }

    /// A float from `low` to `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}
