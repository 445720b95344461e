//! Hand-written tables as a tree of texts, each with its place.
//!
//! YAML readers that give values decide too much: `no` becomes false, `010` ten, and of two
//! entries with one name the last wins. Here a scalar stays the text that was written, and what a
//! table has no use for (tags, anchors, merge keys, tabs, several documents) is a fault with a
//! place and a mend.
//!
//! [`read`] gives the tree and all faults, [`splice`] writes one scalar back and leaves every
//! other byte alone, [`Lines`] turns a byte into the line and column an editor shows.

mod blame;
mod brackets;
mod build;
mod conflict;
mod decode;
mod explain;
mod gap;
mod insert;
mod lines;
mod listed;
mod node;
mod pieces;
mod prepare;
mod problem;
mod put;
mod quote;
mod read;
mod reason;
mod row;
mod same;
mod scalar;
mod scalars;
mod splice;
mod syntax;
mod take;
mod taken;
mod torn;
mod words;

pub(crate) use insert::{New, NewEntries, Word, insert, node_at};
pub(crate) use lines::LineIndex;
pub use lines::Lines;
pub(crate) use listed::relist;
pub use node::{Entry, List, Map, Node};
pub(crate) use pieces::{Block, Piece, file_of, pieces};
pub use prepare::utf8;
pub use problem::{Problem, Slug};
pub(crate) use put::{Section, put};
pub use read::{DEEPEST, read};
pub use same::same_except;
pub use scalar::{Scalar, Style};
pub use splice::{Edit, SpliceError, splice, splice_all};
pub(crate) use take::{take, without};
pub(crate) use taken::comments;
pub(crate) use words::lines as lines_in;

/// Bytes of the source text.
pub type Span = std::ops::Range<usize>;

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "a test stops where it fails")]
mod properties;
#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "a test stops where it fails")]
mod tests;
