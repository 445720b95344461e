//! Edits of a dimension's fields in the text of its table: value, unit, limits, tolerance, note.
//!
//! All fields of one call are written together, since one may only make sense with the other: a
//! greater `min` with a greater `max`. A field that is there is changed in place; one that is not
//! is put behind the others in the way they are written.

mod text;

use crate::model::NodeOf;
use crate::source::Over;
use crate::yaml::SpliceError;
use crate::{Comparison, Design, EditFault, Evaluation, Memory, Source, What};
use text::written;

/// A field of a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Field {
    /// The value, or the text.
    Value,
    /// The unit it is shown in.
    Unit,
    /// The least that it may be.
    Min,
    /// The most that it may be.
    Max,
    /// How true it comes out.
    Tolerance,
    /// A remark.
    Note,
}

impl Field {
    /// Its key in a table.
    pub fn key(self) -> &'static str {
        match self {
            Self::Value => "value",
            Self::Unit => "unit",
            Self::Min => "min",
            Self::Max => "max",
            Self::Tolerance => "tolerance",
            Self::Note => "note",
        }
    }

    /// What a comparison calls an edit of it.
    fn what(self) -> What {
        match self {
            Self::Value => What::Value,
            Self::Unit => What::Unit,
            Self::Min | Self::Max => What::Limits,
            Self::Tolerance => What::Tolerance,
            Self::Note => What::Note,
        }
    }
}

/// An edit of a dimension's fields, ready to be written.
#[derive(Clone, Debug)]
pub struct FieldsEdit {
    /// The full name of the dimension.
    pub name: String,
    /// The root-relative path of the table.
    pub path: String,
    /// The lines that differ, in the order in which they were edited.
    pub lines: Vec<LineEdit>,
    /// The whole text as it was.
    pub before: String,
    /// The whole text with the edit.
    pub after: String,
    /// The design with the edit.
    pub design: Design,
}

/// A line that was edited.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineEdit {
    /// Its number, after.
    pub line: usize,
    /// As it was; absent for a new one.
    pub before: Option<String>,
    /// As it is.
    pub after: String,
}

impl Design {
    /// The edit of a table's text that gives a dimension other fields, all of them together.
    /// Every other byte stays, but that a value in its short form gets braces round it.
    /// `source` is where the design was read from.
    ///
    /// ```
    /// use setout_design::{Design, Field, Memory};
    /// let texts = Memory::new([
    ///     ("design.yaml", "setout: 1\n"),
    ///     ("lid.yaml", "dimensions:\n  width: 62 mm   # over all\n"),
    /// ]);
    /// let fields = [(Field::Min, "55 mm"), (Field::Max, "70 mm")];
    /// let edit = Design::read(&texts).fields_edit(&texts, "lid.width", &fields, false).unwrap();
    /// assert_eq!(edit.after,
    ///     "dimensions:\n  width: { value: 62 mm, min: 55 mm, max: 70 mm }   # over all\n");
    /// ```
    ///
    /// # Errors
    /// As [`text_edit`](Self::text_edit); and a design that has faults.
    pub fn fields_edit(
        &self,
        source: &dyn Source,
        name: &str,
        fields: &[(Field, &str)],
        over_formula: bool,
    ) -> Result<FieldsEdit, EditFault> {
        let known = self.evaluate();
        if !known.faults().is_empty() {
            return Err(EditFault::Faults(known.faults().to_vec()));
        }
        let slot = self.slot(name)?;
        let of = &self.model.nodes[slot as usize];
        let name = of.name.to_string();
        let NodeOf::Dimension { table, index } = of.of else { return Err(no_fields(name)) };
        let sets_value = fields.iter().any(|(field, _)| *field == Field::Value);
        if sets_value && !over_formula && !self.model.is_chosen(slot) {
            let formula = self.model.expr(&self.material, slot).map_or("", |expr| expr.text());
            return Err(EditFault::IsFormula { name, formula: formula.to_owned() });
        }
        let table = &self.material.tables[table as usize];
        let path = ["dimensions", table.dimensions[index as usize].name.as_str()];
        let file = &self.material.files[table.file as usize];
        let unwritable = |error: SpliceError| EditFault::Unwritable {
            name: name.clone(),
            reason: error.to_string(),
        };
        let (after, lines) = written(&file.text, &path, fields).map_err(unwritable)?;
        let edited = Memory::new([(file.path.to_string(), after.clone())]);
        let design = Self::read(&Over { source, edited: &edited });
        let now = design.evaluate();
        if !now.faults().is_empty() {
            let faults = now.faults().to_vec();
            return Err(EditFault::Brings { faults, texts: edited });
        }
        if !is_what_was_wanted(&known, &now, &name, fields) {
            let reason = "more than these fields would change".to_owned();
            return Err(EditFault::Unwritable { name, reason });
        }
        let (path, before) = (file.path.to_string(), file.text.to_string());
        Ok(FieldsEdit { name, path, lines, before, after, design })
    }
}

fn no_fields(name: String) -> EditFault {
    let message = format!("`{name}` is no dimension and has a value alone");
    let help = "units, limits, tolerances and notes are set of dimensions".into();
    EditFault::NotFound { name, message, help }
}

/// Whether nothing was edited but these fields, and no value changed unless one was set.
fn is_what_was_wanted(
    before: &Evaluation,
    after: &Evaluation,
    name: &str,
    fields: &[(Field, &str)],
) -> bool {
    let found = Comparison::of(before, after);
    let wanted = |what: What| fields.iter().any(|(field, _)| field.what() == what);
    let edits = found.edits.iter().all(|edit| edit.name == name && wanted(edit.what));
    edits && (found.changed.is_empty() || wanted(What::Value))
}
