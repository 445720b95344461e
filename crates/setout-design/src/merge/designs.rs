//! Whole designs merged: table by table, with the names that either side gave followed through all
//! of them.

use std::collections::{BTreeMap, BTreeSet};

use super::follow::{Followed, Side, Unsettled};
use super::output::Output;
use super::write::by_lines;
use super::{ConflictKind, Labels, MergeConflict, MergedTable, ThreeWay, table};
use crate::{Memory, Source, SourceError};

/// A design as it was merged.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct MergedDesign {
    /// Every file that there is now, by its path on our side. What is not there any more is gone.
    pub files: BTreeMap<String, String>,
    /// The paths on our side of tables that are gone.
    pub gone: Vec<String>,
    /// What a person has to settle: the file, and what it is about.
    pub conflicts: Vec<(String, MergeConflict)>,
    /// Why lines were merged and not the table, by file.
    pub by_lines: BTreeMap<String, String>,
}

impl MergedDesign {
    /// The merged texts as a design's; with marks where there are conflicts.
    pub fn texts(&self) -> Memory {
        Memory::new(self.files.iter().map(|(path, text)| (path.as_str(), text.as_str())))
    }
}

/// Merges whole designs. A thing or table that one side renamed, or moved to another table, is
/// followed: what the other side says of it is taken to the new name first, with all that names it.
/// Two new names for one thing, one new name for two, and a new name for what the other side
/// deleted are conflicts of the kind [`ConflictKind::Renamed`], in every table concerned.
///
/// ```
/// use setout_design::Memory;
/// use setout_design::merge::{Labels, merge_designs};
/// let design = |jaw: &str| Memory::new([("design.yaml", "setout: 1\n"), ("jaw.yaml", jaw)]);
/// let base = design("dimensions:\n  width: 62 mm\n");
/// let ours = design("dimensions:\n  width_over_all: 62 mm\n");
/// let theirs = design("dimensions:\n  width: 62 mm\n  half: width / 2\n");
/// let merged = merge_designs(&base, &ours, &theirs, &Labels::default())?;
/// assert_eq!(merged.files["jaw.yaml"],
///     "dimensions:\n  width_over_all: 62 mm\n  half: width_over_all / 2\n");
/// # Ok::<(), setout_design::SourceError>(())
/// ```
///
/// # Errors
/// When one of the three cannot be read.
pub fn merge_designs(
    base: &dyn Source,
    ours: &dyn Source,
    theirs: &dyn Source,
    labels: &Labels,
) -> Result<MergedDesign, SourceError> {
    let sides = [Side::of(base)?, Side::of(ours)?, Side::of(theirs)?];
    let before: Vec<String> = sides[1].files.keys().cloned().collect();
    let Followed { sides, unsettled, .. } = Followed::through(sides);
    let folder = sides[1].folder.clone();
    let mut merged = MergedDesign {
        files: BTreeMap::new(),
        gone: Vec::new(),
        conflicts: Vec::new(),
        by_lines: BTreeMap::new(),
    };
    let files: BTreeSet<&String> = sides.iter().flat_map(|side| side.files.keys()).collect();
    let settled = Unsettled::new();
    for file in files {
        let three = sides.each_ref().map(|side| side.files.get(file).map(String::as_str));
        let table = file.strip_suffix(".yaml").unwrap_or(file);
        let open = unsettled.get(table).unwrap_or(&settled);
        if let Some(table) = table_of(three, open, labels) {
            merged.add(format!("{folder}{file}"), table);
        }
    }
    let gone = before.iter().map(|file| format!("{folder}{file}"));
    merged.gone = gone.filter(|path| !merged.files.contains_key(path)).collect();
    Ok(merged)
}

impl MergedDesign {
    fn add(&mut self, path: String, table: MergedTable) {
        self.conflicts.extend(table.conflicts.into_iter().map(|of| (path.clone(), of)));
        self.by_lines.extend(table.by_lines.map(|why| (path.clone(), why)));
        self.files.insert(path, table.text);
    }
}

/// What a file comes to, if there is one. `open` are the names in it that a person has to settle.
fn table_of(three: [Option<&str>; 3], open: &Unsettled, labels: &Labels) -> Option<MergedTable> {
    let whole = |what| Some(Output::of_file(three, what, open).table(labels, None));
    match three {
        _ if open.contains_key("") => whole(ConflictKind::Renamed),
        [_, None, None] => None,
        [base, Some(ours), Some(theirs)] => {
            let texts = ThreeWay { base: base.unwrap_or_default(), ours, theirs };
            match table::merged(texts, open) {
                Ok(output) => Some(output.table(labels, None)),
                Err(_) if !open.is_empty() => whole(ConflictKind::Renamed),
                Err(reason) => Some(by_lines(texts).table(labels, Some(reason))),
            }
        }
        _ if !open.is_empty() => whole(ConflictKind::Renamed),
        [None, Some(own), None] | [None, None, Some(own)] => {
            Some(Output::of_text(own).table(labels, None))
        }
        [Some(base), Some(own), None] | [Some(base), None, Some(own)] if own == base => None,
        [Some(_), ..] => whole(ConflictKind::Deleted),
    }
}
