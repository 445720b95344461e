//! Everywhere that a name stands in the tables.

use std::collections::{BTreeMap, BTreeSet};

use super::RenamedFile;
use super::subject::Subject;
use crate::model::{Model, NodeOf};
use crate::yaml::{Node, Scalar, read};
use crate::{Design, EditFault};

/// The bytes at which the old name begins, by the number of the file.
pub(super) struct Mentions(BTreeMap<u32, BTreeSet<usize>>);

impl Mentions {
    /// Finds the name where it is given, in every formula, and in what parts use.
    pub(super) fn of(design: &Design, subject: &Subject<'_>) -> Result<Self, EditFault> {
        let mut finder = Finder { design, subject, found: Self(BTreeMap::new()) };
        finder.definition()?;
        finder.formulas()?;
        finder.uses()?;
        Ok(finder.found)
    }

    /// The tables with the new name in these places, by path.
    pub(super) fn renamed(
        &self,
        design: &Design,
        old: &str,
        new: &str,
    ) -> BTreeMap<String, RenamedFile> {
        let files = self.0.iter().map(|(file, places)| {
            let file = &design.material.files[*file as usize];
            let mut after = String::with_capacity(file.text.len() + places.len() * new.len());
            let mut done = 0;
            for at in places {
                after.push_str(&file.text[done..*at]);
                after.push_str(new);
                done = at + old.len();
            }
            after.push_str(&file.text[done..]);
            let lines = places.iter().map(|at| file.place(*at).line).collect();
            let (path, before) = (file.path.to_string(), file.text.to_string());
            (path.clone(), RenamedFile { path, lines, before, after })
        });
        files.collect()
    }
}

struct Finder<'a> {
    design: &'a Design,
    subject: &'a Subject<'a>,
    found: Mentions,
}

impl Finder<'_> {
    /// The key that gives the name.
    fn definition(&mut self) -> Result<(), EditFault> {
        let file = self.subject.file();
        let (tree, _) = read(&self.design.material.files[file as usize].text);
        let mut node = tree.as_ref();
        let mut key = None;
        for step in self.subject.path() {
            let entries = node.and_then(Node::as_map).map_or(&[][..], |map| &map.entries);
            let entry = entries.iter().find(|entry| entry.key.value == step);
            key = entry.map(|entry| &entry.key);
            node = entry.map(|entry| &entry.value);
        }
        match key {
            Some(key) => self.note(file, key, 0),
            None => Err(self.unwritable("it is not found where it should stand")),
        }
    }

    fn formulas(&mut self) -> Result<(), EditFault> {
        let (model, material) = (&self.design.model, &self.design.material);
        for (number, node) in model.nodes.iter().enumerate() {
            let Some(expr) = model.expr(material, number as u32) else { continue };
            let (Some(formula), Some(table)) = (&expr.formula, table_of(model, node.of)) else {
                continue;
            };
            for name in formula.names() {
                let part = self.subject.part_of(&model.symbols, table, &name.name);
                let Some(part) = part else { continue };
                self.note(expr.file, &expr.scalar, name.at.range().start + part.start)?;
            }
        }
        Ok(())
    }

    fn uses(&mut self) -> Result<(), EditFault> {
        let (model, material) = (&self.design.model, &self.design.material);
        for (number, table) in material.tables.iter().enumerate() {
            for name in table.parts.iter().flat_map(|part| &part.uses) {
                let written = name.scalar.value.trim();
                let blanks = name.scalar.value.len() - name.scalar.value.trim_start().len();
                let part = self.subject.part_of(&model.symbols, number as u32, written);
                let Some(part) = part else { continue };
                self.note(name.file, &name.scalar, blanks + part.start)?;
            }
        }
        Ok(())
    }

    /// Notes that the name begins at this byte of a scalar's value. It must stand there letter by
    /// letter: one written with escapes is left to a hand.
    fn note(&mut self, file: u32, scalar: &Scalar, byte: usize) -> Result<(), EditFault> {
        let at = scalar.source_offset(byte);
        let text = &self.design.material.files[file as usize];
        if !text.text.get(at..).is_some_and(|text| text.starts_with(self.subject.name())) {
            let place = text.place(scalar.span.start);
            return Err(self.unwritable(&format!("at {place} it is not written letter by letter")));
        }
        self.found.0.entry(file).or_default().insert(at);
        Ok(())
    }

    fn unwritable(&self, reason: &str) -> EditFault {
        EditFault::Unwritable { name: self.subject.full_name(), reason: reason.to_owned() }
    }
}

/// The table in which the names of a node's formula are looked up.
fn table_of(model: &Model, of: NodeOf) -> Option<u32> {
    match of {
        NodeOf::Dimension { table, .. }
        | NodeOf::Cell { table, .. }
        | NodeOf::Cost { table, .. }
        | NodeOf::Mass { table, .. }
        | NodeOf::Quantity { table, .. } => Some(table),
        NodeOf::Min { slot }
        | NodeOf::Max { slot }
        | NodeOf::TravelFrom { slot }
        | NodeOf::TravelTo { slot } => table_of(model, model.nodes[slot as usize].of),
        NodeOf::Check { check } | NodeOf::Tight { check } => {
            Some(model.checks[check as usize].table)
        }
        NodeOf::DesignCost | NodeOf::DesignMass => None,
    }
}
