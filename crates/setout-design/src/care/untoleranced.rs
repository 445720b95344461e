//! Chosen dimensions without a tolerance, in checks that depend on those of others.
//!
//! A dimension with a tolerance is *made*: its own error alone enters, and what it is computed
//! from enters no more. One without hands on the errors of what it is computed from. So what a
//! check takes as exact in silence is what is chosen, has no tolerance, and leads to the check
//! through results.

use setout_formula::Type;

use crate::Warning;
use crate::document::Zone;
use crate::evaluation::Evaluation;
use crate::model::{Calculation, Model, NodeOf};

/// So many checks are named in one warning; the others are counted.
const MOST_NAMED: usize = 3;
/// How many steps through the graph are taken to name them. Dimensions that come later are told
/// without: a design of very many checks and dimensions would else cost their product.
const MOST_STEPS: usize = 10_000_000;

/// A warning for every dimension that a check with tolerances takes as exact in silence.
pub(super) fn untoleranced(evaluation: &Evaluation) -> Vec<Warning> {
    let model = &*evaluation.design.model;
    let errors = Errors::of(model);
    let mut steps = MOST_STEPS;
    let warning = |slot: u32| {
        let node = &model.nodes[slot as usize];
        let checks = errors.checks_with(slot, &mut steps);
        let message = format!("`{}` has no tolerance, {}", node.name, entered(model, &checks));
        Warning {
            place: node.place.clone(),
            slug: "untoleranced",
            name: node.name.to_string(),
            message,
            help: help(evaluation, slot),
        }
    };
    errors.taken_as_exact().into_iter().map(warning).collect()
}

/// Where errors of what is made come to.
struct Errors<'m> {
    model: &'m Model,
    /// The nodes that an error reaches through results.
    reached: Vec<bool>,
}

impl<'m> Errors<'m> {
    fn of(model: &'m Model) -> Self {
        let made = model.tolerances.iter().filter(|(_, tolerance)| !tolerance.zone.is_exact());
        let mut errors = Self { model, reached: vec![false; model.nodes.len()] };
        let mut waiting: Vec<u32> = made.map(|(slot, _)| *slot).collect();
        while let Some(node) = waiting.pop() {
            for next in model.graph.dependents(node).iter().copied() {
                if errors.passes_into(next) && !errors.reached[next as usize] {
                    errors.reached[next as usize] = true;
                    waiting.push(next);
                }
            }
        }
        errors
    }

    /// Whether errors of what a node is computed from run into it. What is made stops them, and
    /// nobody holds to a tolerance for the sake of a price.
    fn passes_into(&self, node: u32) -> bool {
        let of = self.model.nodes[node as usize].of;
        let is_price = matches!(of, NodeOf::Cost { .. } | NodeOf::DesignCost);
        let is_judged = of.is_value() || matches!(of, NodeOf::Check { .. });
        is_judged && !is_price && !self.model.tolerances.contains_key(&node)
    }

    /// Whether a check has a margin, and an error reaches it.
    fn judges(&self, node: u32) -> bool {
        self.reached[node as usize]
            && matches!(&self.model.nodes[node as usize].calculation,
                Calculation::Requirement(requirement) if !requirement.has_no_margin())
    }

    /// Chosen dimensions without a tolerance that lead to such a check, by slot.
    fn taken_as_exact(&self) -> Vec<u32> {
        let mut seen = vec![false; self.model.nodes.len()];
        let checks = self.model.checks.iter().map(|check| check.node);
        let mut waiting: Vec<u32> = checks.filter(|check| self.judges(*check)).collect();
        while let Some(node) = waiting.pop() {
            for needed in self.model.graph.dependencies(node).iter().copied() {
                if self.passes_into(needed) && !seen[needed as usize] {
                    seen[needed as usize] = true;
                    waiting.push(needed);
                }
            }
        }
        let slots = 0..self.model.slots as u32;
        slots.filter(|slot| seen[*slot as usize] && could_have_one(self.model, *slot)).collect()
    }

    /// The checks with errors that a dimension leads to, by number; none when the steps are used up.
    fn checks_with(&self, slot: u32, steps: &mut usize) -> Vec<u32> {
        let mut seen = std::collections::HashSet::new();
        let mut waiting = vec![slot];
        let mut checks = Vec::new();
        while let Some(node) = waiting.pop() {
            for next in self.model.graph.dependents(node).iter().copied() {
                if *steps == 0 {
                    return Vec::new();
                }
                *steps -= 1;
                if self.passes_into(next) && seen.insert(next) {
                    waiting.push(next);
                    checks.extend(self.judges(next).then_some(next));
                }
            }
        }
        checks.sort_unstable();
        checks
    }
}

/// Whether a tolerance would be asked of it: a chosen quantity that stands still. Plain numbers
/// are ratios and factors, money is agreed, and a cell has no place for a tolerance.
fn could_have_one(model: &Model, slot: u32) -> bool {
    let node = &model.nodes[slot as usize];
    let is_axis = model.limits.get(&slot).is_some_and(|limits| limits.travel.is_some());
    let is_physical = match node.kind {
        Type::Quantity(kind) => !kind.is_number() && !kind.has_money(),
        Type::Reading => true,
        _ => false,
    };
    matches!(node.of, NodeOf::Dimension { .. }) && model.is_chosen(slot) && !is_axis && is_physical
}

/// The checks in which it is taken as exact, as a clause.
fn entered(model: &Model, checks: &[u32]) -> String {
    let name = |check: &u32| format!("`{}`", model.nodes[*check as usize].name);
    let mut named: Vec<String> = checks.iter().take(MOST_NAMED).map(name).collect();
    if checks.len() > named.len() {
        named.push(format!("{} more", checks.len() - named.len()));
    }
    match &named[..] {
        [] => "unlike others in checks that depend on it".to_owned(),
        [one] => format!("unlike others in the check {one}"),
        [first @ .., last] => {
            format!("unlike others in the checks {} and {last}", first.join(", "))
        }
    }
}

/// The tolerance to write: that of a process, if one is of this kind.
fn help(evaluation: &Evaluation, slot: u32) -> String {
    let material = &evaluation.design.material;
    let unit = evaluation.unit_of_differences(slot);
    let is_of_kind = |process: &&crate::Process| {
        let zone = process.tolerance.as_ref().map(|tolerance| &tolerance.zone);
        matches!(zone, Some(Zone::Between { kind: of, .. }) if *of == unit.kind())
    };
    let exact = format!("`tolerance: 0 {}` if it is exact", unit.symbol());
    match material.common.processes.iter().find(is_of_kind) {
        Some(process) => format!("write `tolerance: {}` or another, or {exact}", process.name),
        None => format!("write `tolerance: ±` and how much, or {exact}"),
    }
}
