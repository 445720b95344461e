//! What can stand in the way of writing a file.

use std::error::Error;
use std::fmt;

use crate::limits::LARGEST_EXPORT;

/// Why an item cannot be written. Each names the item, whose place the caller knows.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ExportFault {
    /// Two items meet in one exported name.
    DuplicateName {
        /// The name both would have in the file.
        exported: String,
        /// The dotted name of the item that comes first.
        first: String,
        /// The dotted name of the one that meets it.
        second: String,
    },
    /// The name is not one that a design can give.
    BadName {
        /// The dotted name.
        name: String,
    },
    /// The exported name is a word of the language that is written.
    ReservedName {
        /// The dotted name.
        name: String,
        /// The name it would have in the file.
        exported: String,
        /// The name of the format.
        format: &'static str,
    },
    /// A number is infinite or not a number.
    NotFinite {
        /// The dotted name.
        name: String,
    },
    /// A text holds the character U+0000, which the readers of these files drop or stop at.
    NulInText {
        /// The dotted name.
        name: String,
    },
    /// The files of one export come to more bytes than they may.
    TooLarge {
        /// How many bytes they have as far as they were made.
        bytes: usize,
    },
    /// The format's own library could not write the text.
    NotWritten {
        /// The name of the format.
        format: &'static str,
        /// What the library said.
        message: String,
    },
}

impl ExportFault {
    /// The short constant name that scripts match on.
    pub fn slug(&self) -> &'static str {
        match self {
            Self::DuplicateName { .. } => "duplicate-name",
            Self::BadName { .. } | Self::ReservedName { .. } => "bad-name",
            Self::NotFinite { .. } | Self::NulInText { .. } => "bad-value",
            Self::TooLarge { .. } => "too-large",
            Self::NotWritten { .. } => "io",
        }
    }

    /// The dotted name of the item to show the fault at, if it is the fault of one.
    pub fn item(&self) -> Option<&str> {
        match self {
            Self::DuplicateName { second: name, .. }
            | Self::BadName { name }
            | Self::ReservedName { name, .. }
            | Self::NotFinite { name }
            | Self::NulInText { name } => Some(name),
            Self::TooLarge { .. } | Self::NotWritten { .. } => None,
        }
    }

    /// What would mend it, if that is known.
    pub fn help(&self) -> Option<&'static str> {
        match self {
            Self::DuplicateName { .. } => Some("rename one of the two"),
            Self::ReservedName { .. } => Some("choose another name"),
            Self::BadName { .. } => {
                Some("names are lower case letters, digits and underscores, a letter first")
            }
            Self::NulInText { .. } => Some("take the character out of the text"),
            Self::TooLarge { .. } => Some("export fewer files at a time, or a smaller design"),
            Self::NotFinite { .. } | Self::NotWritten { .. } => None,
        }
    }
}

impl fmt::Display for ExportFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DuplicateName { exported, first, second } => {
                write!(f, "{first} and {second} would both be exported as {exported}")
            }
            Self::BadName { name } => write!(f, "{name:?} is no name that can be exported"),
            Self::ReservedName { name, exported, format } => {
                write!(f, "{name} would be exported as {exported}, a word of {format} itself")
            }
            Self::NotFinite { name } => write!(f, "{name} is not a finite number"),
            Self::NulInText { name } => write!(f, "the text of {name} holds the character U+0000"),
            Self::TooLarge { bytes } => write!(
                f,
                "the files of this export have {bytes} bytes; together they may have {LARGEST_EXPORT}"
            ),
            Self::NotWritten { format, message } => write!(f, "{format}: {message}"),
        }
    }
}

impl Error for ExportFault {}
