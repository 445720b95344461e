//! Why there is no release.

use std::fmt;

use setout_design::SourceError;
use setout_export::ExportFault;

use crate::{BundleFault, Letter};

/// Why a release cannot be drawn up.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ReleaseFault {
    /// Everything is as it was released before.
    Already {
        /// The release that has it.
        letter: Letter,
        /// Whether another release followed that.
        followed: bool,
    },
    /// The design that should be the last released one is not that.
    OtherDesign {
        /// The last release.
        letter: Letter,
    },
    /// A record names another one as the release before it than the one that stands before it.
    Gap {
        /// The record.
        letter: Letter,
        /// What it names.
        named: Option<Letter>,
    },
    /// There are no more letters.
    NoLetterLeft,
    /// A file of the design cannot be read.
    Unread(SourceError),
    /// An export cannot be drawn.
    Export {
        /// The file.
        file: String,
        /// What stands in the way.
        faults: Vec<ExportFault>,
    },
    /// A file is both an export and a model, and the two differ.
    TwoTexts {
        /// The root-relative path.
        path: String,
    },
    /// The bundle would be none.
    Bundle(BundleFault),
    /// Somebody stopped the work before all verdicts were known.
    Stopped,
}

impl fmt::Display for ReleaseFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Already { letter, .. } => {
                write!(f, "the design as it is was released already as {letter}")
            }
            Self::OtherDesign { letter } => write!(
                f,
                "that revision does not hold the design that was released as {letter}: its \
                 fingerprint is another one"
            ),
            Self::Gap { letter, named: Some(named) } => {
                write!(f, "the record of release {letter} follows {named}, whose record is missing")
            }
            Self::Gap { letter, named: None } => {
                write!(f, "the record of release {letter} is of a first release, and is not first")
            }
            Self::NoLetterLeft => f.write_str("there is no letter after YYYY"),
            Self::Unread(error) => error.fmt(f),
            Self::Export { file, faults } => {
                write!(f, "{file} cannot be drawn")?;
                faults.first().map_or(Ok(()), |fault| write!(f, ": {fault}"))
            }
            Self::TwoTexts { path } => {
                write!(f, "{path} is an export and a part's model, and is not current as an export")
            }
            Self::Bundle(fault) => fault.fmt(f),
            Self::Stopped => f.write_str("it was stopped before all checks and limits were judged"),
        }
    }
}

impl std::error::Error for ReleaseFault {}

impl ReleaseFault {
    /// What would mend it, as a sentence without its full stop.
    pub fn help(&self) -> String {
        match self {
            Self::Already { followed: false, letter } => {
                format!("change something first; the bundle of {letter} is still right")
            }
            Self::Already { followed: true, .. } => {
                "to go back to it under a new letter, add --again".into()
            }
            Self::OtherDesign { letter } => format!(
                "name a revision with the design as it was in {letter}, or its bundle: --since"
            ),
            Self::Gap { .. } => {
                "git log -- releases tells where the records went; bring the missing one back"
                    .into()
            }
            Self::NoLetterLeft => "begin a new design".into(),
            Self::Unread(_) => "see that the file is committed and can be read".into(),
            Self::Export { faults, .. } => {
                let help = faults.first().and_then(ExportFault::help);
                help.unwrap_or("setout export says more").into()
            }
            Self::TwoTexts { .. } => "setout export brings it up to date".into(),
            Self::Bundle(fault) => fault.help().into(),
            Self::Stopped => "do it again, and let it end".into(),
        }
    }
}

impl From<SourceError> for ReleaseFault {
    fn from(error: SourceError) -> Self {
        Self::Unread(error)
    }
}

impl From<BundleFault> for ReleaseFault {
    fn from(fault: BundleFault) -> Self {
        Self::Bundle(fault)
    }
}
