//! The tables with other values: made in memory first, then written all or none.

use std::collections::BTreeMap;

use serde::Serialize;
use setout::{
    Comparison, Evaluation, FieldEdit, FieldsEdit, Folder, LineEdit, Replacement, Source,
    SourceError, TextEdit, ValueLine, ValuesEdit,
};

use super::from::ValueFile;
use crate::call::Opened;
use crate::edits::{self, WantedField};
use crate::trouble::Trouble;

/// What is to be written.
pub(super) struct Written {
    /// What each value does to its table, in the order of the call.
    pub(super) lines: Vec<Line>,
    /// The design with all values.
    pub(super) after: Evaluation,
    files: BTreeMap<String, File>,
}

struct File {
    before: String,
    after: String,
}

/// The line that a value stands in.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Line {
    pub(super) name: String,
    pub(super) file: String,
    pub(super) line: usize,
    /// Absent for a new line.
    pub(super) before: Option<String>,
    /// Absent for a line that is gone.
    pub(super) after: Option<String>,
    /// Whether that value stood there already.
    #[serde(skip)]
    pub(super) already: bool,
}

impl Written {
    /// Makes the edits one after the other, each in the texts that those before it left. A design
    /// that still has a fault after all of them is not written.
    pub(super) fn of(
        opened: &Opened,
        wanted: &[WantedField],
        over_formula: bool,
    ) -> Result<Self, Vec<Trouble>> {
        let mut evaluation = opened.evaluation.clone();
        let mut texts = Texts { folder: &opened.folder, files: BTreeMap::new() };
        let mut lines = Vec::new();
        for WantedField { name, new, .. } in wanted {
            let design = evaluation.design();
            let value = new.as_deref().unwrap_or_default();
            let edit = design.text_edit(&texts, name, value, over_formula);
            let edit = edit.map_err(|fault| edits::troubles(fault, &texts))?;
            let now = edit.design.evaluate();
            if Comparison::of(&evaluation, &now).edits.is_empty() {
                lines.push(Line::already(&edit));
            } else {
                lines.push(Line::of(&edit));
                texts.put(edit);
                evaluation = now;
            }
        }
        let now = Opened { folder: opened.folder.clone(), evaluation };
        let faults = now.faults();
        if !faults.is_empty() {
            return Err(Trouble::of_design(&faults, &texts));
        }
        Ok(Self { lines, after: now.evaluation, files: texts.files })
    }

    /// Fields of things, together.
    pub(super) fn of_fields(
        opened: &Opened,
        wanted: &[WantedField],
        over_formula: bool,
    ) -> Result<Self, Vec<Trouble>> {
        let (folder, design) = (&opened.folder, opened.evaluation.design());
        let fields: Vec<FieldEdit<'_>> = wanted.iter().map(WantedField::edit).collect();
        let edit = design.fields_edit(folder, &fields, over_formula);
        Self::with(opened, edit.map_err(|fault| edits::troubles(fault, folder))?)
    }

    /// What a file asks for, together.
    pub(super) fn of_file(opened: &Opened, wanted: &ValueFile<'_>) -> Result<Self, Vec<Trouble>> {
        let (folder, design) = (&opened.folder, opened.evaluation.design());
        let refused = |fault| wanted.refused(design, fault, folder);
        if !wanted.is_plain() {
            let fields = wanted.fields();
            let fields: Vec<FieldEdit<'_>> = fields.iter().map(WantedField::edit).collect();
            // Formulas were asked after row by row.
            let edit = design.fields_edit(folder, &fields, true);
            return Self::with(opened, edit.map_err(refused)?);
        }
        sound(opened)?;
        let edit = design.values_edit(folder, &wanted.values()).map_err(refused)?;
        let lines = edit.lines.iter().map(|line| Line::of_value(&edit, line)).collect();
        Ok(Self { lines, after: edit.design.evaluate(), files: files_of(edit.files) })
    }

    /// An edit of fields, unless an export would have a fault with it.
    fn with(opened: &Opened, edit: FieldsEdit) -> Result<Self, Vec<Trouble>> {
        let evaluation = edit.design.evaluate();
        let now = Opened { folder: opened.folder.clone(), evaluation };
        sound(&now)?;
        let lines = edit.lines.into_iter().map(Line::of_field).collect();
        Ok(Self { lines, after: now.evaluation, files: files_of(edit.files) })
    }

    /// The tables that differ.
    pub(super) fn paths(&self) -> impl Iterator<Item = &str> {
        self.files.keys().map(String::as_str)
    }

    /// Writes the files that differ, all or none, unless one of them has changed meanwhile.
    pub(super) fn write(&self, folder: &Folder) -> Result<(), Trouble> {
        let files = self.files.iter().map(|(path, file)| Replacement {
            path,
            from: None,
            before: Some(file.before.as_bytes()),
            after: file.after.as_bytes(),
        });
        let files: Vec<Replacement<'_>> = files.collect();
        folder.write_all_if_unchanged(&files).map_err(Into::into)
    }
}

fn files_of(files: BTreeMap<String, [String; 2]>) -> BTreeMap<String, File> {
    let files = files.into_iter();
    files.map(|(path, [before, after])| (path, File { before, after })).collect()
}

/// A design that has faults is not written.
fn sound(opened: &Opened) -> Result<(), Vec<Trouble>> {
    let troubles = opened.troubles();
    if troubles.is_empty() { Ok(()) } else { Err(troubles) }
}

impl Line {
    /// A line of a thing whose fields were set.
    fn of_field(of: LineEdit) -> Self {
        let LineEdit { name, path, line, before, after } = of;
        Self { name, file: path, line, before, after, already: false }
    }

    /// The line of one value of many.
    fn of_value(edit: &ValuesEdit, of: &ValueLine) -> Self {
        let side = |side: usize, line: usize| {
            let text = edit.files.get(&of.path)?[side].lines().nth(line - 1)?;
            Some(text.trim().to_owned())
        };
        let (before, after) = (side(0, of.line_before), side(1, of.line));
        Self {
            name: of.name.clone(),
            file: of.path.clone(),
            line: of.line,
            already: before == after,
            after,
            before,
        }
    }

    fn of(edit: &TextEdit) -> Self {
        let line = |text: &str| {
            let line = text.lines().nth(edit.line - 1).unwrap_or_default();
            line.trim().to_owned()
        };
        Self {
            name: edit.name.clone(),
            file: edit.path.clone(),
            line: edit.line,
            before: Some(line(&edit.before)),
            after: Some(line(&edit.after)),
            already: false,
        }
    }

    /// The line of a value that stands there already, but for its layout.
    fn already(edit: &TextEdit) -> Self {
        let line = Self::of(edit);
        Self { after: line.before.clone(), already: true, ..line }
    }
}

/// The design's texts with those edits that have been made so far.
struct Texts<'a> {
    folder: &'a Folder,
    files: BTreeMap<String, File>,
}

impl Texts<'_> {
    fn put(&mut self, edit: TextEdit) {
        let TextEdit { path, before, after, .. } = edit;
        self.files.entry(path).or_insert(File { before, after: String::new() }).after = after;
    }
}

impl Source for Texts<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.folder.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        match self.files.get(path) {
            Some(file) => Ok(file.after.clone().into_bytes()),
            None => self.folder.read(path),
        }
    }
}
