//! Where values can lie when every chosen dimension lies where its own limits let it.

use std::collections::HashMap;

use setout_formula::{Bounds, Line};

use crate::model::{Calculation, LimitNodes, Model};

/// How many values are looked at, of those that limits are computed from, for a way back to the
/// dimension that they limit.
const MOST_STEPS: usize = 1_000_000;

/// Bounds of all values and limits.
pub(super) struct Reachable<'m> {
    model: &'m Model,
    bounds: Vec<Bounds>,
    /// Limits and travels of chosen dimensions that are written as values.
    written: HashMap<u32, Bounds>,
    steps: usize,
}

impl<'m> Reachable<'m> {
    pub(super) fn of(model: &'m Model, values: &[f64]) -> Self {
        let chosen = model.limits.iter().filter(|(slot, _)| model.is_chosen(**slot));
        let written = chosen.map(|(slot, limits)| (*slot, written(model, limits, values)));
        let (bounds, written) = (vec![Bounds::ANY; model.nodes.len()], written.collect());
        let mut reachable = Self { model, bounds, written, steps: MOST_STEPS };
        for node in model.graph.order() {
            reachable.bounds[*node as usize] = reachable.of_node(*node);
        }
        reachable
    }

    /// Where a value or a limit can lie.
    pub(super) fn bounds(&self, node: u32) -> Bounds {
        self.bounds[node as usize]
    }

    fn of_node(&self, node: u32) -> Bounds {
        let of = &self.model.nodes[node as usize];
        // What is chosen can be written anew. A limit is what it says.
        if of.of.is_value() && self.model.is_chosen(node) {
            return self.written.get(&node).copied().unwrap_or(Bounds::ANY);
        }
        self.line(node, Bounds::ANY, &HashMap::new()).bounds(Bounds::ANY)
    }

    fn line(&self, node: u32, unknown: Bounds, lines: &HashMap<u32, Line>) -> Line {
        let Calculation::Code(code) = &self.model.nodes[node as usize].calculation else {
            return Line::of(Bounds::ANY);
        };
        code.line(unknown, |slot| {
            lines.get(&slot).copied().unwrap_or_else(|| Line::of(self.bounds[slot as usize]))
        })
    }

    /// How far a dimension lies above a limit that is computed from that dimension; `None` where
    /// it is not, or where that is not known.
    pub(super) fn above(&mut self, slot: u32, limit: u32) -> Option<Bounds> {
        let graph = &self.model.graph;
        let apart = graph.dependents(slot).is_empty() || graph.dependencies(limit).is_empty();
        if self.steps == 0 || apart {
            return None;
        }
        let between = self.model.graph.needs([limit]);
        self.steps = self.steps.saturating_sub(between.len());
        let unknown = self.bounds(slot);
        let mut lines = HashMap::from([(slot, Line::unknown())]);
        for node in between.into_iter().chain([limit]) {
            let needed = self.model.graph.dependencies(node);
            if node != slot && needed.iter().any(|needed| lines.contains_key(needed)) {
                lines.insert(node, self.line(node, unknown, &lines));
            }
        }
        Some(Line::unknown().minus(*lines.get(&limit)?).bounds(unknown))
    }
}

/// The limits and the travel of a chosen dimension, as far as they name nothing.
fn written(model: &Model, limits: &LimitNodes, values: &[f64]) -> Bounds {
    let end = |node: Option<u32>, none: f64| {
        let written = node.filter(|node| model.nodes[*node as usize].targets.is_empty());
        written.map_or(none, |node| values[node as usize])
    };
    let between = |low: Option<u32>, high: Option<u32>| Bounds {
        low: end(low, f64::NEG_INFINITY),
        high: end(high, f64::INFINITY),
    };
    let [from, to] = limits.travel.map_or([None; 2], |ends| ends.map(Some));
    let both = between(limits.min, limits.max).and(between(from, to));
    // Of what can be nowhere, nothing follows for others.
    if both.low <= both.high { both } else { Bounds::ANY }
}
