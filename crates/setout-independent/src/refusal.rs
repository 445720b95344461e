//! Why the second engine does not evaluate a formula.

use std::fmt;

/// Why a formula was not evaluated a second time.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Refusal {
    /// It calls a function that the second engine does not have.
    NoFunction {
        /// The function.
        name: String,
    },
    /// It has a unit that the second engine does not know.
    NoUnit {
        /// The unit's symbol.
        symbol: String,
    },
    /// It names something without a value.
    NoInput {
        /// The name as written.
        name: String,
    },
    /// With all others before it, it would take more than the second engine may do for a design.
    TooMuch,
    /// It is nested too deeply.
    TooDeep,
    /// The second engine cannot read it.
    Unreadable,
    /// It has no value in the first evaluation that could be compared.
    NoValue,
    /// Its value hangs on the last digits of its numbers: the two engines come to other values, but
    /// no further apart than these digits take them.
    LastDigits {
        /// What the first engine came to.
        first: String,
        /// What the second engine came to.
        second: String,
    },
    /// It rounds or compares what lies within the last digits of the place where it jumps.
    OnTheEdge {
        /// What the first engine came to.
        first: String,
        /// What the second engine came to.
        second: String,
    },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoFunction { name } => write!(f, "the other engine has no `{name}`"),
            Self::NoUnit { symbol } => write!(f, "the other engine has no unit `{symbol}`"),
            Self::NoInput { name } => write!(f, "`{name}` has no value"),
            Self::TooMuch => f.write_str("the design is too large for the other engine"),
            Self::TooDeep => f.write_str("it is nested too deeply for the other engine"),
            Self::Unreadable => f.write_str("the other engine cannot read it"),
            Self::NoValue => f.write_str("it has no value to compare with"),
            Self::LastDigits { first, second } => write!(
                f,
                "a change of 1e-13 in its numbers changes it by more than 1e-9 of its unit: \
                 {first}, and {second} by the other engine"
            ),
            Self::OnTheEdge { first, second } => write!(
                f,
                "it rounds or compares a number whose last digits decide: {first}, and {second} \
                 by the other engine"
            ),
        }
    }
}
