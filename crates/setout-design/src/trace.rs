//! How a value came about, and what depends on it.

use std::collections::HashSet;

use crate::edit::EditFault;
use crate::evaluation::Evaluation;
use crate::filled::filled_in;
use crate::model::{NodeOf, Target};
use crate::{Amount, Place, Verdict};

/// One step on the way to a value.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The full name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// Whether its value names no other.
    pub chosen: bool,
    /// What was written.
    pub written: String,
    /// What was written, with numbers for names.
    pub filled_in: String,
    /// What it came to; absent when it could not be computed, and for checks.
    pub value: Option<Amount>,
    /// For a check: its verdict and margin, in the unit of `margin`.
    pub verdict: Option<(Verdict, Option<Amount>)>,
    /// The full names of what it needs directly.
    pub needs: Vec<String>,
}

/// What depends on some values.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// The full names that were asked for.
    pub of: Vec<String>,
    /// Dimensions and cells, in order of dependency.
    pub values: Vec<Reached>,
    /// Checks, by full name, in the order of the tables.
    pub checks: Vec<String>,
    /// Dimensions whose limits are concerned, by full name.
    pub limits: Vec<String>,
    /// Parts, with what each uses of all this.
    pub parts: Vec<(String, Vec<String>)>,
    /// Schedules with a cell among the values.
    pub schedules: Vec<String>,
    /// The exports of the design, as it names them; empty when nothing exported is concerned.
    pub exports: Vec<String>,
    /// Whether what everything costs depends on the values.
    pub cost: bool,
    /// Whether what everything weighs does.
    pub mass: bool,
}

/// A value that depends on others.
#[derive(Clone, Debug, PartialEq)]
pub struct Reached {
    /// The full name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// Its value.
    pub value: Option<Amount>,
    /// A shortest way from what was asked for, both ends included; the middle of a long one is `…`.
    pub path: Vec<String>,
}

impl Evaluation {
    /// The node of a value or a check.
    pub(crate) fn node(&self, name: &str) -> Result<u32, EditFault> {
        let check = self
            .checks()
            .iter()
            .position(|check| check.name == name || check.name.rsplit('.').next() == Some(name));
        match (self.design.slot(name), check) {
            (Err(_), Some(check)) => Ok(self.design.model.checks[check].node),
            (slot, _) => slot,
        }
    }

    /// How a value or a check came about: every value that it needs, each once, in order of
    /// dependency; the thing itself is the last.
    ///
    /// # Errors
    /// When the name stands for neither, or for several things.
    pub fn derivation(&self, name: &str) -> Result<Vec<Step>, EditFault> {
        let node = self.node(name)?;
        let mut nodes = self.design.model.graph.needs([node]);
        nodes.retain(|needed| *needed != node);
        nodes.push(node);
        Ok(nodes.into_iter().map(|node| self.step(node)).collect())
    }

    fn step(&self, node: u32) -> Step {
        let model = &self.design.model;
        let of = &model.nodes[node as usize];
        let written = match of.of {
            NodeOf::Check { check } => self.checks()[check as usize].requirement.clone(),
            NodeOf::DesignCost => "the cost of every part, times its quantity".into(),
            NodeOf::DesignMass => "the mass of every part, times its quantity".into(),
            _ => self.dimension(node).written,
        };
        let written = if written.is_empty() { "1".to_owned() } else { written };
        let filled = filled_in(model, &self.design.material, &self.values, node);
        let verdict = match of.of {
            NodeOf::Check { check } => {
                let check = &self.checks()[check as usize];
                let margin =
                    check.margin.map(|number| Amount::Number { number, unit: check.unit.clone() });
                Some((check.verdict, margin))
            }
            _ => None,
        };
        Step {
            name: of.name.to_string(),
            place: of.place.clone(),
            chosen: model.is_chosen(node),
            written,
            filled_in: filled,
            value: if verdict.is_some() { None } else { self.amount(node) },
            verdict,
            needs: self.direct_needs(node),
        }
    }

    fn direct_needs(&self, node: u32) -> Vec<String> {
        let model = &self.design.model;
        let mut names: Vec<String> = Vec::new();
        for target in &model.nodes[node as usize].targets {
            let name = match target {
                // A column is one thing to a reader, however many rows it has.
                Target::Column { .. } | Target::Slot(_) => {
                    model.target_name(&self.design.material, *target)
                }
                Target::Unknown => None,
            };
            names.extend(name.filter(|name| !names.contains(name)));
        }
        names
    }

    /// All that depends on some values.
    ///
    /// # Errors
    /// When a name stands for no value, or for several.
    pub fn reach(&self, names: &[&str]) -> Result<Reach, EditFault> {
        let model = &self.design.model;
        let mut from = Vec::new();
        for name in names {
            from.push(self.design.slot(name)?);
        }
        let reached = model.graph.reach(from.iter().copied());
        let all: HashSet<u32> = reached.iter().chain(&from).copied().collect();
        let name = |node: &u32| model.nodes[*node as usize].name.to_string();
        let is_shown = |node: &u32| {
            matches!(model.nodes[*node as usize].of, NodeOf::Dimension { .. } | NodeOf::Cell { .. })
        };
        let ways = model.graph.ways(&from, |through| all.contains(&through));
        let values = reached.iter().filter(|node| is_shown(node)).map(|node| Reached {
            name: name(node),
            place: model.nodes[*node as usize].place.clone(),
            value: self.amount(*node),
            path: model.way(&ways, *node),
        });
        let values: Vec<Reached> = values.collect();
        let exports = self.exports().iter().map(|export| export.file.clone());
        Ok(Reach {
            of: from.iter().map(name).collect(),
            checks: self.reached_checks(&all),
            limits: self.reached_limits(&all),
            parts: self.reached_parts(&all),
            schedules: self.reached_schedules(&all),
            exports: if all.iter().any(is_shown) { exports.collect() } else { Vec::new() },
            cost: all.contains(&model.design_cost),
            mass: all.contains(&model.design_mass),
            values,
        })
    }

    fn reached_checks(&self, all: &HashSet<u32>) -> Vec<String> {
        let checks = self.design.model.checks.iter().zip(self.checks());
        checks
            .filter(|(nodes, _)| {
                all.contains(&nodes.node) || nodes.tight.is_some_and(|tight| all.contains(&tight))
            })
            .map(|(_, check)| check.name.clone())
            .collect()
    }

    fn reached_limits(&self, all: &HashSet<u32>) -> Vec<String> {
        let model = &self.design.model;
        let concerned = model.limits.iter().filter(|(slot, limits)| {
            let travel = limits.travel.into_iter().flatten().map(Some);
            let ends = [limits.min, limits.max].into_iter().chain(travel).flatten();
            all.contains(slot) || ends.into_iter().any(|end| all.contains(&end))
        });
        concerned.map(|(slot, _)| model.nodes[*slot as usize].name.to_string()).collect()
    }

    fn reached_parts(&self, all: &HashSet<u32>) -> Vec<(String, Vec<String>)> {
        let model = &self.design.model;
        let mut parts = Vec::new();
        for part in model.parts.iter() {
            let used = part.uses.iter().filter(|slot| all.contains(slot));
            let uses: Vec<String> =
                used.map(|slot| model.nodes[*slot as usize].name.to_string()).collect();
            let priced = [part.cost, part.mass, Some(part.quantity)];
            if !uses.is_empty() || priced.iter().flatten().any(|slot| all.contains(slot)) {
                parts.push((part.name.clone(), uses));
            }
        }
        parts
    }

    fn reached_schedules(&self, all: &HashSet<u32>) -> Vec<String> {
        let schedules = self.design.model.schedules.iter();
        let touched =
            schedules.filter(|s| s.columns.iter().flatten().any(|slot| all.contains(slot)));
        touched.map(|schedule| schedule.name.clone()).collect()
    }
}
