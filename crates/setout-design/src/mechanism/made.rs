//! Dimensions that are made, and how their errors fall.

use setout_formula::{Centred, Interval};
use setout_quantity::Unit;

use crate::{Measured, Spread};

/// A dimension with a tolerance, as one of those that a margin depends on.
#[derive(Clone, Debug)]
pub struct Made {
    /// Its full name.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// How far it may be off, in base units.
    pub zone: Interval,
    /// How its errors spread within that.
    pub spread: Spread,
    /// What was measured of its process.
    pub measured: Option<Measured>,
    /// The error that it shares with others, and whether it is small where others are large.
    pub shares: Option<(String, bool)>,
    /// The variable that says how far it is off: by that much; where it shares an error, by the part
    /// of its tolerance that the variable gives, from -1 to 1.
    pub variable: usize,
}

impl Made {
    /// The middle of its tolerance, and the way from there to the end at which a shared error is 1.
    fn shared(&self) -> [f64; 2] {
        let [low, high] = [self.zone.low(), self.zone.high()];
        let half = (high - low) / 2.0;
        let is_opposite = self.shares.as_ref().is_some_and(|(_, is_opposite)| *is_opposite);
        [low + half, if is_opposite { -half } else { half }]
    }

    /// Whether its variable is an error of several.
    fn is_shared(&self) -> bool {
        self.shares.is_some()
    }

    /// How far it is off at a point, in base units.
    pub fn deviation(&self, point: &[f64]) -> f64 {
        let value = point[self.variable];
        if !self.is_shared() {
            return value;
        }
        let [middle, half] = self.shared();
        (middle + half * value).clamp(self.zone.low(), self.zone.high())
    }

    /// How far it is off over a box of which this is the side of its variable.
    pub(super) fn deviations<'a>(&self, side: &Centred<'a>) -> Centred<'a> {
        if !self.is_shared() {
            return side.clone();
        }
        let [middle, half] = self.shared().map(Centred::fixed);
        middle.plus(&half.times(side))
    }

    /// The variable's own span: that of the tolerance, or of an error that several share.
    pub(super) fn span(&self) -> Interval {
        if self.is_shared() { Interval::new(-1.0, 1.0) } else { self.zone }
    }
}
