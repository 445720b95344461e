//! Whole designs merged: table by table, with the names that either side gave followed through all
//! of them.

use std::collections::{BTreeMap, BTreeSet};

use super::output::{Marked, Output};
use super::{ConflictKind, Labels, MergeConflict, ThreeWay, merge_table};
use crate::comparison::Renames;
use crate::{Design, Memory, Source, SourceError};

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
    let folder = folder_of(ours)?;
    let [base, ours, theirs] =
        [tables_of(base)?, tables_of(ours)?, tables_of(theirs)?].map(Tables::named);
    let (by_ours, by_theirs) = (renames(&base, &ours), renames(&base, &theirs));
    let ours_before = ours.clone();
    let base = base.with(&by_ours).with(&by_theirs);
    let (ours, theirs) = (ours.with(&by_theirs), theirs.with(&by_ours));
    let mut merged = MergedDesign {
        files: BTreeMap::new(),
        gone: Vec::new(),
        conflicts: Vec::new(),
        by_lines: BTreeMap::new(),
    };
    let names: BTreeSet<&String> =
        [&base, &ours, &theirs].into_iter().flat_map(|of| of.0.keys()).collect();
    for name in names {
        let three = [&base, &ours, &theirs].map(|of| of.0.get(name).map(String::as_str));
        merged.add(&format!("{folder}{name}"), three, labels);
    }
    let gone = ours_before.0.keys().map(|name| format!("{folder}{name}"));
    merged.gone = gone.filter(|path| !merged.files.contains_key(path)).collect();
    Ok(merged)
}

impl MergedDesign {
    fn add(&mut self, path: &str, [base, ours, theirs]: [Option<&str>; 3], labels: &Labels) {
        let text = match (base, ours, theirs) {
            (_, None, None) => return,
            (base, Some(ours), Some(theirs)) => {
                let base = base.unwrap_or_default();
                let table = merge_table(ThreeWay { base, ours, theirs }, labels);
                self.conflicts.extend(table.conflicts.into_iter().map(|of| (path.to_owned(), of)));
                self.by_lines.extend(table.by_lines.map(|why| (path.to_owned(), why)));
                table.text
            }
            (None, Some(own), None) | (None, None, Some(own)) => own.to_owned(),
            (Some(base), Some(own), None) | (Some(base), None, Some(own)) if own == base => return,
            (base, ours, theirs) => {
                let lines = |text: Option<&str>| text.map(str::to_owned);
                let mut output = Output::default();
                output.conflict(Marked {
                    names: vec![String::new()],
                    what: ConflictKind::Deleted,
                    base: lines(base),
                    ours: lines(ours),
                    theirs: lines(theirs),
                });
                let table = output.table(labels, None);
                self.conflicts.extend(table.conflicts.into_iter().map(|of| (path.to_owned(), of)));
                table.text
            }
        };
        self.files.insert(path.to_owned(), text);
    }
}

/// The texts of a design by the names of their files.
#[derive(Clone, Debug)]
struct Tables(BTreeMap<String, String>);

impl Tables {
    fn named(files: Vec<(String, String)>) -> Self {
        Self(files.into_iter().collect())
    }

    fn memory(&self) -> Memory {
        Memory::new(self.0.iter().map(|(name, text)| (name.as_str(), text.as_str())))
    }

    /// The same with other names for what it has. A name that cannot be given is left: then the
    /// table is in conflict, or the merged design has a fault that tells of it.
    fn with(self, renames: &[(String, String)]) -> Self {
        renames.iter().fold(self, |tables, (old, new)| {
            let memory = tables.memory();
            let design = Design::read(&memory);
            match design.rename(&memory, old, new) {
                Ok(rename) => tables.edited(&rename.files),
                Err(_) => tables,
            }
        })
    }

    fn edited(mut self, files: &[crate::RenamedFile]) -> Self {
        for file in files {
            if let Some(before) = &file.path_before {
                self.0.remove(before);
            }
            self.0.insert(file.path.clone(), file.after.clone());
        }
        self
    }
}

/// What was renamed or moved from one design to another: full names, those of tables first.
fn renames(before: &Tables, after: &Tables) -> Vec<(String, String)> {
    let (before, after) = (Design::read(&before.memory()), Design::read(&after.memory()));
    Renames::between(&before, &after).pairs()
}

/// The folder of a design with its `/`, or nothing.
fn folder_of(source: &dyn Source) -> Result<String, SourceError> {
    let marks = source.list()?.into_iter().find_map(|path| {
        path.strip_suffix("design.yaml")
            .filter(|folder| folder.is_empty() || folder.ends_with('/'))
            .map(str::to_owned)
    });
    Ok(marks.unwrap_or_default())
}

fn tables_of(source: &dyn Source) -> Result<Vec<(String, String)>, SourceError> {
    let tables = source.list()?.into_iter().filter(|path| path.ends_with(".yaml"));
    tables
        .map(|path| {
            let text = String::from_utf8(source.read(&path)?).map_err(|_| SourceError::Io {
                path: path.clone(),
                reason: "it is not UTF-8".into(),
            })?;
            let name = path.rsplit('/').next().unwrap_or(&path).to_owned();
            Ok((name, text))
        })
        .collect()
}
