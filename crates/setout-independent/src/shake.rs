//! Every number of a formula changed in its last digits, to see how much of the result hangs on
//! them.

/// How numbers are shaken; by default not at all.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Shake {
    way: Option<Way>,
    /// By which part of themselves numbers are changed.
    pub(crate) by: f64,
    /// How many numbers were met.
    met: u64,
}

/// Which numbers go up, and which down: told by a bit of their place in the formula.
#[derive(Clone, Copy, Debug)]
struct Way {
    bit: u32,
    down: bool,
}

/// No formula has so many numbers that this bit of a place is set.
const NO_BIT: u32 = 63;

impl Shake {
    /// Several ways to shake a formula of so many numbers: all of them up or down, and by every bit
    /// of their places. Any two places differ in a bit, so of any two numbers one goes up and the
    /// other down in some of the ways, and no difference of the two can hide.
    pub(crate) fn ways(by: f64, numbers: usize) -> impl Iterator<Item = Self> {
        let bits = usize::BITS - numbers.leading_zeros();
        let ways = (0..bits).chain([NO_BIT]).flat_map(|bit| [false, true].map(|down| (bit, down)));
        ways.map(move |(bit, down)| Self { way: Some(Way { bit, down }), by, met: 0 })
    }

    /// Shakes what comes by no more than this, and gives by how much it was.
    pub(crate) fn limit(&mut self, by: f64) -> f64 {
        let least = self.by.min(by);
        std::mem::replace(&mut self.by, least)
    }

    pub(crate) fn shaken(&mut self, number: f64) -> f64 {
        let Some(Way { bit, down }) = self.way else { return number };
        let up = ((self.met >> bit) & 1 == 0) != down;
        self.met += 1;
        number * if up { 1.0 + self.by } else { 1.0 - self.by }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_two_numbers_are_parted_and_joined() {
        for numbers in [1, 2, 3, 64, 65, 1000] {
            let goes_up = |mut shake: Shake| -> Vec<bool> {
                (0..numbers).map(|_| shake.shaken(1.0) > 1.0).collect()
            };
            let ways: Vec<_> = Shake::ways(1e-3, numbers).map(goes_up).collect();
            for first in 0..numbers {
                for second in first + 1..numbers {
                    for wanted in [(true, true), (true, false), (false, true), (false, false)] {
                        let found = ways.iter().any(|way| (way[first], way[second]) == wanted);
                        assert!(found, "{first} {second} of {numbers}: {wanted:?}");
                    }
                }
            }
        }
    }
}
