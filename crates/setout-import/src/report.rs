//! What comes of an import.

use std::fmt;

/// The largest file that is imported, in bytes: some 50,000 variables, more than anyone keeps in
/// one file.
pub const LARGEST: usize = 4 * 1024 * 1024;

/// What a file is written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// OpenSCAD variables.
    OpenScad,
    /// Comma or semicolon separated records with a header.
    Csv,
}

impl Form {
    /// The form of a file, by the ending of its name.
    pub fn of_file(name: &str) -> Option<Self> {
        let (_, ending) = name.rsplit_once('.')?;
        match ending.to_ascii_lowercase().as_str() {
            "scad" => Some(Self::OpenScad),
            "csv" => Some(Self::Csv),
            _ => None,
        }
    }
}

/// A table, and how it came to be.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Imported {
    /// The table's text; empty where nothing was taken.
    pub text: String,
    /// The names of the dimensions and cells that were taken, as the table has them.
    pub taken: Vec<String>,
    /// What the file does not say and was assumed, one sentence each.
    pub assumed: Vec<String>,
    /// What was left out, by line.
    pub left_out: Vec<LeftOut>,
    /// The names that had to change.
    pub renamed: Vec<Renamed>,
}

/// Something that was not taken.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LeftOut {
    /// The line that it begins in, from 1.
    pub line: usize,
    /// What stands there, on one line and shortened.
    pub text: String,
    /// Why it was left out, on one line whatever the file holds.
    pub why: String,
}

/// A name that became another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Renamed {
    /// As the file has it.
    pub from: String,
    /// As the table has it.
    pub to: String,
}

/// Why nothing can be imported at all.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ImportError {
    /// The file is larger than [`LARGEST`].
    TooLarge {
        /// How large it is.
        bytes: usize,
    },
    /// The table cannot be called so.
    BadTable {
        /// What it was to be called.
        table: String,
    },
}

impl fmt::Display for ImportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge { bytes } => {
                write!(f, "the file has {bytes} bytes; one that is imported may have {LARGEST}")
            }
            Self::BadTable { table } => {
                write!(f, "`{}` is no name for a table", table.escape_debug())
            }
        }
    }
}

impl std::error::Error for ImportError {}

/// A text on one line, shortened.
pub(crate) fn excerpt(text: &str) -> String {
    const LONGEST: usize = 120;
    let line = one_line(text);
    if line.chars().count() <= LONGEST {
        return line;
    }
    line.chars().take(LONGEST - 1).chain(['…']).collect()
}

/// A text on one line, with single blanks between its words.
pub(crate) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
