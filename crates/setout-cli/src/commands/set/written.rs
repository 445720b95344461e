//! The tables with other values: made in memory first, then written all or none.

use std::collections::BTreeMap;

use serde::Serialize;
use setout::{
    Comparison, Evaluation, Field, Folder, Replacement, Source, SourceError, TextEdit, ValueLine,
    ValuesEdit,
};

use super::fields::WantedFields;
use super::from::ValueFile;
use crate::call::Opened;
use crate::edits::{self, Wanted};
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
    pub(super) after: String,
    /// Whether that value stood there already.
    #[serde(skip)]
    pub(super) already: bool,
}

impl Written {
    /// Makes the edits one after the other, each in the texts that those before it left. A design
    /// that still has a fault after all of them is not written.
    pub(super) fn of(
        opened: &Opened,
        wanted: &[Wanted],
        over_formula: bool,
    ) -> Result<Self, Vec<Trouble>> {
        let mut evaluation = opened.evaluation.clone();
        let mut texts = Texts { folder: &opened.folder, files: BTreeMap::new() };
        let mut lines = Vec::new();
        for Wanted { name, value } in wanted {
            let design = evaluation.design();
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

    /// Fields of one dimension, together.
    pub(super) fn of_fields(
        opened: &Opened,
        wanted: &WantedFields,
        over_formula: bool,
    ) -> Result<Self, Vec<Trouble>> {
        let (folder, design) = (&opened.folder, opened.evaluation.design());
        sound(opened)?;
        let fields: Vec<(Field, &str)> =
            wanted.fields.iter().map(|(field, text)| (*field, text.as_str())).collect();
        let edit = design.fields_edit(folder, &wanted.name, &fields, over_formula);
        let edit = edit.map_err(|fault| edits::troubles(fault, folder))?;
        let lines = edit.lines.into_iter().map(|line| Line {
            name: edit.name.clone(),
            file: edit.path.clone(),
            line: line.line,
            before: line.before,
            after: line.after,
            already: false,
        });
        let lines = lines.collect();
        let mut files = BTreeMap::new();
        if edit.before != edit.after {
            files.insert(edit.path.clone(), File { before: edit.before, after: edit.after });
        }
        Ok(Self { lines, after: edit.design.evaluate(), files })
    }

    /// All values of a file, together.
    pub(super) fn of_file(opened: &Opened, wanted: &ValueFile<'_>) -> Result<Self, Vec<Trouble>> {
        let (folder, design) = (&opened.folder, opened.evaluation.design());
        sound(opened)?;
        let edit = design.values_edit(folder, &wanted.values());
        let edit = edit.map_err(|fault| wanted.refused(fault, folder))?;
        let lines = edit.lines.iter().map(|line| Line::of_value(&edit, line)).collect();
        let files = edit.files.into_iter();
        let files = files.map(|(path, [before, after])| (path, File { before, after }));
        Ok(Self { lines, after: edit.design.evaluate(), files: files.collect() })
    }

    /// The tables that differ.
    pub(super) fn paths(&self) -> impl Iterator<Item = &str> {
        self.files.keys().map(String::as_str)
    }

    /// Writes the files that differ, all or none, unless one of them has changed meanwhile.
    pub(super) fn write(&self, folder: &Folder) -> Result<(), Trouble> {
        let files = self.files.iter().map(|(path, file)| Replacement {
            path,
            before: Some(file.before.as_bytes()),
            after: file.after.as_bytes(),
        });
        let files: Vec<Replacement<'_>> = files.collect();
        folder.write_all_if_unchanged(&files).map_err(Into::into)
    }
}

/// A design that has faults is not written.
fn sound(opened: &Opened) -> Result<(), Vec<Trouble>> {
    let troubles = opened.troubles();
    if troubles.is_empty() { Ok(()) } else { Err(troubles) }
}

impl Line {
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
            after: after.unwrap_or_default(),
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
            after: line(&edit.after),
            already: false,
        }
    }

    /// The line of a value that stands there already, but for its layout.
    fn already(edit: &TextEdit) -> Self {
        let line = Self::of(edit);
        Self { after: line.before.clone().unwrap_or_default(), already: true, ..line }
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
