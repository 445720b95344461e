//! What the texts of a design say, before names are looked up: tables, dimensions, schedules,
//! checks, parts and what is common to them.
//!
//! Nothing here is computed. A value that could not be read is absent and has its fault.

mod common;
mod dimension;
mod judge;
pub(crate) mod keys;
mod reader;
mod rest;
mod table;
mod tolerance;

use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use setout_formula::Formula;
use setout_quantity::Unit;
use smol_str::SmolStr;

use crate::Place;
use crate::yaml::{LineIndex, Lines, Scalar, Style};

pub(crate) use common::{read_common, units_of};
pub(crate) use judge::{is_literal_trap, name_fault, plain_name};
pub(crate) use reader::Reader;
pub(crate) use table::read_table;
pub use tolerance::{Measured, Shares, Spread, Tolerance, Zone};

/// A file of the design, with its text.
#[derive(Clone, Debug)]
pub(crate) struct File {
    /// The root-relative path.
    pub(crate) path: Arc<str>,
    /// The text.
    pub(crate) text: Arc<str>,
    lines: OnceLock<LineIndex>,
}

impl File {
    pub(crate) fn new(path: impl Into<Arc<str>>, text: impl Into<Arc<str>>) -> Self {
        Self { path: path.into(), text: text.into(), lines: OnceLock::new() }
    }

    /// The lines of the text.
    pub(crate) fn lines(&self) -> Lines<'_> {
        Lines::indexed(&self.text, self.lines.get_or_init(|| LineIndex::new(&self.text)))
    }

    /// The place of a byte of the text.
    pub(crate) fn place(&self, byte: usize) -> Place {
        let (line, column) = self.lines().place(byte);
        Place { file: self.path.clone(), line, column }
    }
}

/// A formula where it stands in a file.
#[derive(Clone, Debug)]
pub(crate) struct Expr {
    pub(crate) file: u32,
    pub(crate) scalar: Scalar,
    /// Whether it stands inside brackets or braces.
    pub(crate) flow: bool,
    /// Absent when it could not be read.
    pub(crate) formula: Option<Formula>,
}

impl Expr {
    /// The formula as written, without what YAML adds.
    pub(crate) fn text(&self) -> &str {
        self.scalar.value.trim()
    }
}

/// Literal text where it stands in a file.
#[derive(Clone, Debug)]
pub(crate) struct Literal {
    pub(crate) file: u32,
    pub(crate) scalar: Scalar,
    pub(crate) flow: bool,
    pub(crate) place: Place,
}

impl Literal {
    /// The text. The line end of a block is layout, not text.
    pub(crate) fn text(&self) -> &str {
        match self.scalar.style {
            Style::Literal | Style::Folded => self.scalar.value.trim_end_matches('\n'),
            _ => &self.scalar.value,
        }
    }
}

/// What `design.yaml` says.
#[derive(Clone, Debug, Default)]
pub(crate) struct Common {
    pub(crate) name: Option<Literal>,
    pub(crate) about: Option<Literal>,
    pub(crate) currency: Option<String>,
    pub(crate) rates: Vec<Rate>,
    /// Whether the currency or a rate has a fault.
    pub(crate) money_lost: bool,
    /// Whether a process is missing that could not be read.
    pub(crate) processes_lost: bool,
    pub(crate) processes: Vec<Process>,
    pub(crate) exports: Vec<Export>,
}

/// What a foreign currency is worth.
#[derive(Clone, Debug)]
pub(crate) struct Rate {
    pub(crate) code: String,
    pub(crate) worth: f64,
    pub(crate) text: String,
}

/// How parts are made, and how true they come out.
#[derive(Clone, Debug)]
pub struct Process {
    /// What tolerances and parts call it.
    pub name: String,
    /// How true it comes out.
    pub tolerance: Option<Tolerance>,
    /// Whether there is a tolerance that could not be read.
    pub(crate) lost: bool,
    /// How its errors spread.
    pub spread: Spread,
    /// What was measured of it.
    pub measured: Option<Measured>,
    /// The error that all of its dimensions share.
    pub shares: Option<Shares>,
    /// A remark.
    pub note: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// A file that the design is exported to.
#[derive(Clone, Debug)]
pub struct Export {
    /// The format's name.
    pub format: String,
    /// The path, as written: relative to `design.yaml`.
    pub file: String,
    /// The path from the root; absent when it is not a safe one.
    pub path: Option<String>,
    /// Where it stands.
    pub place: Place,
}

/// One table.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    pub(crate) name: String,
    pub(crate) file: u32,
    pub(crate) about: Option<Literal>,
    pub(crate) dimensions: Vec<Dimension>,
    pub(crate) schedules: Vec<Schedule>,
    pub(crate) checks: Vec<Check>,
    pub(crate) parts: Vec<Part>,
    pub(crate) lost: Lost,
}

impl Table {
    /// How many things in it have a name of the table's own, but for cells.
    pub(crate) fn named(&self) -> usize {
        self.dimensions.len() + self.schedules.len() + self.checks.len() + self.parts.len()
    }
}

/// What a table has that could not be read. What names it is not computed, and is no second fault.
#[derive(Clone, Debug, Default)]
pub(crate) struct Lost {
    /// The first words of what could not be read.
    pub(crate) names: BTreeSet<String>,
    /// Whether a whole section is among it.
    pub(crate) section: bool,
    /// Whether a part is among it, so that no total is known.
    pub(crate) part: bool,
}

impl Lost {
    /// Notes what stands on the lines of these bytes, which could not be read.
    pub(crate) fn at(&mut self, text: &str, bytes: &[usize]) {
        for byte in bytes {
            let start = text[..*byte].rfind(['\n', '\r']).map_or(0, |at| at + 1);
            let line = text[start..].lines().next().unwrap_or_default();
            let word = |c: char| c.is_ascii_alphanumeric() || c == '_';
            let mut words = line.split(|c| !word(c)).filter(|word| !word.is_empty());
            match words.next() {
                // A line of signs alone parts two documents, and hides all below it.
                None | Some("dimensions" | "schedules" | "checks" | "parts") => self.section = true,
                Some(name) => drop(self.names.insert(name.to_owned())),
            }
        }
        self.part |= self.section;
    }
}

/// What a dimension's value is.
#[derive(Clone, Debug)]
pub(crate) enum Value {
    Formula(Expr),
    Text(Literal),
    /// It could not be read, and has its fault.
    Faulty,
}

impl Value {
    pub(crate) fn formula(&self) -> Option<&Expr> {
        match self {
            Self::Formula(expr) => Some(expr),
            _ => None,
        }
    }

    /// What is written, and whether it is a text.
    pub(crate) fn says(&self) -> Option<(&str, bool)> {
        match self {
            Self::Formula(expr) => Some((expr.text(), false)),
            Self::Text(literal) => Some((literal.text(), true)),
            Self::Faulty => None,
        }
    }
}

/// One dimension.
#[derive(Clone, Debug)]
pub(crate) struct Dimension {
    pub(crate) name: SmolStr,
    pub(crate) place: Place,
    pub(crate) value: Value,
    pub(crate) unit: Option<Unit>,
    // Few have any of these, and every dimension has room for all.
    pub(crate) min: Option<Box<Expr>>,
    pub(crate) max: Option<Box<Expr>>,
    pub(crate) travel: Option<Box<[Expr; 2]>>,
    pub(crate) tolerance: Option<Box<Tolerance>>,
    /// Where the tolerance stands, if there is one.
    pub(crate) tolerance_at: Option<Box<Place>>,
    pub(crate) spread: Option<Spread>,
    /// `Some(None)` where its error is its own, whatever its process says.
    pub(crate) shares: Option<Box<Option<Shares>>>,
    pub(crate) note: Option<Literal>,
    pub(crate) one_of: Vec<Literal>,
}

/// What a schedule's column holds.
#[derive(Clone, Debug)]
pub(crate) enum ColumnOf {
    Quantity(Unit),
    Text,
    Faulty,
}

/// A column of a schedule.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    pub(crate) name: SmolStr,
    pub(crate) of: ColumnOf,
    pub(crate) place: Place,
}

impl Column {
    /// The unit of its cells, if they are quantities.
    pub(crate) fn unit(&self) -> Option<&Unit> {
        match &self.of {
            ColumnOf::Quantity(unit) => Some(unit),
            _ => None,
        }
    }
}

/// A row of a schedule. It has as many cells as the schedule has columns.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub(crate) name: SmolStr,
    pub(crate) place: Place,
    pub(crate) cells: Vec<(Place, Value)>,
}

/// A list of like things with columns.
#[derive(Clone, Debug)]
pub(crate) struct Schedule {
    pub(crate) name: SmolStr,
    pub(crate) place: Place,
    pub(crate) about: Option<Literal>,
    pub(crate) columns: Vec<Column>,
    pub(crate) rows: Vec<Row>,
    /// Whether a column or a row could not be read, so that no column is whole.
    pub(crate) lost: bool,
}

/// A requirement with the reason for it.
#[derive(Clone, Debug)]
pub(crate) struct Check {
    pub(crate) name: SmolStr,
    pub(crate) place: Place,
    pub(crate) require: Option<Expr>,
    pub(crate) tight: Option<Expr>,
    pub(crate) why: Option<Literal>,
}

/// A thing that is printed, cut or bought.
#[derive(Clone, Debug)]
pub(crate) struct Part {
    pub(crate) name: SmolStr,
    pub(crate) place: Place,
    pub(crate) made: Option<Literal>,
    pub(crate) material: Option<Literal>,
    pub(crate) note: Option<Literal>,
    pub(crate) quantity: Option<Expr>,
    pub(crate) cost: Option<Expr>,
    pub(crate) mass: Option<Expr>,
    pub(crate) cad: Option<Cad>,
    pub(crate) uses: Vec<Literal>,
}

/// A part's model.
#[derive(Clone, Debug)]
pub(crate) struct Cad {
    pub(crate) written: String,
    /// From the root; absent when the path is not a safe one.
    pub(crate) path: Option<String>,
    pub(crate) place: Place,
}
