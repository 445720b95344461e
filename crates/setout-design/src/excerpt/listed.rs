//! One state of a design by the names of its files, and what is common to its tables.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use setout_quantity::Units;

use super::{Stamp, Stamped, Stamps};
use crate::document::{Common, File};
use crate::{Fault, SourceError};

/// The files of a design's folder, and the tables that they hold.
#[derive(Debug, Default)]
pub(crate) struct Listing {
    pub(crate) paths: Vec<String>,
    pub(crate) folder: String,
    /// The path of each table.
    pub(crate) tables: BTreeMap<String, String>,
    /// The names of tables whose files are not named as tables are.
    pub(crate) lost: BTreeSet<String>,
    pub(crate) faults: Vec<Fault>,
}

/// What `design.yaml` says.
#[derive(Debug)]
pub(crate) struct CommonPart {
    pub(crate) common: Common,
    pub(crate) units: Arc<Units>,
    pub(crate) file: Option<File>,
    /// Those that may bear on a value.
    pub(crate) faults: Vec<Fault>,
}

/// One state of a design, none of its tables read yet.
pub(super) struct State<'s> {
    pub(super) source: &'s dyn Stamped,
    pub(super) stamps: Arc<Stamps>,
    pub(super) listing: Arc<Listing>,
    pub(super) common: Arc<CommonPart>,
    /// The stamp of `design.yaml`.
    pub(super) common_stamp: Option<Stamp>,
}

impl State<'_> {
    pub(super) fn stamp(&self, path: &str) -> Option<Stamp> {
        stamp_of(&self.stamps, path)
    }
}

/// The stamp of a file among those of a folder, which are sorted by path.
pub(super) fn stamp_of(stamps: &[(Arc<str>, Stamp)], path: &str) -> Option<Stamp> {
    let at = stamps.binary_search_by(|(other, _)| (**other).cmp(path)).ok()?;
    Some(stamps[at].1)
}

/// Why a state cannot be read at all.
pub(super) fn unlisted(error: &SourceError) -> Fault {
    crate::material::source_fault("design.yaml", error)
}
