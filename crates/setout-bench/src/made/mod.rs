//! A design of any size, the same on every machine.
//!
//! It is made of groups of ten dimensions, as somebody would set out one plate after the other: three
//! chosen and seven derived, in chains through their table and into others. Sizes come from a hash of the
//! place, so that no two plates are alike and a larger design is more of the same.

mod group;
mod term;
mod text;

pub use group::{COMMON, Dimension, PLAY, dimensions, name};
pub use term::{Dialect, Op, Term};
pub use text::Own;

use std::fs;
use std::io;
use std::path::Path;

/// How many dimensions a group has, and how many of them are derived.
pub const GROUP: usize = 10;
/// How many of a group are derived.
pub const DERIVED: usize = 7;

/// So many dimensions in so many tables; whole groups, at least one a table.
#[derive(Clone, Copy, Debug)]
pub struct Size {
    /// How many tables.
    pub tables: usize,
    /// How many groups each table has.
    pub groups: usize,
}

impl Size {
    /// The nearest size of whole groups, the same number in every table.
    pub fn new(dimensions: usize, tables: usize) -> Self {
        let tables = tables.max(1);
        Self { tables, groups: (dimensions / GROUP / tables).max(1) }
    }

    /// Tables of 2,000 dimensions, and at least five.
    pub fn usual(dimensions: usize) -> Self {
        Self::new(dimensions, (dimensions / 2_000).max(5))
    }

    /// All dimensions of all groups.
    pub fn dimensions(self) -> usize {
        self.tables * self.groups * GROUP
    }
}

/// The texts of all tables, `design.yaml` first.
pub fn texts(size: Size) -> impl Iterator<Item = (String, String)> {
    let design = ("design.yaml".to_owned(), text::DESIGN.to_owned());
    let tables = (0..size.tables)
        .map(move |table| (format!("{}.yaml", group::table_name(table)), text::table(size, table)));
    let common = ("common.yaml".to_owned(), text::COMMON_TABLE.to_owned());
    [design, common].into_iter().chain(tables)
}

/// Writes the design into a folder's `params`.
///
/// # Errors
///
/// When the folder cannot be written.
pub fn write(size: Size, folder: &Path) -> io::Result<()> {
    let params = folder.join("params");
    fs::create_dir_all(&params)?;
    texts(size).try_for_each(|(name, text)| fs::write(params.join(name), text))
}
