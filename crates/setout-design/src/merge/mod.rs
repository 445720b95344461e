//! Three states of a table merged: in the terms of the table, not line by line.
//!
//! What both sides changed is settled thing by thing and field by field, on what the tables say:
//! layout, quotes and order have no part in it. The text is then put together of the lines of both
//! sides as they are. Whether it says what was settled is not reasoned out but seen: it is read
//! again, and where it says anything else, or where a text is no table, the lines are merged
//! instead, with marks wherever both sides touched them.
//!
//! ```
//! use setout_design::merge::{Labels, ThreeWay, merge_table};
//! let base = "dimensions:\n  width: 62 mm\n  wall: 2 mm\n";
//! let ours = "dimensions:\n  width: 64 mm\n  wall: 2 mm\n";
//! let theirs = "dimensions:\n  width: { value: 62 mm, min: 55 mm }\n  wall: 2 mm\n  \
//!               gap: wall / 4   # air\n";
//! let merged = merge_table(ThreeWay { base, ours, theirs }, &Labels::default());
//! assert!(merged.conflicts.is_empty());
//! assert_eq!(merged.text, "dimensions:\n  width: { value: 64 mm, min: 55 mm }\n  wall: 2 mm\n  \
//!            gap: wall / 4   # air\n");
//! ```

mod designs;
mod facts;
mod follow;
mod leaf;
mod lines;
mod meaning;
mod output;
mod renamed;
mod settle;
mod table;
mod write;

pub use designs::{MergedDesign, merge_designs};
pub use facts::facts;
pub use output::{ConflictKind, MergeConflict};

/// Three states of a table's text. The base is empty where both sides made the table.
#[derive(Clone, Copy, Debug)]
pub struct ThreeWay<'a> {
    /// The state from which both sides went.
    pub base: &'a str,
    /// Our side.
    pub ours: &'a str,
    /// The other side.
    pub theirs: &'a str,
}

/// What the three states are called behind the marks of a conflict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Labels {
    /// The base.
    pub base: String,
    /// Our side.
    pub ours: String,
    /// The other side.
    pub theirs: String,
    /// How many signs a mark has. Git asks for more where a base has marks of its own, so that
    /// these are told apart.
    pub marks: usize,
}

/// How many signs a mark has where nobody asks for another number.
pub const MARKS: usize = 7;

impl Default for Labels {
    fn default() -> Self {
        Self { base: "base".into(), ours: "ours".into(), theirs: "theirs".into(), marks: MARKS }
    }
}

/// A table as it was merged.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct MergedTable {
    /// The text, with git's marks round every conflict.
    pub text: String,
    /// What a person has to settle, in the order of the text.
    pub conflicts: Vec<MergeConflict>,
    /// Why the lines were merged and not the table, as a clause.
    pub by_lines: Option<String>,
}

/// Merges a table. Values and conflicts are the same whichever side is ours; order and layout are
/// those of ours, and what theirs added stands behind what it stood behind there.
pub fn merge_table(texts: ThreeWay<'_>, labels: &Labels) -> MergedTable {
    match table::merged(texts, &follow::Unsettled::new()) {
        Ok(output) => output.table(labels, None),
        Err(reason) => write::by_lines(texts).table(labels, Some(reason)),
    }
}
