//! Edits of the fields of dimensions, checks and parts in the texts of their tables.
//!
//! All fields of one call are written together, since one may only make sense with the other: a
//! greater `min` with a greater `max`. A field that is there is changed in place; one that is not
//! is put behind the others in the way they are written.

mod field;
mod lines;
mod text;
mod wanted;

use std::collections::BTreeMap;

use crate::source::Over;
use crate::yaml::{Lines, Node, SpliceError, node_at, read};
use crate::{Comparison, Design, EditFault, Evaluation, Fault, Memory, Source};
pub use field::Field;
use lines::{Things, edits_of};
use text::{field_of, written};
use wanted::Wanted;

/// What a field is to hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FieldEdit<'a> {
    /// The thing: a dimension, a check or a part, or a cell for its value.
    pub name: &'a str,
    /// The field.
    pub field: Field,
    /// What it is to hold: a formula, a literal text, or a list such as `[0 deg, 28 deg]`, of
    /// which the brackets can be left out. Absent where the field is to be taken out.
    pub new: Option<&'a str>,
}

/// An edit of fields, ready to be written.
#[derive(Clone, Debug)]
pub struct FieldsEdit {
    /// The lines that differ, thing by thing in the order asked for. A thing that is as it was
    /// has none.
    pub lines: Vec<LineEdit>,
    /// The tables that differ: their paths with the texts as they were and as they are.
    pub files: BTreeMap<String, [String; 2]>,
    /// The design with the edit.
    pub design: Design,
}

/// A line that was edited.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineEdit {
    /// The full name of the thing that it is of.
    pub name: String,
    /// The root-relative path of the table.
    pub path: String,
    /// Its number after; before, for one that is gone.
    pub line: usize,
    /// As it was; absent for a new one.
    pub before: Option<String>,
    /// As it is; absent for one that is gone.
    pub after: Option<String>,
}

impl Design {
    /// The edit of the tables' texts that gives things other fields, all of them together. Every
    /// other byte stays, but that a value in its short form gets braces round it. `source` is
    /// where the design was read from; no field of a thing stands twice.
    ///
    /// ```
    /// use setout_design::{Design, Field, FieldEdit, Memory};
    /// let texts = Memory::new([
    ///     ("design.yaml", "setout: 1\n"),
    ///     ("lid.yaml", "dimensions:\n  width: 62 mm   # over all\n"),
    /// ]);
    /// let design = Design::read(&texts);
    /// let edit = |field, new| FieldEdit { name: "lid.width", field, new };
    /// let fields = [edit(Field::Min, Some("55 mm")), edit(Field::Max, Some("70 mm"))];
    /// let edit = design.fields_edit(&texts, &fields, false).unwrap();
    /// assert_eq!(edit.files["lid.yaml"][1],
    ///     "dimensions:\n  width: { value: 62 mm, min: 55 mm, max: 70 mm }   # over all\n");
    /// ```
    ///
    /// # Errors
    /// As [`text_edit`](Self::text_edit); fields that the thing does not have, or that it must
    /// have and that are to be taken out; and a design that still has a fault with all of them.
    pub fn fields_edit(
        &self,
        source: &dyn Source,
        edits: &[FieldEdit<'_>],
        over_formula: bool,
    ) -> Result<FieldsEdit, EditFault> {
        let wanted = self.wanted_fields(edits, over_formula)?;
        let files = self.written_fields(&wanted)?;
        let edited = files.iter().map(|(path, [_, after])| (path.as_str(), after.as_str()));
        let edited = Memory::new(edited);
        let design = Self::read(&Over { source, edited: &edited, gone: None });
        let (known, now) = (self.evaluate(), design.evaluate());
        if !now.faults().is_empty() {
            // Faults that were there before stand where they stand on disk.
            if same_but_place(known.faults(), now.faults()) {
                return Err(EditFault::Faults(known.faults().to_vec()));
            }
            let faults = now.faults().to_vec();
            return Err(EditFault::Brings { faults, texts: design.texts() });
        }
        if let Some(name) = unwanted(&known, &now, &wanted) {
            let reason = "more than these fields would change".to_owned();
            return Err(EditFault::Unwritable { name, reason });
        }
        Ok(FieldsEdit { lines: self.line_edits(&wanted, &files), files, design })
    }

    fn wanted_fields(
        &self,
        edits: &[FieldEdit<'_>],
        over_formula: bool,
    ) -> Result<Vec<Wanted<'_>>, EditFault> {
        let mut wanted = Vec::new();
        for edit in edits {
            let one = self.wanted_field(edit)?;
            if one.new.is_none() && one.field.is_needed() {
                return Err(EditFault::Needed { name: one.name, field: one.field.key() });
            }
            if one.field.is_value() && one.new.is_some() && !over_formula {
                let formula = self.formula_of(&one.name, one.field)?;
                if let Some(formula) = formula {
                    return Err(EditFault::IsFormula { name: one.compared, formula });
                }
            }
            wanted.push(one);
        }
        Ok(wanted)
    }

    /// The texts of the tables with what is wanted of each.
    fn written_fields(
        &self,
        wanted: &[Wanted<'_>],
    ) -> Result<BTreeMap<String, [String; 2]>, EditFault> {
        let mut by_file: BTreeMap<u32, Vec<&Wanted<'_>>> = BTreeMap::new();
        for one in wanted {
            by_file.entry(one.file).or_default().push(one);
        }
        let mut files = BTreeMap::new();
        for (file, wanted) in by_file {
            let file = &self.material.files[file as usize];
            let after = written(&file.text, &wanted).map_err(|error: SpliceError| {
                let name = match &wanted[..] {
                    [one] => one.name.clone(),
                    [first, others @ ..] if others.iter().all(|one| one.name == first.name) => {
                        first.name.clone()
                    }
                    _ => file.path.to_string(),
                };
                EditFault::Unwritable { name, reason: error.to_string() }
            })?;
            if after != *file.text {
                files.insert(file.path.to_string(), [file.text.to_string(), after]);
            }
        }
        Ok(files)
    }

    fn line_edits(
        &self,
        wanted: &[Wanted<'_>],
        files: &BTreeMap<String, [String; 2]>,
    ) -> Vec<LineEdit> {
        let sides: BTreeMap<&str, [Things<'_>; 2]> = files
            .iter()
            .map(|(path, [before, after])| (path.as_str(), [Things::of(before), Things::of(after)]))
            .collect();
        let mut lines: Vec<LineEdit> = Vec::new();
        let mut told = std::collections::HashSet::new();
        for one in wanted {
            let path = &*self.material.files[one.file as usize].path;
            let Some([before, after]) = sides.get(path) else { continue };
            if told.insert((one.file, &one.path)) {
                lines.extend(edits_of(one, path, before, after));
            }
        }
        lines
    }

    /// Which of these edits each fault stands in, where `texts` are the tables with all of them.
    pub fn blamed(
        &self,
        texts: &Memory,
        edits: &[FieldEdit<'_>],
        faults: &[Fault],
    ) -> Vec<Option<usize>> {
        let spans: Vec<_> = edits.iter().map(|edit| self.span_in(texts, edit)).collect();
        let find = |fault: &Fault| {
            let at = (fault.place.line, fault.place.column);
            spans.iter().position(|span| {
                let Some((path, start, end)) = span else { return false };
                **path == *fault.place.file && *start <= at && at <= *end
            })
        };
        faults.iter().map(find).collect()
    }

    /// Where a field stands in a text: its lines and columns.
    fn span_in(&self, texts: &Memory, edit: &FieldEdit<'_>) -> Option<FieldSpan> {
        let wanted = self.wanted_field(edit).ok()?;
        let path = self.material.files[wanted.file as usize].path.to_string();
        let text = String::from_utf8(texts.read(&path).ok()?).ok()?;
        let tree = read(&text).0?;
        let node = node_at(&tree, &wanted.path)?;
        let span = match (&wanted.cell, node) {
            (Some(_), node) => node.span(),
            (None, node) => field_of(node, wanted.field).map(Node::span)?,
        };
        let lines = Lines::new(&text);
        Some((path, lines.place(span.start), lines.place(span.end)))
    }
}

/// A path, and the line and column of both ends.
type FieldSpan = (String, (usize, usize), (usize, usize));

/// What was edited though it was not asked for, if there is anything.
fn unwanted(before: &Evaluation, after: &Evaluation, wanted: &[Wanted<'_>]) -> Option<String> {
    let found = Comparison::of(before, after);
    let mut by_name: BTreeMap<&str, Vec<Field>> = BTreeMap::new();
    for one in wanted {
        by_name.entry(one.compared.as_str()).or_default().push(one.field);
    }
    let asked = |edit: &&crate::Edited| {
        let fields = by_name.get(edit.name.as_str());
        fields.is_some_and(|fields| fields.iter().any(|field| field.is_called(edit.what)))
    };
    if let Some(odd) = found.edits.iter().find(|edit| !asked(edit)) {
        return Some(odd.name.clone());
    }
    // What could not be computed for a fault that is mended now was not edited either.
    let values = wanted.iter().any(|one| one.field.is_value()) || !before.faults().is_empty();
    found.changed.first().filter(|_| !values).map(|odd| odd.name.clone())
}

fn same_but_place(before: &[Fault], after: &[Fault]) -> bool {
    let words = |faults: &[Fault]| {
        let mut words: Vec<_> =
            faults.iter().map(|fault| (fault.slug, fault.message.clone())).collect();
        words.sort_unstable();
        words
    };
    words(before) == words(after)
}
