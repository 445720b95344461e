//! Numbering: every value and requirement of the tables gets its node.

use std::collections::HashMap;

use smol_str::{SmolStr, SmolStrBuilder};

use super::build::Builder;
use super::symbols::{PartSlots, ScheduleNames, Symbol};
use super::{Calculation, CheckNodes, LimitNodes, NodeOf, PartNodes, ScheduleNodes, Target};
use crate::document::Dimension;
use crate::limits::MOST_VALUES;
use crate::{Fault, Place, Slug};

impl Builder<'_> {
    /// Dimensions, cells, and what parts cost and weigh.
    pub(super) fn number_values(&mut self) {
        for (t, table) in self.material.tables.iter().enumerate() {
            for (index, dimension) in table.dimensions.iter().enumerate() {
                let of = NodeOf::Dimension { table: t as u32, index: index as u32 };
                let name = joined([&table.name, &dimension.name]);
                let slot = self.push(of, name, dimension.place.clone());
                self.symbols.names[t].insert(dimension.name.clone(), Symbol::Dimension(slot));
            }
        }
        for t in 0..self.material.tables.len() {
            self.number_schedules(t);
        }
        for t in 0..self.material.tables.len() {
            self.number_parts(t);
        }
        let place = |builder: &Self| {
            let file =
                builder.material.files.first().map_or("design.yaml".into(), |f| f.path.clone());
            Place { file, line: 1, column: 1 }
        };
        let at = place(self);
        self.symbols.design_cost = self.push(NodeOf::DesignCost, "design.cost".into(), at.clone());
        self.symbols.design_mass = self.push(NodeOf::DesignMass, "design.mass".into(), at.clone());
        self.slots = self.nodes.len();
        if self.slots > MOST_VALUES {
            let message =
                format!("this design has {} values; a design may have {MOST_VALUES}", self.slots);
            let help = "split it into designs".into();
            self.faults.push(Fault { place: at, slug: Slug::TooLarge, message, help });
        }
        self.number_totals();
    }

    fn number_schedules(&mut self, t: usize) {
        let table = &self.material.tables[t];
        for (index, schedule) in table.schedules.iter().enumerate() {
            let number = self.schedules.len() as u32;
            let full = format!("{}.{}", table.name, schedule.name);
            self.symbols.names[t].insert(schedule.name.clone(), Symbol::Schedule(number));
            let mut names = ScheduleNames {
                columns: schedule.columns.iter().map(|column| column.name.clone()).collect(),
                rows: HashMap::new(),
                first: self.nodes.len() as u32,
                lost: schedule.lost,
            };
            let mut columns = vec![Vec::with_capacity(schedule.rows.len()); schedule.columns.len()];
            for (r, row) in schedule.rows.iter().enumerate() {
                names.rows.insert(row.name.clone(), r as u32);
                for (c, (place, _)) in row.cells.iter().enumerate() {
                    let of = NodeOf::Cell {
                        table: t as u32,
                        schedule: index as u32,
                        row: r as u32,
                        column: c as u32,
                    };
                    let name = joined([&full, &row.name, &schedule.columns[c].name]);
                    let slot = self.push(of, name, place.clone());
                    columns[c].push(slot);
                }
            }
            for (column, slots) in schedule.columns.iter().zip(&columns) {
                let name = format!("{full}.{}", column.name);
                self.columns.push((name, column.place.clone(), slots.clone()));
            }
            self.symbols.schedules.push(names);
            self.schedules.push(ScheduleNodes { name: full, columns });
        }
    }

    fn number_parts(&mut self, t: usize) {
        let table = &self.material.tables[t];
        for (index, part) in table.parts.iter().enumerate() {
            let number = self.parts.len() as u32;
            self.symbols.names[t].insert(part.name.clone(), Symbol::Part(number));
            let name = format!("{}.{}", table.name, part.name);
            let (table, place) = (t as u32, || part.place.clone());
            let part_index = index as u32;
            let cost = part.cost.as_ref().map(|_| {
                self.push(
                    NodeOf::Cost { table, part: part_index },
                    joined([&name, "cost"]),
                    place(),
                )
            });
            let mass = part.mass.as_ref().map(|_| {
                self.push(
                    NodeOf::Mass { table, part: part_index },
                    joined([&name, "mass"]),
                    place(),
                )
            });
            let of = NodeOf::Quantity { table, part: part_index };
            let quantity = self.push(of, joined([&name, "quantity"]), place());
            self.symbols.parts.push(PartSlots { cost, mass, quantity });
            self.parts.push(PartNodes {
                table,
                index: part_index,
                name,
                cost,
                mass,
                quantity,
                uses: Vec::new(),
            });
        }
    }

    /// What everything costs and weighs together.
    fn number_totals(&mut self) {
        let total =
            |slot: fn(&PartNodes) -> Option<u32>, parts: &[PartNodes]| -> Box<[(u32, u32)]> {
                parts.iter().filter_map(|part| Some((slot(part)?, part.quantity))).collect()
            };
        for (node, pairs) in [
            (self.symbols.design_cost, total(|part| part.cost, &self.parts)),
            (self.symbols.design_mass, total(|part| part.mass, &self.parts)),
        ] {
            let targets = pairs.iter().flat_map(|(a, b)| [Target::Slot(*a), Target::Slot(*b)]);
            let lost = self.is_part_lost().then_some(Target::Unknown);
            self.nodes[node as usize].targets = targets.chain(lost).collect();
            self.nodes[node as usize].calculation = Calculation::Total(pairs);
        }
    }

    /// Whether a part could not be read, so that no total is known.
    fn is_part_lost(&self) -> bool {
        let material = self.material;
        !material.lost_tables.is_empty() || material.tables.iter().any(|table| table.lost.part)
    }

    /// Limits, travels and checks: they need values, and nothing can name them.
    pub(super) fn number_requirements(&mut self) {
        for slot in 0..self.slots as u32 {
            let NodeOf::Dimension { table, index } = self.nodes[slot as usize].of else { continue };
            let dimension = &self.material.tables[table as usize].dimensions[index as usize];
            self.number_limits(slot, dimension);
        }
        for (t, table) in self.material.tables.iter().enumerate() {
            for (index, check) in table.checks.iter().enumerate() {
                let number = self.checks.len() as u32;
                let name = joined([&table.name, &check.name]);
                self.symbols.names[t].insert(check.name.clone(), Symbol::Check(number));
                let node =
                    self.push(NodeOf::Check { check: number }, name.clone(), check.place.clone());
                let tight = check
                    .tight
                    .is_some()
                    .then(|| self.push(NodeOf::Tight { check: number }, name, check.place.clone()));
                self.checks.push(CheckNodes { table: t as u32, index: index as u32, node, tight });
            }
        }
    }

    fn number_limits(&mut self, slot: u32, dimension: &Dimension) {
        if dimension.min.is_none() && dimension.max.is_none() && dimension.travel.is_none() {
            return;
        }
        let name = self.nodes[slot as usize].name.clone();
        let mut node = |of: NodeOf, there: bool| {
            there.then(|| self.push(of, name.clone(), dimension.place.clone()))
        };
        let min = node(NodeOf::Min { slot }, dimension.min.is_some());
        let max = node(NodeOf::Max { slot }, dimension.max.is_some());
        let from = node(NodeOf::TravelFrom { slot }, dimension.travel.is_some());
        let to = node(NodeOf::TravelTo { slot }, dimension.travel.is_some());
        let travel = from.zip(to).map(|(from, to)| [from, to]);
        self.limits.insert(slot, LimitNodes { min, max, travel });
    }
}

/// A full name from its words.
fn joined<const N: usize>(words: [&str; N]) -> SmolStr {
    let mut name = SmolStrBuilder::new();
    for (index, word) in words.into_iter().enumerate() {
        if index > 0 {
            name.push('.');
        }
        name.push_str(word);
    }
    name.finish()
}
