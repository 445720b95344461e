//! Another name for something, with all that names it.
//!
//! Only the bytes of names change, each where it stands: in quotes, in folded blocks, behind any
//! layout. That nothing else came of it is not reasoned out but seen: the new texts are read
//! again, and beside the old ones they must differ by this one name.

mod mentions;
mod models;
mod subject;

use crate::document::name_fault;
use crate::source::Over;
use crate::{Comparison, Design, EditFault, Fault, Memory, Slug, Source, What};
use mentions::Mentions;
pub use models::ModelUse;
use subject::Subject;

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
    /// The line of each place that changed, in their order; a line may stand several times.
    pub lines: Vec<usize>,
    /// The whole text as it was.
    pub before: String,
    /// The whole text as it is.
    pub after: String,
}

impl Design {
    /// Gives something another name, and with it all that names it: formulas, limits, checks,
    /// cells, costs and what parts use. `old` is the full name of a dimension, schedule, row,
    /// column, check or part, or a bare one that only one table has; `new` is a bare name.
    /// `source` is where the design was read from.
    ///
    /// ```
    /// use setout_design::{Design, Memory};
    /// let texts = Memory::new([
    ///     ("design.yaml", "setout: 1\n"),
    ///     ("lid.yaml", "dimensions:\n  width: 62 mm\n  half: width / 2   # of width\n"),
    /// ]);
    /// let rename = Design::read(&texts).rename(&texts, "lid.width", "span").unwrap();
    /// assert_eq!(rename.files[0].after,
    ///     "dimensions:\n  span: 62 mm\n  half: span / 2   # of width\n");
    /// ```
    ///
    /// # Errors
    /// Names that stand for nothing that can be renamed; new names that break the rules, are
    /// taken, or would make another name ambiguous; and a design that has faults, since what
    /// cannot be read may hold the name as well.
    pub fn rename(&self, source: &dyn Source, old: &str, new: &str) -> Result<Rename, EditFault> {
        let before = self.evaluate();
        if !before.faults().is_empty() {
            return Err(EditFault::Faults(before.faults().to_vec()));
        }
        let subject = Subject::find(self, old)?;
        let new = self.free_name(&subject, new.trim())?;
        let (from, to) = (subject.full_name(), subject.full_name_as(new));
        let mentions = Mentions::of(self, &subject)?;
        let files = mentions.renamed(self, subject.name(), new);
        let texts = files.values().map(|file| (file.path.as_str(), file.after.as_str()));
        let texts = Memory::new(texts);
        let design = Self::read(&Over { source, edited: &texts });
        let after = design.evaluate();
        if !after.faults().is_empty() {
            let faults = after.faults().to_vec();
            return Err(EditFault::Brings { faults, texts });
        }
        let found = Comparison::of_renamed(&before, &after, (&from, &to), subject.sort());
        if !is_one_rename(&found, &to) {
            let reason = "more than the name would change".to_owned();
            return Err(EditFault::Unwritable { name: from, reason });
        }
        let models = models::uses(self, source, &subject, new);
        let (files, exports) = (files.into_values().collect(), found.exports);
        Ok(Rename { from, to, files, models, exports, design })
    }

    /// The new name, if it keeps the rules and nothing beside the subject bears it.
    fn free_name<'n>(&self, subject: &Subject<'_>, new: &'n str) -> Result<&'n str, EditFault> {
        let refuse = |place, slug, message, help| {
            Err(EditFault::Faults(vec![Fault { place, slug, message, help }]))
        };
        let own = subject.place();
        if let Some((_, last)) = new.rsplit_once('.') {
            let message = format!("`{new}` is more than a name");
            let help = match subject.full_name_as(last) == new {
                true => format!("write the new name alone: `{last}`"),
                false => {
                    format!("a rename stays in its place: write a name alone, such as `{last}`")
                }
            };
            return refuse(own, Slug::BadName, message, help);
        }
        if let Some((message, help)) = name_fault(new) {
            return refuse(own, Slug::BadName, message, help);
        }
        if subject.name() == new {
            let message = format!("`{}` has this name already", subject.full_name());
            return refuse(own, Slug::DuplicateName, message, "give it another one".into());
        }
        if let Some((what, place)) = subject.neighbour(new) {
            let message = format!("there is {what} `{new}` beside it already");
            let help = format!("give `{}` another name, or rename that first", subject.full_name());
            return refuse(place, Slug::DuplicateName, message, help);
        }
        Ok(new)
    }
}

/// Whether nothing differs but one name.
fn is_one_rename(found: &Comparison, to: &str) -> bool {
    let [edit] = &found.edits[..] else { return false };
    (edit.what, edit.name.as_str()) == (What::Renamed, to) && found.changed.is_empty()
}
