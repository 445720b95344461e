//! Another name for something, with all that names it; another table for a thing; another name
//! for a table and its file.
//!
//! Only the bytes of names change, each where it stands: in quotes, in folded blocks, behind any
//! layout. What goes to another table takes its lines along. That nothing else came of it is not
//! reasoned out but seen: the new texts are read again, and beside the old ones they must differ
//! by this one name.

mod mentions;
mod models;
mod moved;
mod plan;
mod tables;

use std::collections::BTreeMap;

use crate::source::Over;
use crate::{Comparison, Design, EditFault, Memory, Source, What};
use mentions::Mentions;
pub use models::ModelUse;
pub use moved::MovedLines;
use moved::Texts;
use plan::Plan;

/// A rename, ready to be written.
#[derive(Clone, Debug)]
pub struct Rename {
    /// The full name as it was.
    pub from: String,
    /// The full name as it is.
    pub to: String,
    /// The tables that differ, by path.
    pub files: Vec<RenamedFile>,
    /// Where models of parts use a name under which it was exported. They are not edited.
    pub models: Vec<ModelUse>,
    /// The exports in which the old name stands, as `design.yaml` names them.
    pub exports: Vec<String>,
    /// The design with the new name.
    pub design: Design,
}

/// A table in which something was renamed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RenamedFile {
    /// The root-relative path.
    pub path: String,
    /// The path until now, where the table itself was renamed.
    pub path_before: Option<String>,
    /// The line of each name that changed, as it is now, in their order; a line may stand several
    /// times.
    pub lines: Vec<usize>,
    /// The lines that went to another table, as they were numbered here.
    pub taken_out: Option<MovedLines>,
    /// The lines that came from another table, as they are numbered here now.
    pub put_in: Option<MovedLines>,
    /// The whole text as it was.
    pub before: String,
    /// The whole text as it is.
    pub after: String,
}

impl Design {
    /// Gives something another name, and with it all that names it: formulas, limits, checks,
    /// cells, costs and what parts use. `old` is the full name of a dimension, schedule, row,
    /// column, check or part, a bare one that only one table has, or the name of a table. `new`
    /// is a bare name, or a full one: `frame.width` for `jaw.width` moves the dimension into the
    /// table `frame`. `source` is where the design was read from.
    ///
    /// ```
    /// use setout_design::{Design, Memory};
    /// let texts = Memory::new([
    ///     ("design.yaml", "setout: 1\n"),
    ///     ("lid.yaml", "dimensions:\n  width: 62 mm\n  half: width / 2   # of width\n"),
    ///     ("rim.yaml", "dimensions:\n  top: lid.width\n"),
    /// ]);
    /// let rename = Design::read(&texts).rename(&texts, "lid.width", "span").unwrap();
    /// assert_eq!(rename.files[0].after,
    ///     "dimensions:\n  span: 62 mm\n  half: span / 2   # of width\n");
    /// let rename = Design::read(&texts).rename(&texts, "lid.width", "rim.width").unwrap();
    /// assert_eq!(rename.files[0].after, "dimensions:\n  half: rim.width / 2   # of width\n");
    /// assert_eq!(rename.files[1].after, "dimensions:\n  top: width\n  width: 62 mm\n");
    /// let rename = Design::read(&texts).rename(&texts, "lid", "cover").unwrap();
    /// assert_eq!(rename.files[0].path, "cover.yaml");
    /// assert_eq!(rename.files[1].after, "dimensions:\n  top: cover.width\n");
    /// ```
    ///
    /// # Errors
    /// Names that stand for nothing that can be renamed; tables that are not there; new names that
    /// break the rules, are taken, or would make another name ambiguous; and a design that has
    /// faults, since what cannot be read may hold the name as well.
    pub fn rename(&self, source: &dyn Source, old: &str, new: &str) -> Result<Rename, EditFault> {
        let before = self.evaluate();
        if !before.faults().is_empty() {
            return Err(EditFault::Faults(before.faults().to_vec()));
        }
        let plan = Plan::of(self, old, new)?;
        let (from, to) = (plan.from(), plan.to());
        let texts = Texts::of(self, &plan, Mentions::of(self, &plan)?.respelt(self))?;
        let edited = texts.edited();
        let design = Self::read(&Over { source, edited: &edited, gone: texts.gone() });
        let after = design.evaluate();
        if !after.faults().is_empty() {
            let faults = after.faults().to_vec();
            return Err(EditFault::Brings { faults, texts: design.texts() });
        }
        let found = Comparison::of_renamed(&before, &after, (&from, &to), plan.sort());
        if !is_one_rename(&found, &to) {
            let reason = "more than the name would change".to_owned();
            return Err(EditFault::Unwritable { name: from, reason });
        }
        let files = texts.files(&lines_of(&design, &to, &from)?);
        let models = models::uses(self, source, &plan);
        Ok(Rename { from, to, files, models, exports: found.exports, design })
    }

    /// All tables as they were read.
    pub(crate) fn texts(&self) -> Memory {
        let files = self.material.files.iter();
        Memory::new(files.map(|file| (file.path.to_string(), file.text.to_string())))
    }
}

/// Where the new name stands: what a rename back would edit.
fn lines_of(
    design: &Design,
    to: &str,
    from: &str,
) -> Result<BTreeMap<String, Vec<usize>>, EditFault> {
    let back = Plan::back(design, to, from)?;
    Ok(Mentions::of(design, &back)?.lines(design))
}

/// Whether nothing differs but one name.
fn is_one_rename(found: &Comparison, to: &str) -> bool {
    let [edit] = &found.edits[..] else { return false };
    let turned = found.checks.iter().any(|check| check.differs());
    let limits = found.limits.iter().any(|limit| limit.turned());
    let same = found.changed.is_empty() && !turned && !limits;
    same && (edit.what, edit.name.as_str()) == (What::Renamed, to)
}
