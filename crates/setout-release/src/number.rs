//! A number as it is recorded.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use setout_quantity::shortest;

/// A number that is written in the shortest form that reads back as exactly the same: a whole
/// one without a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Number(pub f64);

/// Whole numbers up to here are exact.
const LARGEST_WHOLE: f64 = 9_007_199_254_740_992.0;

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        // A zero has no sign that means anything.
        let number = self.0 + 0.0;
        if number.fract() == 0.0 && number.abs() < LARGEST_WHOLE {
            serializer.serialize_i64(number as i64)
        } else {
            serializer.serialize_f64(number)
        }
    }
}

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        f64::deserialize(deserializer).map(Self)
    }
}

/// The same spelling as in exports.
impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&shortest(self.0 + 0.0))
    }
}
