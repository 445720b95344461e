//! Which edits a consequence follows from, found by undoing them.

use std::collections::{BTreeMap, HashMap, HashSet};

use crate::document::Value;
use crate::evaluate::evaluate_change;
use crate::model::{Calculation, Target};
use crate::verdict::margin_at;
use crate::{CheckResult, Evaluation};

use super::edits::{Edited, What};
use super::{Sides, nearly};

/// Names of edits by what they explain.
pub(crate) struct Causes {
    of: HashMap<u32, (Vec<String>, bool)>,
    checks: BTreeMap<u32, Vec<String>>,
}

impl Causes {
    /// The edits behind a changed value, and whether they are only those that reach it.
    pub(crate) fn of(&self, slot: u32) -> (Vec<String>, bool) {
        self.of.get(&slot).cloned().unwrap_or_default()
    }

    /// The edits behind a check's change.
    pub(crate) fn of_check(&self, node: u32, name: &str, edited: &HashSet<&str>) -> Vec<String> {
        let mut because = self.checks.get(&node).cloned().unwrap_or_default();
        if edited.contains(name) {
            because.insert(0, name.to_owned());
        }
        because
    }

    /// Undoes every edit of a value by itself and sees what it takes back.
    pub(crate) fn find(sides: &Sides<'_>, edits: &[Edited], changed: &[u32]) -> Self {
        let mut causes = Self { of: HashMap::new(), checks: BTreeMap::new() };
        let mut together: Vec<usize> = Vec::new();
        for (index, edit) in edits.iter().enumerate() {
            match undone(sides, edit) {
                Undone::Nothing => {}
                Undone::Values(values) => causes.note(sides, changed, &values, &[&edit.name]),
                Undone::NotAlone => together.push(index),
            }
        }
        causes.undo_together(sides, edits, changed, &together);
        causes.fall_back(sides, edits, changed);
        causes
    }

    /// Notes the edits for all that differs when they are undone.
    fn note(&mut self, sides: &Sides<'_>, changed: &[u32], values: &[f64], names: &[&String]) {
        let model = &sides.after.design.model;
        for slot in changed {
            let (after, undone) = (sides.after.values[*slot as usize], values[*slot as usize]);
            let same = (after.is_nan() && undone.is_nan()) || nearly(after, undone);
            if !same {
                let because = &mut self.of.entry(*slot).or_default().0;
                because.extend(names.iter().map(|name| (*name).clone()));
            }
        }
        let reached: HashSet<u32> = sides.reached.iter().copied().collect();
        for check in model.checks.iter().filter(|check| reached.contains(&check.node)) {
            let margin = |values: &[f64]| margin_at(model, values, *check);
            if margin(&sides.after.values) != margin(values) {
                let because = self.checks.entry(check.node).or_default();
                because.extend(names.iter().map(|name| (*name).clone()));
            }
        }
    }

    /// Edits that cannot be undone alone (something new that something else now needs) are undone
    /// as one group: what is then left is the design with all other edits.
    fn undo_together(
        &mut self,
        sides: &Sides<'_>,
        edits: &[Edited],
        changed: &[u32],
        together: &[usize],
    ) {
        if together.is_empty() {
            return;
        }
        // Taking the whole group out is taking all edits out, but for those that can stay.
        let kept: Vec<(String, String)> = edits
            .iter()
            .enumerate()
            .filter(|(index, edit)| edit.what == What::Value && !together.contains(index))
            .filter_map(|(_, edit)| Some((edit.name.clone(), edit.after.clone()?)))
            .collect();
        let pairs: Vec<(&str, &str)> = kept.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
        let Ok(design) = sides.before.design.with(&pairs) else { return };
        let undone = design.evaluate();
        let names: Vec<&String> = together.iter().map(|index| &edits[*index].name).collect();
        self.note_checks(sides, &undone, &names);
        let old = &undone.design.model;
        let by_name: HashMap<String, u32> = old.nodes[..old.slots]
            .iter()
            .enumerate()
            .map(|(slot, node)| (sides.renames.apply(&node.name), slot as u32))
            .collect();
        for slot in changed {
            let name = &sides.after.design.model.nodes[*slot as usize].name;
            let then = by_name.get(&**name).and_then(|old| undone.amount(*old));
            if !super::same(&then, &sides.after.amount(*slot)) {
                let because = &mut self.of.entry(*slot).or_default().0;
                because.extend(names.iter().map(|name| (*name).clone()));
            }
        }
    }

    /// Notes a group of edits for the checks whose margin or verdict it moved.
    fn note_checks(&mut self, sides: &Sides<'_>, undone: &Evaluation, names: &[&String]) {
        let then: HashMap<String, &CheckResult> =
            undone.checks().iter().map(|check| (sides.renames.apply(&check.name), check)).collect();
        let model = &sides.after.design.model;
        for (nodes, now) in model.checks.iter().zip(sides.after.checks()) {
            let Some(then) = then.get(&now.name) else { continue };
            let same_margin = match (then.margin, now.margin) {
                (Some(a), Some(b)) => nearly(a, b),
                (a, b) => a == b,
            };
            if then.verdict != now.verdict || !same_margin {
                let because = self.checks.entry(nodes.node).or_default();
                because.extend(names.iter().map(|name| (*name).clone()));
            }
        }
    }

    /// Where no edit alone is to blame, all that reach the value are named.
    fn fall_back(&mut self, sides: &Sides<'_>, edits: &[Edited], changed: &[u32]) {
        let graph = &sides.after.design.model.graph;
        for slot in changed {
            let entry = self.of.entry(*slot).or_default();
            if !entry.0.is_empty() {
                entry.0.sort();
                entry.0.dedup();
                continue;
            }
            let needed = graph.needs([*slot]);
            let reaching = needed.iter().filter_map(|node| sides.edited.get(node));
            let mut names: Vec<String> = reaching.map(|edit| edits[*edit].name.clone()).collect();
            names.extend(gone_before(sides, edits, *slot));
            if names.is_empty() {
                // A rate or a currency reaches values without an edge.
                let common = edits.iter().filter(|edit| edit.name.starts_with("design"));
                names = common.map(|edit| edit.name.clone()).collect();
            }
            names.sort();
            names.dedup();
            *entry = (names, true);
        }
    }
}

/// The edits that took out something that a value needed before.
fn gone_before(sides: &Sides<'_>, edits: &[Edited], slot: u32) -> Vec<String> {
    let Some(old) = sides.counterparts.of(slot) else { return Vec::new() };
    let model = &sides.before.design.model;
    let needed = model.graph.needs([old]);
    let needed: HashSet<String> =
        needed.iter().map(|node| sides.renames.apply(&model.nodes[*node as usize].name)).collect();
    let gone = edits.iter().filter(|edit| edit.what == What::Removed);
    let reaching = gone.filter(|edit| {
        let is_of = |name: &String| {
            name.strip_prefix(&*edit.name)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        needed.iter().any(is_of)
    });
    reaching.map(|edit| edit.name.clone()).collect()
}

enum Undone {
    /// The edit changes no value.
    Nothing,
    /// The values of the design after, with this edit taken back.
    Values(Vec<f64>),
    /// It cannot be taken back while the others stay.
    NotAlone,
}

fn undone(sides: &Sides<'_>, edit: &Edited) -> Undone {
    if !matches!(edit.what, What::Value | What::Added | What::Removed | What::Currency) {
        return Undone::Nothing;
    }
    let model = &sides.after.design.model;
    let [node] = edit.value_nodes(model)[..] else { return Undone::NotAlone };
    let Some(old) = sides.counterparts.of(node) else { return Undone::NotAlone };
    match earlier(sides, node, old) {
        Some(calculation) => {
            let material = &sides.after.design.material;
            let change = [(node, calculation)];
            Undone::Values(evaluate_change(model, material, &sides.after.values, &change))
        }
        None => Undone::NotAlone,
    }
}

/// How a node's value came about before, in terms of the design after.
fn earlier(sides: &Sides<'_>, node: u32, old: u32) -> Option<Calculation> {
    let (before, after) = (&sides.before.design, &sides.after.design);
    let mut texts = after.model.texts.clone();
    if let Some(Value::Text(text)) = before.value_at(old) {
        // A text that only stood before has no number after; any unused one differs from all.
        return Some(Calculation::Text(texts.number(text.text())));
    }
    let Some(expr) = before.model.expr(&before.material, old) else {
        return matches!(before.model.nodes[old as usize].calculation, Calculation::Code(_))
            .then(|| before.model.nodes[old as usize].calculation.clone());
    };
    let formula = expr.formula.as_ref()?;
    let mut targets = Vec::new();
    for target in &before.model.nodes[old as usize].targets {
        let name = before.model.target_name(&before.material, *target)?;
        targets.push(after.model.symbols.find(None, &sides.renames.apply(&name)).ok()?);
    }
    let reach: HashSet<u32> = after.model.graph.reach([node]).into_iter().chain([node]).collect();
    let circular = targets.iter().any(|target| match target {
        Target::Slot(slot) => reach.contains(slot),
        Target::Column { schedule, column } => after.model.schedules[*schedule as usize].columns
            [*column as usize]
            .iter()
            .any(|slot| reach.contains(slot)),
        Target::Unknown => true,
    });
    if circular {
        return None;
    }
    let meanings = after.model.meanings(&targets);
    let compiled = formula.compile(&meanings, &after.material.units, &mut texts).ok()?;
    (compiled.of == after.model.nodes[node as usize].kind)
        .then_some(Calculation::Code(compiled.code))
}
