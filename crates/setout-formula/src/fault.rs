//! What can be wrong with a formula. One place turns each into a message and its mend.

use crate::Span;

/// A fault of a formula: where it stands, and what it is.
#[derive(Clone, Debug, PartialEq)]
pub struct FormulaFault {
    /// Where in the formula.
    pub at: Span,
    /// What is wrong.
    pub what: Wrong,
}

/// What can be wrong with a formula.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Wrong {
    /// The text is no formula.
    Malformed {
        /// Why, as a clause.
        reason: String,
        /// What would mend it.
        help: String,
    },
    /// The text is longer, deeper or unfolds to more than a formula may.
    TooLarge {
        /// What is too large, as a clause.
        reason: String,
        /// What would mend it.
        help: String,
    },
    /// A unit that is not known.
    UnknownUnit {
        /// As written.
        symbol: String,
        /// What would mend it.
        help: String,
    },
    /// A function that is not known.
    UnknownFunction {
        /// As written.
        name: String,
        /// What would mend it.
        help: String,
    },
    /// Kinds that do not go together.
    Mismatch {
        /// Which, as a clause that names both.
        reason: String,
        /// What would mend it, with the missing factor.
        help: String,
    },
    /// A function without a value for these numbers.
    Domain {
        /// Why, with the numbers that led to it.
        reason: String,
        /// What would mend it.
        help: String,
    },
}

impl FormulaFault {
    pub(crate) fn malformed(at: Span, reason: impl Into<String>, help: impl Into<String>) -> Self {
        Self { at, what: Wrong::Malformed { reason: reason.into(), help: help.into() } }
    }

    pub(crate) fn mismatch(at: Span, reason: impl Into<String>, help: impl Into<String>) -> Self {
        Self { at, what: Wrong::Mismatch { reason: reason.into(), help: help.into() } }
    }

    pub(crate) fn domain(at: Span, reason: impl Into<String>, help: impl Into<String>) -> Self {
        Self { at, what: Wrong::Domain { reason: reason.into(), help: help.into() } }
    }

    pub(crate) fn too_large(at: Span, reason: impl Into<String>, help: impl Into<String>) -> Self {
        Self { at, what: Wrong::TooLarge { reason: reason.into(), help: help.into() } }
    }

    /// The fixed word by which programs know this sort of fault.
    pub fn slug(&self) -> &'static str {
        match self.what {
            Wrong::Malformed { .. } => "bad-formula",
            Wrong::TooLarge { .. } => "too-large",
            Wrong::UnknownUnit { .. } => "unknown-unit",
            Wrong::UnknownFunction { .. } => "unknown-function",
            Wrong::Mismatch { .. } => "unit-mismatch",
            Wrong::Domain { .. } => "domain",
        }
    }

    /// What is wrong, as a clause without a full stop.
    pub fn message(&self) -> String {
        match &self.what {
            Wrong::Malformed { reason, .. }
            | Wrong::TooLarge { reason, .. }
            | Wrong::Mismatch { reason, .. }
            | Wrong::Domain { reason, .. } => reason.clone(),
            Wrong::UnknownUnit { symbol, .. } => format!("there is no unit `{symbol}`"),
            Wrong::UnknownFunction { name, .. } => format!("there is no function `{name}`"),
        }
    }

    /// What would mend it.
    pub fn help(&self) -> &str {
        match &self.what {
            Wrong::Malformed { help, .. }
            | Wrong::TooLarge { help, .. }
            | Wrong::Mismatch { help, .. }
            | Wrong::Domain { help, .. }
            | Wrong::UnknownUnit { help, .. }
            | Wrong::UnknownFunction { help, .. } => help,
        }
    }
}
