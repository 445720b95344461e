//! Philox4x32, a generator that is nothing but a function of a counter and a key.
//!
//! Source: J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, "Parallel random numbers: as easy as
//! 1, 2, 3", SC '11. With seven rounds or more it passes all tests of BigCrush there. The known
//! answers of its Random123 library are in the tests below.

const MULTIPLIERS: [u64; 2] = [0xD251_1F53, 0xCD9E_8D57];
/// What is added to the key from round to round.
const WEYL: [u32; 2] = [0x9E37_79B9, 0xBB67_AE85];
const LOW: u64 = 0xFFFF_FFFF;

/// The blocks of all counters with one upper half, under one key. What does not hang on the lower half is
/// worked out beforehand.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Blocks<const BETWEEN: usize> {
    /// What the first round makes of the upper half: a product, its upper word with the key, and the
    /// highest word with the key.
    first: [u64; 3],
    /// The keys of the rounds between the first and the last.
    between: [[u64; 2]; BETWEEN],
    last: [u64; 2],
}

/// How many counters are run through from a multiple of this number.
pub(crate) const RUN: usize = 32;

/// What the first round makes of the place in a run: a multiplication in advance.
const STEPS: [u64; RUN] = {
    let mut steps = [0; RUN];
    let mut place = 0;
    while place < RUN {
        steps[place] = place as u64 * MULTIPLIERS[0];
        place += 1;
    }
    steps
};

impl<const BETWEEN: usize> Blocks<BETWEEN> {
    /// Of a key and the upper half of a counter, both of 64 bits, the low word first.
    pub(crate) fn new(key: u64, upper: u64) -> Self {
        let mut words = [key as u32, (key >> 32) as u32];
        let mut next = || {
            let round = words.map(u64::from);
            words = [words[0].wrapping_add(WEYL[0]), words[1].wrapping_add(WEYL[1])];
            round
        };
        let key = next();
        let product = (upper & LOW) * MULTIPLIERS[1];
        Self {
            first: [product, (product >> 32) ^ key[0], (upper >> 32) ^ key[1]],
            between: std::array::from_fn(|_| next()),
            last: next(),
        }
    }

    /// The block of the counter whose lower half is `start + place`, where `start` is a multiple of
    /// [`RUN`] and `place` is below it. All arithmetic is on words of 64 bits whose upper halves may hold
    /// anything, so that a vector of them multiplies in one step.
    #[inline(always)]
    pub(crate) fn block(&self, start: u64, place: usize) -> [u64; 2] {
        let [product, crossed, highest] = self.first;
        // The lower word does not carry within a run.
        let a = (start & LOW) * MULTIPLIERS[0] + STEPS[place];
        let mut c = [(start >> 32) ^ crossed, product, (a >> 32) ^ highest, a];
        for key in &self.between {
            let [a, b] = products(c);
            c = [(b >> 32) ^ c[1] ^ key[0], b, (a >> 32) ^ c[3] ^ key[1], a];
        }
        // In the last round the lower word of each pair is put above the other.
        let [a, b] = products(c);
        [b ^ ((c[1] ^ self.last[0]) << 32), a ^ ((c[3] ^ self.last[1]) << 32)]
    }
}

#[inline(always)]
fn products(c: [u64; 4]) -> [u64; 2] {
    [(c[0] & LOW) * MULTIPLIERS[0], (c[2] & LOW) * MULTIPLIERS[1]]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A counter of four words, a key of two, and the block of four that they give.
    type Known = ([u32; 4], [u32; 2], [u32; 4]);

    const PI: ([u32; 4], [u32; 2]) =
        ([0x243f_6a88, 0x85a3_08d3, 0x1319_8a2e, 0x0370_7344], [0xa409_3822, 0x299f_31d0]);

    /// The rows `philox4x32 7` of Random123's `kat_vectors`.
    const SEVEN: [Known; 3] = [
        ([0; 4], [0; 2], [0x5f6f_b709, 0x0d89_3f64, 0x4f12_1f81, 0x4f73_0a48]),
        ([u32::MAX; 4], [u32::MAX; 2], [0x5207_ddc2, 0x4516_5e59, 0x4d8e_e751, 0x8c52_f662]),
        (PI.0, PI.1, [0x4dfc_caba, 0x190a_87f0, 0xc473_62ba, 0xb6b5_242a]),
    ];

    /// The rows `philox4x32 10`.
    const TEN: [Known; 3] = [
        ([0; 4], [0; 2], [0x6627_e8d5, 0xe169_c58d, 0xbc57_ac4c, 0x9b00_dbd8]),
        ([u32::MAX; 4], [u32::MAX; 2], [0x408f_276d, 0x41c8_3b0e, 0xa20b_c7c6, 0x6d54_51fd]),
        (PI.0, PI.1, [0xd16c_fe09, 0x94fd_cceb, 0x5001_e420, 0x2412_6ea1]),
    ];

    /// One word above another.
    fn joined(words: [u32; 2]) -> u64 {
        u64::from(words[0]) | u64::from(words[1]) << 32
    }

    fn is_known<const N: usize>(rows: &[Known]) {
        for ([a, b, c, d], key, [e, f, g, h]) in rows.iter().copied() {
            let lower = joined([a, b]);
            let place = lower % RUN as u64;
            let blocks = Blocks::<N>::new(joined(key), joined([c, d]));
            let found = blocks.block(lower - place, place as usize);
            assert_eq!(found, [joined([f, e]), joined([h, g])]);
        }
    }

    #[test]
    fn known_answers() {
        is_known::<5>(&SEVEN);
        is_known::<8>(&TEN);
    }
}
