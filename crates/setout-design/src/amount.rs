//! A value as it is shown: a number in its unit, a text, or a truth.

use std::fmt;

use setout_formula::{Texts, Type};
use setout_quantity::{Unit, rounded};

/// A value in the unit in which it is shown.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// A number in a unit.
    Number {
        /// The number, in the unit.
        number: f64,
        /// The unit; its symbol is empty for plain numbers.
        unit: Unit,
    },
    /// A text.
    Text(String),
    /// True or false.
    Truth(bool),
}

impl Amount {
    /// The amount of a value in base units; `None` where it was not computed.
    pub(crate) fn of(value: f64, kind: Type, unit: &Unit, texts: &Texts) -> Option<Self> {
        if value.is_nan() {
            return None;
        }
        Some(match kind {
            Type::Text => Self::Text(texts.text(value).to_owned()),
            Type::Truth => Self::Truth(value != 0.0),
            _ => Self::Number { number: unit.from_base(value), unit: unit.clone() },
        })
    }

    /// The number, if it is one.
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Number { number, .. } => Some(*number),
            _ => None,
        }
    }

    /// Whether one could be told in the unit of the other. A sum of money is only ever told in its
    /// own: what it is worth in another is another matter.
    pub fn unit_is_like(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Number { unit: a, .. }, Self::Number { unit: b, .. }) => {
                a.symbol() == b.symbol()
                    || a.kind() == b.kind()
                        && a.is_reading() == b.is_reading()
                        && !a.kind().has_money()
            }
            (Self::Text(_), Self::Text(_)) | (Self::Truth(_), Self::Truth(_)) => true,
            _ => false,
        }
    }

    /// The symbol of the unit, `""` for what has none.
    pub fn unit(&self) -> &str {
        match self {
            Self::Number { unit, .. } => unit.symbol(),
            _ => "",
        }
    }
}

/// Six significant digits and the unit, for people.
impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number { number, unit } if unit.symbol().is_empty() => {
                f.write_str(&rounded(*number))
            }
            Self::Number { number, unit } => write!(f, "{} {}", rounded(*number), unit.symbol()),
            Self::Text(text) => f.write_str(text),
            Self::Truth(truth) => write!(f, "{truth}"),
        }
    }
}
