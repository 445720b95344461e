//! The texts of the tables after a rename: names written otherwise, lines in another table, a
//! table under another path.

use std::collections::BTreeMap;

use super::RenamedFile;
use super::plan::Plan;
use crate::document::keys;
use crate::yaml::{Section, put, take};
use crate::{Design, EditFault, Memory};

/// Lines that went from one table to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MovedLines {
    /// The first of them.
    pub line: usize,
    /// How many they are.
    pub count: usize,
}

/// The texts that differ, by path.
pub(super) struct Texts(BTreeMap<String, RenamedFile>);

impl Texts {
    /// The texts with their names respelt, and with what moves in its new place.
    pub(super) fn of(
        design: &Design,
        plan: &Plan<'_>,
        respelt: BTreeMap<u32, String>,
    ) -> Result<Self, EditFault> {
        let mut texts = Self(BTreeMap::new());
        for (file, after) in respelt {
            texts.file(design, file).after = after;
        }
        match plan {
            Plan::Here { .. } => {}
            Plan::Table { number, name, .. } => {
                texts.rename_file(design, design.material.tables[*number as usize].file, name);
            }
            Plan::Away { .. } => texts.move_lines(design, plan)?,
        }
        Ok(texts)
    }

    /// The text of a file, as it is so far.
    fn file(&mut self, design: &Design, file: u32) -> &mut RenamedFile {
        let file = &design.material.files[file as usize];
        self.0.entry(file.path.to_string()).or_insert_with(|| RenamedFile {
            path: file.path.to_string(),
            path_before: None,
            lines: Vec::new(),
            taken_out: None,
            put_in: None,
            before: file.text.to_string(),
            after: file.text.to_string(),
        })
    }

    fn rename_file(&mut self, design: &Design, file: u32, name: &str) {
        let old = self.file(design, file).path.clone();
        let Some(mut file) = self.0.remove(&old) else { return };
        let folder = old.rsplit_once('/').map(|(folder, _)| format!("{folder}/"));
        file.path = format!("{}{name}.yaml", folder.unwrap_or_default());
        file.path_before = Some(old);
        self.0.insert(file.path.clone(), file);
    }

    fn move_lines(&mut self, design: &Design, plan: &Plan<'_>) -> Result<(), EditFault> {
        let Plan::Away { subject, table, name, .. } = plan else { return Ok(()) };
        let unwritable = |error: crate::yaml::SpliceError| EditFault::Unwritable {
            name: plan.from(),
            reason: error.to_string(),
        };
        let section = subject.path()[0];
        let source = self.file(design, subject.file());
        let from = source.after.clone();
        let (rest, taken) = take(&from, section, subject.name()).map_err(unwritable)?;
        let taken = taken.under(name).ok_or_else(|| EditFault::Unwritable {
            name: plan.from(),
            reason: "its name is not written letter by letter".to_owned(),
        })?;
        source.after = rest;
        source.taken_out = Some(MovedLines { line: taken.first_line, count: taken.lines.len() });
        let target = self.file(design, design.material.tables[*table as usize].file);
        let section = Section { key: section, order: &keys::TABLE, from: &from };
        let put = put(&target.after, section, &taken).map_err(unwritable)?;
        target.after = put.text;
        target.put_in = Some(MovedLines { line: put.line, count: put.count });
        Ok(())
    }

    pub(super) fn edited(&self) -> Memory {
        Memory::new(self.0.values().map(|file| (file.path.as_str(), file.after.as_str())))
    }

    /// The path that no table has any more.
    pub(super) fn gone(&self) -> Option<&str> {
        self.0.values().find_map(|file| file.path_before.as_deref())
    }

    /// The files, each with the lines of the names that changed in it.
    pub(super) fn files(self, lines: &BTreeMap<String, Vec<usize>>) -> Vec<RenamedFile> {
        let with_lines = |file: RenamedFile| {
            let lines = lines.get(&file.path).cloned().unwrap_or_default();
            RenamedFile { lines, ..file }
        };
        self.0.into_values().map(with_lines).collect()
    }
}
