//! An import on its way: entries that may become dimensions.

use std::collections::HashMap;

use crate::report::{LeftOut, Renamed};

/// All that a file gave, before it was read as part of a design.
#[derive(Debug, Default)]
pub(crate) struct Draft {
    pub(crate) entries: Vec<Entry>,
    pub(crate) schedules: Vec<Schedule>,
    /// The names for which each assumption was made: it is only told of those that are taken.
    pub(crate) guesses: Vec<(&'static str, Vec<String>)>,
    pub(crate) assumed: Vec<String>,
    pub(crate) left_out: Vec<LeftOut>,
    pub(crate) renamed: Vec<Renamed>,
    /// The file's own name for each of the table's, to be found again in reasons.
    pub(crate) sources: HashMap<String, String>,
}

/// What an entry holds.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Held {
    /// A formula, a number with its unit among them.
    Formula(String),
    Text(String),
}

/// A value that must come out again.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Plain {
    Number(f64),
    Text(String),
    Truth(bool),
}

/// A dimension to be.
#[derive(Clone, Debug)]
pub(crate) struct Entry {
    pub(crate) name: String,
    pub(crate) held: Held,
    pub(crate) unit: Option<String>,
    pub(crate) min: Option<String>,
    pub(crate) max: Option<String>,
    pub(crate) tolerance: Option<String>,
    pub(crate) note: Option<String>,
    /// The heading that it stands under, if it is the first there.
    pub(crate) heading: Option<String>,
    pub(crate) line: usize,
    pub(crate) text: String,
    /// What it comes to in the file; lengths in mm and angles in deg if `in_base`.
    pub(crate) comes_to: Option<Plain>,
    pub(crate) in_base: bool,
    /// The names of the table that it reads.
    pub(crate) reads: Vec<String>,
}

impl Entry {
    pub(crate) fn new(name: &str, held: Held, line: usize, text: &str) -> Self {
        Self {
            name: name.to_owned(),
            held,
            unit: None,
            min: None,
            max: None,
            tolerance: None,
            note: None,
            heading: None,
            line,
            text: text.to_owned(),
            comes_to: None,
            in_base: true,
            reads: Vec::new(),
        }
    }

    pub(crate) fn left_out(&self, why: impl Into<String>) -> LeftOut {
        LeftOut { line: self.line, text: self.text.clone(), why: why.into() }
    }
}

/// A schedule to be: its columns with units, and rows of cells.
#[derive(Clone, Debug)]
pub(crate) struct Schedule {
    pub(crate) name: String,
    pub(crate) columns: Vec<(String, String)>,
    pub(crate) rows: Vec<(String, Vec<Held>)>,
    /// The names and lines of its cells in the file.
    pub(crate) cells: Vec<Entry>,
}
