//! Places in a box that hang on the input alone.

use setout::Variable;
use setout_formula::Interval;

/// A stream of numbers: the same input gives the same ones.
pub(super) struct Draws(u64);

impl Draws {
    /// Begins with the input: FNV-1a (from memory).
    pub(super) fn of(bytes: &[u8]) -> Self {
        let mix = |hash: u64, byte: &u8| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        Self(bytes.iter().fold(0xcbf2_9ce4_8422_2325, mix))
    }

    /// The next number: `SplitMix64` (from memory).
    pub(super) fn number(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// One of so many.
    pub(super) fn one_of(&mut self, count: usize) -> usize {
        (self.number() % count.max(1) as u64) as usize
    }

    /// A place in a span: often an end, where most goes wrong.
    pub(super) fn within(&mut self, span: Interval) -> f64 {
        let (low, high) = (span.low(), span.high());
        match self.one_of(6) {
            0 => low,
            1 => high,
            2 if span.contains(0.0) => 0.0,
            _ => {
                let part = (self.number() >> 11) as f64 / (1_u64 << 53) as f64;
                (low * (1.0 - part) + high * part).clamp(low, high)
            }
        }
    }

    /// The same for one of the variables. A count stands at whole numbers alone.
    pub(super) fn of_variable(&mut self, of: &Variable, span: Interval) -> f64 {
        let place = self.within(span);
        if of.whole { place.floor().max(span.low().ceil()) } else { place }
    }

    /// A place for every variable.
    pub(super) fn point(&mut self, of: &[Variable], spans: &[Interval]) -> Vec<f64> {
        of.iter().zip(spans).map(|(of, span)| self.of_variable(of, *span)).collect()
    }

    /// A box within the spans of all variables; often as wide as they are.
    pub(super) fn spans(&mut self, of: &[Variable]) -> Vec<Interval> {
        let mut side = |of: &Variable| {
            if self.one_of(3) == 0 {
                return of.span;
            }
            let [a, b] = [(); 2].map(|()| self.of_variable(of, of.span));
            Interval::new(a.min(b), a.max(b))
        };
        of.iter().map(&mut side).collect()
    }
}
