//! Everywhere that a name stands in the tables.

use std::collections::BTreeMap;

use super::plan::{Plan, Respelt};
use crate::document::is_literal_trap;
use crate::model::{Model, NodeOf};
use crate::yaml::{Node, Scalar, Style, read};
use crate::{Design, EditFault};

/// Where the old name stands, by the number of the file and the byte at which it begins, and what
/// is to stand there.
pub(super) struct Mentions(BTreeMap<u32, BTreeMap<usize, Spelling>>);

struct Spelling {
    old: usize,
    new: String,
}

impl Mentions {
    /// Finds the name where it is given, in every formula, and in what parts use.
    pub(super) fn of(design: &Design, plan: &Plan<'_>) -> Result<Self, EditFault> {
        let mut finder = Finder { design, plan, found: Self(BTreeMap::new()) };
        finder.definition()?;
        finder.formulas()?;
        finder.uses()?;
        Ok(finder.found)
    }

    /// The texts with the new name in these places, by the number of the file.
    pub(super) fn respelt(&self, design: &Design) -> BTreeMap<u32, String> {
        let text = |(file, places): (&u32, &BTreeMap<usize, Spelling>)| {
            let text = &design.material.files[*file as usize].text;
            let mut after = String::with_capacity(text.len() + places.len() * 8);
            let mut done = 0;
            for (at, Spelling { old, new }) in places {
                after.push_str(&text[done..*at]);
                after.push_str(new);
                done = at + old;
            }
            after.push_str(&text[done..]);
            (*file, after)
        };
        self.0.iter().map(text).collect()
    }

    /// The lines of these places, by path.
    pub(super) fn lines(&self, design: &Design) -> BTreeMap<String, Vec<usize>> {
        let lines = |(file, places): (&u32, &BTreeMap<usize, Spelling>)| {
            let file = &design.material.files[*file as usize];
            (file.path.to_string(), places.keys().map(|at| file.place(*at).line).collect())
        };
        self.0.iter().map(lines).collect()
    }
}

struct Finder<'a> {
    design: &'a Design,
    plan: &'a Plan<'a>,
    found: Mentions,
}

impl Finder<'_> {
    /// The key that gives the name. That of a table is the name of its file, and what goes to
    /// another table gets its new name there.
    fn definition(&mut self) -> Result<(), EditFault> {
        let Plan::Here { subject, name } = self.plan else { return Ok(()) };
        let file = subject.file();
        let (tree, _) = read(&self.design.material.files[file as usize].text);
        let mut node = tree.as_ref();
        let mut key = None;
        for step in subject.path() {
            let entries = node.and_then(Node::as_map).map_or(&[][..], |map| &map.entries);
            let entry = entries.iter().find(|entry| entry.key.value == step);
            key = entry.map(|entry| &entry.key);
            node = entry.map(|entry| &entry.value);
        }
        let Some(key) = key else {
            return Err(self.unwritable("it is not found where it should stand"));
        };
        self.note(file, key, 0, subject.name(), name.clone())
    }

    fn formulas(&mut self) -> Result<(), EditFault> {
        let (model, material) = (&self.design.model, &self.design.material);
        for (number, node) in model.nodes.iter().enumerate() {
            let Some(expr) = model.expr(material, number as u32) else { continue };
            let (Some(formula), Some((table, local))) =
                (&expr.formula, thing_of(self.design, model, node.of))
            else {
                continue;
            };
            let along = self.plan.takes(table, local);
            for name in formula.names() {
                let start = name.at.range().start;
                self.respell(expr.file, &expr.scalar, (table, along), start, &name.name)?;
            }
        }
        Ok(())
    }

    fn uses(&mut self) -> Result<(), EditFault> {
        for (number, table) in self.design.material.tables.iter().enumerate() {
            for part in &table.parts {
                let along = self.plan.takes(number as u32, &part.name);
                for name in &part.uses {
                    let value = &name.scalar.value;
                    let start = value.len() - value.trim_start().len();
                    let context = (number as u32, along);
                    self.respell(name.file, &name.scalar, context, start, value.trim())?;
                }
            }
        }
        Ok(())
    }

    fn respell(
        &mut self,
        file: u32,
        scalar: &Scalar,
        (table, along): (u32, bool),
        start: usize,
        written: &str,
    ) -> Result<(), EditFault> {
        let symbols = &self.design.model.symbols;
        let Some(Respelt { at, new, full }) = self.plan.respelt(symbols, table, along, written)
        else {
            return Ok(());
        };
        // Alone and bare, a name such as `no` would be read as a truth.
        let alone = scalar.style == Style::Plain && scalar.value.trim() == &written[at.clone()];
        let new = if alone && is_literal_trap(&new) { full.unwrap_or(new) } else { new };
        self.note(file, scalar, start + at.start, &written[at], new)
    }

    /// Notes what is to stand for an old name that begins at this byte of a scalar's value. It
    /// must stand there letter by letter: one written with escapes is left to a hand.
    fn note(
        &mut self,
        file: u32,
        scalar: &Scalar,
        byte: usize,
        old: &str,
        new: String,
    ) -> Result<(), EditFault> {
        let at = scalar.source_offset(byte);
        let text = &self.design.material.files[file as usize];
        if !text.text.get(at..).is_some_and(|text| text.starts_with(old)) {
            let place = text.place(scalar.span.start);
            return Err(self.unwritable(&format!("at {place} it is not written letter by letter")));
        }
        let places = self.found.0.entry(file).or_default();
        places.insert(at, Spelling { old: old.len(), new });
        Ok(())
    }

    fn unwritable(&self, reason: &str) -> EditFault {
        EditFault::Unwritable { name: self.plan.from(), reason: reason.to_owned() }
    }
}

/// The table in which the names of a node's formula are looked up, and the thing that it is of.
fn thing_of<'d>(design: &'d Design, model: &Model, of: NodeOf) -> Option<(u32, &'d str)> {
    let table_of = |table: u32| &design.material.tables[table as usize];
    match of {
        NodeOf::Dimension { table, index } => {
            Some((table, &table_of(table).dimensions[index as usize].name))
        }
        NodeOf::Cell { table, schedule, .. } => {
            Some((table, &table_of(table).schedules[schedule as usize].name))
        }
        NodeOf::Cost { table, part }
        | NodeOf::Mass { table, part }
        | NodeOf::Quantity { table, part } => {
            Some((table, &table_of(table).parts[part as usize].name))
        }
        NodeOf::Min { slot }
        | NodeOf::Max { slot }
        | NodeOf::TravelFrom { slot }
        | NodeOf::TravelTo { slot } => thing_of(design, model, model.nodes[slot as usize].of),
        NodeOf::Check { check } | NodeOf::Tight { check } => {
            let check = model.checks[check as usize];
            Some((check.table, &table_of(check.table).checks[check.index as usize].name))
        }
        NodeOf::DesignCost | NodeOf::DesignMass => None,
    }
}
