//! Why a history cannot be told.

use std::fmt;

use setout_design::Fault;
use setout_store::RevisionError;

/// Why a history cannot be told.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub enum HistoryError {
    /// No revision knows the name.
    Unknown {
        /// The name.
        name: String,
        /// Names of any revision that are like it.
        nearest: Vec<String>,
        /// The command that fetches what a shallow clone left out.
        fetch: Option<String>,
    },
    /// The dimension never had limits.
    NoLimits {
        /// Its full name.
        name: String,
    },
    /// The repository could not be read.
    Revision(RevisionError),
    /// Two states cannot be compared.
    Faults(Vec<Fault>),
    /// More names than are followed.
    TooManyNames {
        /// How many are.
        limit: usize,
    },
    /// More revisions that cannot be evaluated than are passed over at once.
    TooManyForebears {
        /// How many are.
        limit: usize,
    },
}

impl From<RevisionError> for HistoryError {
    fn from(error: RevisionError) -> Self {
        Self::Revision(error)
    }
}

impl fmt::Display for HistoryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown { name, .. } => {
                write!(f, "no revision has a dimension, cell, price or check `{name}`")
            }
            Self::NoLimits { name } => write!(f, "`{name}` is no check, and never had limits"),
            Self::Revision(error) => error.fmt(f),
            Self::Faults(faults) => {
                f.write_str("two revisions cannot be compared")?;
                faults.iter().take(1).try_for_each(|fault| write!(f, ": {}", fault.message))
            }
            Self::TooManyNames { limit } => write!(f, "it had more than {limit} names"),
            Self::TooManyForebears { limit } => {
                write!(f, "more than {limit} revisions in a row cannot be evaluated")
            }
        }
    }
}

impl HistoryError {
    /// What would mend it; empty where nobody knows.
    pub fn help(&self) -> String {
        match self {
            Self::Unknown { nearest, fetch, .. } => {
                let near: Vec<String> = nearest.iter().map(|name| format!("`{name}`")).collect();
                match (near.is_empty(), fetch) {
                    (false, _) => format!("did you mean {}?", near.join(" or ")),
                    (true, Some(fetch)) => format!("this clone is shallow: `{fetch}`"),
                    (true, None) => "write a dimension, a cell or a check as `table.name`".into(),
                }
            }
            Self::NoLimits { .. } => "name a check, or a dimension with `min` or `max`".into(),
            Self::Revision(error) => error.help(),
            Self::Faults(_) => "name a later revision with --since".into(),
            Self::TooManyNames { .. } | Self::TooManyForebears { .. } => {
                "name a later revision with --since".into()
            }
        }
    }
}

impl std::error::Error for HistoryError {}
