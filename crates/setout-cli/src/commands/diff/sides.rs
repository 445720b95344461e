//! The two states that are compared.

use std::path::Path;

use setout::{
    Evaluation, Fault, FindError, Folder, Pair, Revision, RevisionError, Revisions, Source,
    export_faults, spec_pair,
};

use crate::trouble::Trouble;

/// Reads what was typed: nothing, `A`, `A B`, `A..B` or `A...B`.
pub(super) fn pair(before: Option<&str>, after: Option<&str>) -> Result<Pair, RevisionError> {
    match (before, after) {
        (Some(before), Some(after)) => match (spec_pair(before)?, spec_pair(after)?) {
            (Pair::Working { before }, Pair::Working { before: after }) => {
                Ok(Pair::Revisions { before, after })
            }
            _ => Err(RevisionError::BadSpec { spec: format!("{before} {after}") }),
        },
        (before, _) => spec_pair(before.unwrap_or_default()),
    }
}

/// Both states, opened.
pub(super) struct Sides {
    pub(super) before: Side,
    pub(super) after: Side,
}

/// One of them.
pub(super) enum Side {
    Revision(Revision),
    Working(Folder),
}

impl Side {
    pub(super) fn revision(&self) -> Option<&Revision> {
        match self {
            Self::Revision(revision) => Some(revision),
            Self::Working(_) => None,
        }
    }

    fn source(&self) -> &dyn Source {
        match self {
            Self::Revision(revision) => revision,
            Self::Working(folder) => folder,
        }
    }

    /// What it is, in a word or a few.
    pub(super) fn name(&self) -> &str {
        match self {
            Self::Revision(revision) => revision.short(),
            Self::Working(_) => "the files as they stand",
        }
    }

    /// What it is, and what its author said of it.
    pub(super) fn title(&self) -> String {
        match self {
            Self::Revision(revision) => format!("{} {}", revision.short(), revision.summary()),
            Self::Working(_) => self.name().to_owned(),
        }
    }
}

impl Sides {
    /// Opens and evaluates both. In a bare repository there are only revisions.
    pub(super) fn evaluated(
        here: &Path,
        pair: &Pair,
    ) -> Result<(Self, Evaluation, Evaluation), Trouble> {
        let revisions = match Folder::find(here) {
            Ok(folder) if matches!(pair, Pair::Working { .. }) => {
                let before = || Revisions::of(&folder)?.sides(pair).map(|sides| sides.before);
                let (before, old, new) = Evaluation::read_both_opening(before, &folder)?;
                let (before, after) = (Side::Revision(before), Side::Working(folder));
                return Ok((Self { before, after }, old, new));
            }
            Ok(folder) => Revisions::of(&folder)?,
            Err(FindError::Bare { repository }) if !matches!(pair, Pair::Working { .. }) => {
                Revisions::bare(&repository, None)?
            }
            Err(error) => return Err(error.into()),
        };
        let opened = revisions.sides(pair)?;
        let Some(after) = opened.after else {
            return Err(Trouble::bad_call("there are no files to compare with", ""));
        };
        let (old, new) = Evaluation::read_both(&opened.before, &after);
        let (before, after) = (Side::Revision(opened.before), Side::Revision(after));
        Ok((Self { before, after }, old, new))
    }

    /// Whether both hold the same texts, byte for byte.
    pub(super) fn are_identical(&self) -> bool {
        let texts = |side: &Side| -> Option<Vec<(String, Vec<u8>)>> {
            let source = side.source();
            let named = |path: String| {
                let file = path.rsplit('/').next().unwrap_or(&path).to_owned();
                Some((file, source.read(&path).ok()?))
            };
            source.list().ok()?.into_iter().map(named).collect()
        };
        texts(&self.before).is_some_and(|before| Some(before) == texts(&self.after))
    }

    /// The faults of both, each with the state in which it stands.
    pub(super) fn troubles(&self, before: &Evaluation, after: &Evaluation) -> Vec<Trouble> {
        let (old, new) = (faults(before), faults(after));
        let (both, only_new): (Vec<Fault>, Vec<Fault>) =
            new.into_iter().partition(|fault| old.contains(fault));
        let only_old = old.into_iter().filter(|fault| !both.contains(fault)).collect();
        [
            told(only_old, &self.before, self.before.name()),
            told(only_new, &self.after, self.after.name()),
            told(both, &self.after, "both states"),
        ]
        .concat()
    }
}

/// All faults of a design, those of the exports that it lists among them.
fn faults(evaluation: &Evaluation) -> Vec<Fault> {
    let mut faults = export_faults(evaluation);
    faults.extend(evaluation.faults().iter().cloned());
    faults.sort();
    faults.dedup();
    faults
}

fn told(faults: Vec<Fault>, side: &Side, which: &str) -> Vec<Trouble> {
    let troubles = Trouble::of_design(&faults, side.source()).into_iter();
    let named = |trouble: Trouble| Trouble {
        message: format!("{} (in {which})", trouble.message),
        ..trouble
    };
    troubles.map(named).collect()
}
