//! Many values at once, in the texts of their tables.

use std::collections::BTreeMap;

use crate::source::Over;
use crate::yaml::{Edit, Scalar, splice_all};
use crate::{Comparison, Design, EditFault, Memory, Source, What};

/// New values, ready to be written.
#[derive(Clone, Debug)]
pub struct ValuesEdit {
    /// A line for each value, in the order asked for.
    pub lines: Vec<ValueLine>,
    /// The tables that differ: their paths with the texts as they were and as they are.
    pub files: BTreeMap<String, [String; 2]>,
    /// The design with the values.
    pub design: Design,
}

/// The line of a table that a value stands in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ValueLine {
    /// The full name.
    pub name: String,
    /// The root-relative path of the table.
    pub path: String,
    /// The line on which the value began.
    pub line_before: usize,
    /// The line on which the value begins.
    pub line: usize,
}

/// A value to be written.
struct Wanted {
    file: u32,
    scalar: Scalar,
    flow: bool,
    new: String,
}

impl Design {
    /// The formula of a value, if it names other values. That of a chosen one is none.
    ///
    /// # Errors
    /// As [`full_name`](Self::full_name).
    pub fn derived_by(&self, name: &str) -> Result<Option<String>, EditFault> {
        let slot = self.slot(name)?;
        let expr = self.model.expr(&self.material, slot);
        let derived = expr.filter(|_| !self.model.is_chosen(slot));
        Ok(derived.map(|expr| expr.text().to_owned()))
    }

    /// The edit of all tables that gives many things other values, all of them together. Every
    /// other byte of the texts stays as it is. Formulas are replaced as well: ask
    /// [`derived_by`](Self::derived_by) where they should not be. `source` is where the design
    /// was read from; no name stands twice.
    ///
    /// # Errors
    /// As [`with`](Self::with); and a design that has faults.
    pub fn values_edit(
        &self,
        source: &dyn Source,
        edits: &[(&str, &str)],
    ) -> Result<ValuesEdit, EditFault> {
        let known = self.evaluate();
        if !known.faults().is_empty() {
            return Err(EditFault::Faults(known.faults().to_vec()));
        }
        self.with(edits)?;
        let (mut lines, mut wanted) = (Vec::new(), Vec::new());
        for (name, text) in edits {
            let (line, value) = self.wanted(name, text)?;
            lines.push(line);
            wanted.push(value);
        }
        let files = self.spliced(&wanted)?;
        let edited = files.iter().map(|(path, [_, after])| (path.as_str(), after.as_str()));
        let edited = Memory::new(edited);
        let design = Self::read(&Over { source, edited: &edited, gone: None });
        let now = design.evaluate();
        if !now.faults().is_empty() {
            let faults = now.faults().to_vec();
            return Err(EditFault::Brings { faults, texts: edited });
        }
        let named = |name: &str| lines.iter().any(|line| line.name == name);
        let mut found = Comparison::of(&known, &now).edits.into_iter();
        if let Some(odd) = found.find(|edit| edit.what != What::Value || !named(&edit.name)) {
            let reason = "more than the value would change".to_owned();
            return Err(EditFault::Unwritable { name: odd.name, reason });
        }
        for line in &mut lines {
            line.line = design.line_of(&line.name).unwrap_or(line.line_before);
        }
        Ok(ValuesEdit { lines, files, design })
    }

    /// The line on which a value begins.
    fn line_of(&self, name: &str) -> Option<usize> {
        let (file, scalar, _) = self.written_at(self.slot(name).ok()?, "")?;
        Some(self.material.files[file as usize].place(scalar.span.start).line)
    }

    fn wanted(&self, name: &str, text: &str) -> Result<(ValueLine, Wanted), EditFault> {
        let slot = self.slot(name)?;
        let name = self.model.nodes[slot as usize].name.to_string();
        let Some((file, scalar, flow)) = self.written_at(slot, text) else {
            let reason = "its value could not be read where it stands".to_owned();
            return Err(EditFault::Unwritable { name, reason });
        };
        let table = &self.material.files[file as usize];
        let line = table.place(scalar.span.start).line;
        let path = table.path.to_string();
        let line = ValueLine { name, path, line_before: line, line };
        // A block keeps the line end that it had.
        let line_end = if scalar.value.ends_with('\n') { "\n" } else { "" };
        let new = format!("{text}{line_end}");
        Ok((line, Wanted { file, scalar, flow, new }))
    }

    /// The texts of the tables with their values in them.
    fn spliced(&self, wanted: &[Wanted]) -> Result<BTreeMap<String, [String; 2]>, EditFault> {
        let mut by_file: BTreeMap<u32, Vec<Edit<'_>>> = BTreeMap::new();
        for Wanted { file, scalar, flow, new } in wanted {
            by_file.entry(*file).or_default().push(Edit { scalar, new, in_flow: *flow });
        }
        let mut files = BTreeMap::new();
        for (file, edits) in by_file {
            let file = &self.material.files[file as usize];
            let after = splice_all(&file.text, &edits).map_err(|error| EditFault::Unwritable {
                name: file.path.to_string(),
                reason: error.to_string(),
            })?;
            if after != *file.text {
                files.insert(file.path.to_string(), [file.text.to_string(), after]);
            }
        }
        Ok(files)
    }
}
