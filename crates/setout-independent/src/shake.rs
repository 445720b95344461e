//! Every number of a formula changed in its last digits, to see how much of the result hangs on
//! them.

/// How numbers are shaken; by default not at all.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Shake {
    /// Signs for the numbers of a formula in turn, as bits.
    signs: Option<u64>,
    /// By which part of themselves numbers are changed.
    by: f64,
    met: u32,
}

impl Shake {
    /// Several ways to shake. Of any two numbers among 64 that follow each other, one goes up and
    /// the other down in some of them, so that no difference of the two can hide.
    pub(crate) fn ways(by: f64) -> impl Iterator<Item = Self> {
        let by_bit_of_place = [
            0xaaaa_aaaa_aaaa_aaaa,
            0xcccc_cccc_cccc_cccc,
            0xf0f0_f0f0_f0f0_f0f0,
            0xff00_ff00_ff00_ff00,
            0xffff_0000_ffff_0000,
            0xffff_ffff_0000_0000,
            u64::MAX,
        ];
        let all = by_bit_of_place.into_iter().flat_map(|signs| [signs, !signs]);
        all.map(move |signs| Self { by, signs: Some(signs), met: 0 })
    }

    pub(crate) fn shaken(&mut self, number: f64) -> f64 {
        let Some(signs) = self.signs else { return number };
        let up = signs.rotate_right(self.met) & 1 == 1;
        self.met = self.met.wrapping_add(1);
        number * if up { 1.0 + self.by } else { 1.0 - self.by }
    }
}
