//! Tables to a model: numbering, looking up, ordering. Writing the code is `compile.rs`'s.

use std::collections::{BTreeMap, HashMap};

use setout_formula::{Formula, Program, Texts, Type};
use setout_quantity::{Kind, Unit};
use smol_str::SmolStr;

use super::compile::compile;
use super::graph::Graph;
use super::names::{exported, schedule_faults};
use super::processes::process_faults;
use super::symbols::{Refusal, Symbols};
use super::unused::unused;
use super::{
    Calculation, CheckNodes, LimitNodes, Model, Node, NodeOf, PartNodes, ScheduleNodes, Target,
};
use crate::document::{ColumnOf, Expr};
use crate::limits::most_guesses;
use crate::material::Material;
use crate::{Fault, Place, Slug};

/// Builds the model of a design. Everything that cannot be looked up or does not fit is a fault;
/// the rest is there.
pub(crate) fn build(material: &Material) -> Model {
    let mut builder = Builder::new(material);
    builder.number_values();
    builder.number_requirements();
    builder.look_up_names();
    builder.find_uses();
    builder.faults.extend(process_faults(material));
    let mut model = builder.finish();
    report_cycles(&mut model);
    compile(&mut model, material);
    model.warnings.extend(unused(&model));
    model
}

pub(super) struct Builder<'a> {
    pub(super) material: &'a Material,
    pub(super) nodes: Vec<Node>,
    pub(super) symbols: Symbols,
    pub(super) schedules: Vec<ScheduleNodes>,
    pub(super) checks: Vec<CheckNodes>,
    pub(super) parts: Vec<PartNodes>,
    pub(super) limits: BTreeMap<u32, LimitNodes>,
    pub(super) columns: Vec<(String, Place, Vec<u32>)>,
    pub(super) slots: usize,
    pub(super) edges: Vec<(u32, u32)>,
    /// How many names stood for nothing so far.
    pub(super) refused: usize,
    pub(super) faults: Vec<Fault>,
}

impl<'a> Builder<'a> {
    fn new(material: &'a Material) -> Self {
        let mut symbols = Symbols::default();
        for (index, table) in material.tables.iter().enumerate() {
            symbols.tables.insert(table.name.clone(), index as u32);
            symbols.table_names.push(table.name.clone());
            symbols.names.push(HashMap::with_capacity(table.named()));
        }
        Self {
            material,
            nodes: Vec::with_capacity(material.tables.iter().map(|table| 2 * table.named()).sum()),
            symbols,
            schedules: Vec::new(),
            checks: Vec::new(),
            parts: Vec::new(),
            limits: BTreeMap::new(),
            columns: Vec::new(),
            slots: 0,
            edges: Vec::new(),
            refused: 0,
            faults: schedule_faults(&material.tables),
        }
    }

    pub(super) fn push(&mut self, of: NodeOf, name: SmolStr, place: Place) -> u32 {
        let number = self.nodes.len() as u32;
        self.nodes.push(Node {
            of,
            name,
            place,
            targets: Box::default(),
            kind: Type::Unknown,
            unit: Unit::number(),
            calculation: Calculation::None,
        });
        number
    }

    fn expr(&self, of: NodeOf) -> Option<(&'a Expr, u32)> {
        let material = self.material;
        let table = match of {
            NodeOf::Dimension { table, .. }
            | NodeOf::Cell { table, .. }
            | NodeOf::Cost { table, .. }
            | NodeOf::Mass { table, .. }
            | NodeOf::Quantity { table, .. } => table,
            NodeOf::Min { slot }
            | NodeOf::Max { slot }
            | NodeOf::TravelFrom { slot }
            | NodeOf::TravelTo { slot } => match self.nodes[slot as usize].of {
                NodeOf::Dimension { table, .. } => table,
                _ => return None,
            },
            NodeOf::Check { check } | NodeOf::Tight { check } => self.checks[check as usize].table,
            NodeOf::DesignCost | NodeOf::DesignMass => return None,
        };
        super::expr_of(material, &self.nodes, &self.checks, of).map(|expr| (expr, table))
    }

    fn look_up_names(&mut self) {
        for node in 0..self.nodes.len() {
            if let Calculation::Total(pairs) = &self.nodes[node].calculation {
                let needed = pairs.iter().flat_map(|(a, b)| [*a, *b]);
                self.edges.extend(needed.map(|needed| (needed, node as u32)));
                continue;
            }
            let Some((expr, table)) = self.expr(self.nodes[node].of) else { continue };
            let Some(formula) = &expr.formula else { continue };
            let targets: Box<[Target]> = formula
                .names()
                .iter()
                .map(|name| match self.symbols.find(Some(table), &name.name) {
                    Ok(target) => target,
                    Err(_) if self.is_lost(table, &name.name) => Target::Unknown,
                    Err(slug) => {
                        let refusal = self.refusal(slug, table, &name.name);
                        let at = expr.scalar.source_offset(name.at.range().start);
                        let place = self.material.files[expr.file as usize].place(at);
                        let (slug, message) = (refusal.slug, refusal.message.clone());
                        let help = self.for_text(node, formula, &refusal).unwrap_or(refusal.help);
                        self.faults.push(Fault { place, slug, message, help });
                        Target::Unknown
                    }
                })
                .collect();
            self.add_edges(node as u32, &targets);
            self.nodes[node].targets = targets;
        }
    }

    /// Why a name stands for nothing; with a guess at what was meant, unless there are very many.
    fn refusal(&mut self, slug: Slug, table: u32, name: &str) -> Refusal {
        self.refused += 1;
        self.symbols.refusal(
            slug,
            Some(table),
            name,
            self.refused <= most_guesses(self.nodes.len()),
        )
    }

    /// Whether a name that stands for nothing is one of something that could not be read.
    fn is_lost(&self, table: u32, name: &str) -> bool {
        let (first, rest) = name.split_once('.').unwrap_or((name, ""));
        if self.material.lost_tables.contains(first) {
            return true;
        }
        let (table, name) = match self.symbols.tables.get(first).filter(|_| !rest.is_empty()) {
            Some(other) => (*other, rest.split('.').next().unwrap_or(rest)),
            None => (table, first),
        };
        let lost = &self.material.tables[table as usize].lost;
        lost.section || lost.names.contains(name)
    }

    /// The help for a dimension that is nothing but an unknown word: it may be meant as a text.
    fn for_text(&self, node: usize, formula: &Formula, refusal: &Refusal) -> Option<String> {
        let NodeOf::Dimension { table, index } = self.nodes[node].of else { return None };
        let word = formula.bare_name().filter(|word| !word.name.contains('.'))?;
        if refusal.explained {
            return None;
        }
        let table = &self.material.tables[table as usize];
        let (name, word) = (&table.dimensions[index as usize].name, &word.name);
        let text = format!("for a text, write `{name}: {{ text: {word} }}`");
        let also = format!("; for a dimension, add `{word}` to the table `{}`", table.name);
        let may_be_dimension = crate::document::name_fault(word).is_none();
        Some(if may_be_dimension { text + &also } else { text })
    }

    fn add_edges(&mut self, node: u32, targets: &[Target]) {
        let mut needed: Vec<u32> = Vec::with_capacity(targets.len());
        for target in targets {
            match *target {
                Target::Slot(slot) => needed.push(slot),
                Target::Column { schedule, column } => {
                    needed.extend(&self.schedules[schedule as usize].columns[column as usize]);
                }
                Target::Unknown => {}
            }
        }
        needed.sort_unstable();
        needed.dedup();
        self.edges.extend(needed.into_iter().map(|needed| (needed, node)));
    }

    /// What parts use: what `uses:` names, and what their models do.
    fn find_uses(&mut self) {
        let (names, faults) =
            exported(&self.nodes[..self.slots], std::mem::take(&mut self.columns));
        self.faults.extend(faults);
        for number in 0..self.parts.len() {
            let (t, index) = (self.parts[number].table, self.parts[number].index);
            let part = &self.material.tables[t as usize].parts[index as usize];
            let mut uses = Vec::new();
            for name in &part.uses {
                match self.symbols.find(Some(t), name.text().trim()) {
                    Ok(Target::Slot(slot)) => uses.push(slot),
                    Ok(Target::Column { schedule, column }) => {
                        uses.extend(&self.schedules[schedule as usize].columns[column as usize]);
                    }
                    Ok(Target::Unknown) => {}
                    Err(_) if self.is_lost(t, name.text().trim()) => {}
                    Err(slug) => {
                        let refusal = self.refusal(slug, t, name.text().trim());
                        let (message, help) = (refusal.message, refusal.help);
                        self.faults.push(Fault { place: name.place.clone(), slug, message, help });
                    }
                }
            }
            let cad = part.cad.as_ref().and_then(|cad| cad.path.as_ref());
            if let Some(file) = cad.and_then(|path| self.material.cad.get(path)) {
                uses.extend(file.identifiers.iter().flat_map(|name| names.slots(name)));
            }
            uses.sort_unstable();
            uses.dedup();
            self.parts[number].uses = uses;
        }
    }

    fn finish(self) -> Model {
        let graph = Graph::new(self.nodes.len(), self.edges);
        Model {
            nodes: self.nodes,
            slots: self.slots,
            graph: graph.into(),
            design_cost: self.symbols.design_cost,
            design_mass: self.symbols.design_mass,
            symbols: self.symbols.into(),
            schedules: self.schedules.into(),
            column_kinds: column_kinds(self.material).into(),
            checks: self.checks.into(),
            parts: self.parts.into(),
            limits: self.limits.into(),
            tolerances: BTreeMap::new(),
            errors: BTreeMap::new(),
            program: Program::default(),
            texts: Texts::default(),
            faults: self.faults,
            warnings: Vec::new(),
        }
    }
}

/// The kinds of all columns, schedule by schedule.
fn column_kinds(material: &Material) -> Vec<Vec<Type>> {
    let schedules = material.tables.iter().flat_map(|table| &table.schedules);
    let kind = |of: &ColumnOf| match of {
        ColumnOf::Quantity(unit) if unit.is_reading() => Type::Reading,
        ColumnOf::Quantity(unit) => Type::Quantity(unit.kind()),
        ColumnOf::Text => Type::Text,
        ColumnOf::Faulty => Type::Unknown,
    };
    schedules.map(|s| s.columns.iter().map(|column| kind(&column.of)).collect()).collect()
}

/// Every circle is one fault, with a shortest way round it.
fn report_cycles(model: &mut Model) {
    let mut faults = Vec::new();
    for cycle in model.graph.cycles() {
        let round = model.graph.shortest_cycle(cycle);
        // The graph runs from what is needed to what needs it; people read it the other way.
        let mut way: Vec<u32> = round;
        way[1..].reverse();
        let names: Vec<SmolStr> =
            way.iter().map(|node| model.nodes[*node as usize].name.clone()).collect();
        let mut shown: Vec<&str> = names.iter().map(|name| &**name).take(LONGEST_SHOWN).collect();
        if names.len() > LONGEST_SHOWN {
            shown.push("…");
        }
        shown.push(&names[0]);
        let message = match &names[..] {
            [own] => format!("`{own}` is computed from itself"),
            _ => format!("a circle of dimensions that need each other: {}", shown.join(" needs ")),
        };
        let places: Vec<String> = way
            .iter()
            .take(LONGEST_SHOWN)
            .map(|node| {
                format!(
                    "{} at {}",
                    model.nodes[*node as usize].name, model.nodes[*node as usize].place
                )
            })
            .collect();
        let help = match &names[..] {
            [own] => format!("give it a value that does not name `{own}`"),
            _ => format!("give one of them a value of its own: {}", places.join(", ")),
        };
        let place = model.nodes[way[0] as usize].place.clone();
        faults.push(Fault { place, slug: Slug::Cycle, message, help });
    }
    model.faults.extend(faults);
}

/// How much of a long circle is written out.
const LONGEST_SHOWN: usize = 12;

/// The kind that a node has before its formula is looked at: what was declared.
pub(super) fn declared(material: &Material, of: NodeOf) -> Option<(Type, Unit)> {
    let quantity = |unit: &Unit| {
        let kind = if unit.is_reading() { Type::Reading } else { Type::Quantity(unit.kind()) };
        Some((kind, unit.clone()))
    };
    match of {
        NodeOf::Dimension { table, index } => {
            let dimension = &material.tables[table as usize].dimensions[index as usize];
            if matches!(dimension.value, crate::document::Value::Text(_)) {
                return Some((Type::Text, Unit::number()));
            }
            dimension.unit.as_ref().and_then(quantity)
        }
        NodeOf::Cell { table, schedule, column, .. } => {
            let schedule = &material.tables[table as usize].schedules[schedule as usize];
            match &schedule.columns[column as usize].of {
                ColumnOf::Quantity(unit) => quantity(unit),
                ColumnOf::Text => Some((Type::Text, Unit::number())),
                ColumnOf::Faulty => None,
            }
        }
        NodeOf::Cost { .. } | NodeOf::DesignCost => {
            let unit = material.units.customary(Kind::MONEY);
            Some((Type::Quantity(Kind::MONEY), unit))
        }
        NodeOf::Mass { .. } | NodeOf::DesignMass => {
            Some((Type::Quantity(Kind::MASS), material.units.customary(Kind::MASS)))
        }
        NodeOf::Quantity { .. } => {
            let count = material.units.read("count").unwrap_or_else(|_| Unit::number());
            Some((Type::NUMBER, count))
        }
        _ => None,
    }
}
