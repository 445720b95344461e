//! Two evaluations side by side: what a hand edited, what followed, and why.
//!
//! A before and an after are one value, the [`Comparison`], computed once and drawn many times.
//! Edits are told apart from consequences by their definitions; a consequence names the edits
//! without which it would not have happened, found by undoing them one by one, not by guessing
//! from reach.

mod causes;
mod counterparts;
mod edits;
mod renames;
mod same;
mod things;
mod told;

use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap, HashSet};

use setout_formula::Type;

use crate::fingerprint::is_made_alike;
use crate::model::{Model, NodeOf, PartNodes};
use crate::{Amount, CheckResult, Evaluation, LimitResult, Place, Verdict};
use causes::Causes;
use counterparts::Counterparts;
pub use edits::{Edited, What};
pub use renames::likeness;
pub(crate) use renames::{Renames, similar};
pub(crate) use things::Sort;
use things::Things;
pub use told::Told;

/// What differs between two evaluations.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// What a hand changed, in the order of the tables.
    pub edits: Vec<Edited>,
    /// What followed: values that differ and were not edited, in order of dependency.
    pub changed: Vec<Changed>,
    /// What was reached by the edits and came out the same, in order of dependency.
    pub unchanged: Vec<String>,
    /// Parts that are governed by something that changed.
    pub parts: Vec<PartChange>,
    /// The names of the parts that are there on both sides.
    pub parts_in_both: Vec<Both<String>>,
    /// Checks that were reached or edited, in the order of the tables.
    pub checks: Vec<CheckChange>,
    /// Limits that were reached or edited.
    pub limits: Vec<LimitChange>,
    /// Schedules of which a cell differs, by full name.
    pub schedules: Vec<String>,
    /// The exports whose content differs, as `design.yaml` names them.
    pub exports: Vec<String>,
    /// What everything costs.
    pub cost: Both<Option<Amount>>,
    /// What everything weighs.
    pub mass: Both<Option<Amount>>,
}

/// The same thing before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct Both<T> {
    /// As it was.
    pub before: T,
    /// As it is.
    pub after: T,
}

/// A value that follows from edits.
#[derive(Clone, Debug, PartialEq)]
pub struct Changed {
    /// The full name, after.
    pub name: String,
    /// Where it stands, after.
    pub place: Place,
    /// The value before.
    pub before: Option<Amount>,
    /// The value after.
    pub after: Option<Amount>,
    /// The edits whose undoing alone would change it; where there is none, those that reach it.
    pub because: Vec<String>,
    /// Whether no edit alone is to blame, and `because` lists those that reach it.
    pub any_of: bool,
    /// A shortest way along which the change came, from the edit to this value; the middle of a
    /// long one is `…`.
    pub path: Vec<String>,
}

/// A part that has to be looked at again.
#[derive(Clone, Debug, PartialEq)]
pub struct PartChange {
    /// The full name.
    pub name: String,
    /// How it is made, after: a process, or `bought`.
    pub made: Option<String>,
    /// The edits that reach it.
    pub because: Vec<String>,
    /// What it uses that changed, by full name.
    pub uses: Vec<String>,
    /// Whether it has to be made again: what governs it has changed, not only its price.
    pub remake: bool,
    /// What one costs.
    pub cost: Both<Option<Amount>>,
    /// What one weighs.
    pub mass: Both<Option<Amount>>,
}

/// A check before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckChange {
    /// The full name.
    pub name: String,
    /// What became of it; absent on the side on which it does not exist.
    pub result: Both<Option<CheckResult>>,
    /// The edits whose undoing alone would change its margin or verdict.
    pub because: Vec<String>,
}

impl CheckChange {
    /// Whether the verdict is another one.
    pub fn turned(&self) -> bool {
        let verdict = |side: &Option<CheckResult>| side.as_ref().map(|check| check.verdict);
        verdict(&self.result.before) != verdict(&self.result.after)
    }

    /// Whether it fails or is unknown, and did not or was not there before.
    pub fn newly_fails(&self) -> bool {
        newly_bad(&self.result, |check| check.verdict, Verdict::Unknown)
    }

    /// Whether it is worse than it was: tight, unknown or failing, and better or not there before.
    pub fn got_worse(&self) -> bool {
        newly_bad(&self.result, |check| check.verdict, Verdict::Tight)
    }

    /// Whether verdict or margin differ.
    pub fn differs(&self) -> bool {
        let shown = |side: &Option<CheckResult>| side.as_ref().map(|c| (c.verdict, c.margin));
        match (shown(&self.result.before), shown(&self.result.after)) {
            (Some((v, Some(a))), Some((w, Some(b)))) => v != w || !nearly(a, b),
            (before, after) => before != after,
        }
    }
}

/// Limits of a dimension before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitChange {
    /// The dimension's full name.
    pub name: String,
    /// What became of them; absent on the side on which there are none.
    pub result: Both<Option<LimitResult>>,
}

impl LimitChange {
    /// Whether the verdict is another one.
    pub fn turned(&self) -> bool {
        let verdict = |side: &Option<LimitResult>| side.as_ref().map(|limit| limit.verdict);
        verdict(&self.result.before) != verdict(&self.result.after)
    }

    /// Whether they are broken or unknown, and were not or were not there before.
    pub fn newly_fails(&self) -> bool {
        newly_bad(&self.result, |limit| limit.verdict, Verdict::Unknown)
    }
}

/// Whether a verdict is as bad as `least` or worse, and was better or not there before. From
/// failing to unknown is no news.
fn newly_bad<T>(result: &Both<Option<T>>, verdict: fn(&T) -> Verdict, least: Verdict) -> bool {
    let worse =
        |verdict: Verdict| if verdict >= Verdict::Unknown { Verdict::Fails } else { verdict };
    let (before, after) = (result.before.as_ref().map(verdict), result.after.as_ref().map(verdict));
    after.is_some_and(|after| {
        after >= least && before.is_none_or(|before| worse(before) < worse(after))
    })
}

/// Relative differences up to this are none.
const SAME: f64 = 1e-12;

/// Whether two numbers are the same for people.
pub(crate) fn nearly(a: f64, b: f64) -> bool {
    a == b || (a - b).abs() <= SAME * a.abs().max(b.abs())
}

/// Whether two amounts are the same for people, whatever units they are shown in.
pub(crate) fn same(a: &Option<Amount>, b: &Option<Amount>) -> bool {
    match (a, b) {
        (
            Some(Amount::Number { number: a, unit: u }),
            Some(Amount::Number { number: b, unit: v }),
        ) => {
            // 4 EUR are 4 EUR, whatever a euro is worth.
            if u.symbol() == v.symbol() {
                nearly(*a, *b)
            } else {
                u.kind() == v.kind() && nearly(u.to_base(*a), v.to_base(*b))
            }
        }
        (a, b) => a == b,
    }
}

impl Comparison {
    /// Sets two evaluations side by side.
    pub fn of(before: &Evaluation, after: &Evaluation) -> Self {
        let (renames, things) = Renames::found(&before.design, &after.design);
        Self::with_renames(before, after, renames, &things)
    }

    /// The same where it is known what was renamed, from one full name to another.
    pub(crate) fn of_renamed(
        before: &Evaluation,
        after: &Evaluation,
        (from, to): (&str, &str),
        sort: Sort,
    ) -> Self {
        let renames = Renames::known(from, to, sort);
        let things = Things::of(&before.design, &after.design, &renames);
        Self::with_renames(before, after, renames, &things)
    }

    fn with_renames(
        before: &Evaluation,
        after: &Evaluation,
        renames: Renames,
        things: &Things,
    ) -> Self {
        let mut edits = edits::between(things, &renames);
        let sides = Sides::new(before, after, renames, &edits);
        sides.mark_overridden(&mut edits);
        let changed_slots = sides.changed_slots();
        let causes = Causes::find(&sides, &edits, &changed_slots);
        let changed = sides.changed(&changed_slots, &causes);
        Self {
            unchanged: sides.unchanged(&changed_slots),
            parts: sides.parts(&edits, &changed_slots, &causes),
            parts_in_both: sides.parts_in_both(),
            checks: sides.checks(&edits, &causes),
            limits: sides.limits(&edits),
            schedules: sides.schedules(&edits, &changed_slots),
            exports: sides.exports(&edits, &changed_slots),
            cost: Both { before: before.cost(), after: after.cost() },
            mass: Both { before: before.mass(), after: after.mass() },
            edits,
            changed,
        }
    }

    /// What something was called before, by its full name after. Of the renames that it stands
    /// in, the nearest tells.
    pub fn name_before(&self, name: &str) -> String {
        let renames = self.edits.iter().filter(|edit| edit.what == What::Renamed);
        let around = renames.filter_map(|edit| {
            let rest = name.strip_prefix(&*edit.name)?;
            let is_inside = rest.is_empty() || rest.starts_with('.');
            let was = edit.before.as_deref().filter(|_| is_inside)?;
            Some((edit.name.len(), format!("{was}{rest}")))
        });
        around.max_by_key(|(length, _)| *length).map_or_else(|| name.to_owned(), |(_, was)| was)
    }

    /// Whether nothing differs but layout, comments or order. A part of which the model alone
    /// changed differs: it has to be made again, though no table was touched.
    pub fn is_empty(&self) -> bool {
        self.edits.is_empty()
            && self.changed.is_empty()
            && self.parts.is_empty()
            && !self.checks.iter().any(CheckChange::differs)
            && !self.limits.iter().any(LimitChange::turned)
    }

    /// Whether a check or limit fails, or is unknown, that did not before.
    pub fn makes_something_fail(&self) -> bool {
        self.checks.iter().any(CheckChange::newly_fails)
            || self.limits.iter().any(LimitChange::newly_fails)
    }
}

/// Both evaluations, with the nodes of one found from those of the other.
pub(crate) struct Sides<'a> {
    pub(crate) before: &'a Evaluation,
    pub(crate) after: &'a Evaluation,
    pub(crate) renames: Renames,
    /// The node before of every node after that was there.
    pub(crate) counterparts: Counterparts,
    /// The nodes after whose own value was edited or that are new, with the edit's index.
    pub(crate) edited: BTreeMap<u32, usize>,
    /// All nodes that depend on those, in order of dependency.
    pub(crate) reached: Vec<u32>,
}

impl<'a> Sides<'a> {
    fn new(
        before: &'a Evaluation,
        after: &'a Evaluation,
        renames: Renames,
        edits: &[Edited],
    ) -> Self {
        let (old, new) = (&before.design.model, &after.design.model);
        let counterparts = Counterparts::between(old, new, &renames);
        let mut edited = BTreeMap::new();
        for (index, edit) in edits.iter().enumerate() {
            for node in edit.value_nodes(new) {
                edited.entry(node).or_insert(index);
            }
        }
        let reached = new.graph.reach(edited.keys().copied());
        Self { before, after, renames, counterparts, edited, reached }
    }

    /// Marks the edits that put a plain value where a formula stood.
    fn mark_overridden(&self, edits: &mut [Edited]) {
        for (node, edit) in &self.edited {
            let Some(old) = self.counterparts.of(*node) else { continue };
            let was_formula = !self.before.design.model.is_chosen(old);
            edits[*edit].overridden = was_formula && self.model().is_chosen(*node);
        }
    }

    fn model(&self) -> &'a Model {
        &self.after.design.model
    }

    /// Values that differ and were not edited, in order of dependency.
    fn changed_slots(&self) -> Vec<u32> {
        let model = self.model();
        let values = model
            .graph
            .order()
            .iter()
            .copied()
            .filter(|node| model.nodes[*node as usize].of.is_value());
        values
            .filter(|node| !self.edited.contains_key(node))
            .filter(|node| {
                let Some(old) = self.counterparts.of(*node) else { return false };
                !self.is_same_number(old, *node)
                    && !same(&self.before.amount(old), &self.after.amount(*node))
            })
            .collect()
    }

    /// Whether two values are one number in one unit, or both none, which most are: then there is
    /// nothing to be converted.
    fn is_same_number(&self, old: u32, new: u32) -> bool {
        let node = |of: &'a Evaluation, node: u32| &of.design.model.nodes[node as usize];
        let (before, after) = (node(self.before, old), node(self.after, new));
        // Texts have other numbers in each design.
        let is_number = matches!(after.kind, Type::Quantity(_) | Type::Reading | Type::Truth);
        let bits = |of: &Evaluation, node: u32| of.values[node as usize].to_bits();
        is_number
            && before.kind == after.kind
            && before.unit == after.unit
            && bits(self.before, old) == bits(self.after, new)
    }

    /// Whether a node is shown among values: dimensions and cells.
    fn is_shown(&self, node: u32) -> bool {
        matches!(
            self.model().nodes[node as usize].of,
            NodeOf::Dimension { .. } | NodeOf::Cell { .. }
        )
    }

    fn name(&self, node: u32) -> String {
        self.model().nodes[node as usize].name.to_string()
    }

    fn changed(&self, slots: &[u32], causes: &Causes) -> Vec<Changed> {
        let moved: HashSet<u32> = slots.iter().chain(self.edited.keys()).copied().collect();
        let sources: Vec<u32> = self.edited.keys().copied().collect();
        let ways = self.model().graph.ways(&sources, |node| moved.contains(&node));
        let shown = slots.iter().copied().filter(|slot| self.is_shown(*slot));
        shown
            .map(|slot| {
                let node = &self.model().nodes[slot as usize];
                let (because, any_of) = causes.of(slot);
                Changed {
                    name: node.name.to_string(),
                    place: node.place.clone(),
                    before: self.counterparts.of(slot).and_then(|old| self.before.amount(old)),
                    after: self.after.amount(slot),
                    because,
                    any_of,
                    path: self.model().way(&ways, slot),
                }
            })
            .collect()
    }

    fn unchanged(&self, changed: &[u32]) -> Vec<String> {
        let changed: HashSet<u32> = changed.iter().copied().collect();
        let reached = self.reached.iter().copied().filter(|node| {
            self.is_shown(*node) && !changed.contains(node) && !self.edited.contains_key(node)
        });
        reached.map(|node| self.name(node)).collect()
    }

    fn parts(&self, edits: &[Edited], changed: &[u32], causes: &Causes) -> Vec<PartChange> {
        let moved: HashSet<u32> = changed.iter().chain(self.edited.keys()).copied().collect();
        let toleranced = self.dimensions_edited_otherwise(edits);
        let amount = |side: &Evaluation, slot: Option<u32>| side.amount(slot?);
        let rename = |name: &'a str| self.renames.applied(name);
        let before = self.before.design.model.parts.iter();
        let before: HashMap<Cow<'a, str>, &PartNodes> =
            before.map(|part| (rename(&part.name), part)).collect();
        let mut result = Vec::new();
        for nodes in self.model().parts.iter() {
            let Some(old) = before.get(nodes.name.as_str()) else { continue };
            let mut because: Vec<String> = Vec::new();
            let own = format!("{}.", nodes.name);
            because.extend(
                edits
                    .iter()
                    .map(|edit| &edit.name)
                    .filter(|name| **name == nodes.name || name.starts_with(&own))
                    .cloned(),
            );
            let mut uses = Vec::new();
            let priced = [nodes.cost, nodes.mass, Some(nodes.quantity)].into_iter().flatten();
            for slot in priced.filter(|slot| moved.contains(slot)) {
                because.extend(self.blamed(slot, edits, causes));
            }
            for slot in &nodes.uses {
                if moved.contains(slot) {
                    uses.push(self.name(*slot));
                    because.extend(self.blamed(*slot, edits, causes));
                } else if toleranced.contains(&self.name(*slot)) {
                    uses.push(self.name(*slot));
                    because.push(self.name(*slot));
                }
            }
            let remake = !is_made_alike((self.before, old), (self.after, nodes), &rename);
            because.sort();
            because.dedup();
            if because.is_empty() && !remake {
                continue;
            }
            result.push(PartChange {
                name: nodes.name.clone(),
                made: self.after.made(nodes).map(str::to_owned),
                because,
                uses,
                remake,
                cost: Both {
                    before: amount(self.before, old.cost),
                    after: amount(self.after, nodes.cost),
                },
                mass: Both {
                    before: amount(self.before, old.mass),
                    after: amount(self.after, nodes.mass),
                },
            });
        }
        result
    }

    fn parts_in_both(&self) -> Vec<Both<String>> {
        let before = self.before.design.model.parts.iter();
        let before: HashMap<String, &String> =
            before.map(|part| (self.renames.apply(&part.name), &part.name)).collect();
        let pair = |after: &String| {
            let before = (*before.get(after)?).clone();
            Some(Both { before, after: after.clone() })
        };
        self.model().parts.iter().filter_map(|part| pair(&part.name)).collect()
    }

    /// Dimensions of which a tolerance was edited: their values are the same, their parts not.
    fn dimensions_edited_otherwise(&self, edits: &[Edited]) -> HashSet<String> {
        let tolerances = edits.iter().filter(|edit| edit.what == What::Tolerance);
        tolerances.map(|edit| edit.name.clone()).collect()
    }

    /// The edits that are to blame for a value: its own, or those that it follows from.
    fn blamed(&self, slot: u32, edits: &[Edited], causes: &Causes) -> Vec<String> {
        match self.edited.get(&slot) {
            Some(edit) => vec![edits[*edit].name.clone()],
            None => causes.of(slot).0,
        }
    }

    fn checks(&self, edits: &[Edited], causes: &Causes) -> Vec<CheckChange> {
        let old: HashMap<String, &CheckResult> =
            self.before.checks().iter().map(|c| (self.renames.apply(&c.name), c)).collect();
        let reached: HashSet<u32> = self.reached.iter().copied().collect();
        let named: HashSet<&str> = edits.iter().map(|edit| edit.name.as_str()).collect();
        let mut result = Vec::new();
        for (nodes, check) in self.model().checks.iter().zip(self.after.checks()) {
            let before = old.get(&check.name).copied();
            let touched = reached.contains(&nodes.node)
                || nodes.tight.is_some_and(|tight| reached.contains(&tight))
                || named.contains(check.name.as_str());
            let because = causes.of_check(nodes.node, &check.name, &named);
            let change = CheckChange {
                name: check.name.clone(),
                result: Both { before: before.cloned(), after: Some(check.clone()) },
                because,
            };
            if touched || change.differs() {
                result.push(change);
            }
        }
        let now: HashSet<&str> = self.after.checks().iter().map(|c| c.name.as_str()).collect();
        for check in self.before.checks() {
            let name = self.renames.apply(&check.name);
            if !now.contains(name.as_str()) {
                let result_of = Both { before: Some(check.clone()), after: None };
                result.push(CheckChange { because: vec![name.clone()], name, result: result_of });
            }
        }
        result
    }

    fn limits(&self, edits: &[Edited]) -> Vec<LimitChange> {
        let key = |limit: &LimitResult| (self.renames.apply(&limit.name), limit.of_travel);
        let old: HashMap<_, &LimitResult> =
            self.before.limits().iter().map(|limit| (key(limit), limit)).collect();
        let named: HashSet<&str> = edits.iter().map(|edit| edit.name.as_str()).collect();
        let mut result = Vec::new();
        for limit in self.after.limits() {
            let before = old.get(&(limit.name.clone(), limit.of_travel)).copied();
            let shown = |limit: &LimitResult| (limit.verdict, limit.margin);
            let differs = match (before, limit.margin) {
                (Some(old), Some(margin)) => {
                    old.verdict != limit.verdict
                        || !old.margin.is_some_and(|old| nearly(old, margin))
                }
                (old, _) => old.map(shown) != Some(shown(limit)),
            };
            if differs || named.contains(limit.name.as_str()) {
                let pair = Both { before: before.cloned(), after: Some(limit.clone()) };
                result.push(LimitChange { name: limit.name.clone(), result: pair });
            }
        }
        result
    }

    fn schedules(&self, edits: &[Edited], changed: &[u32]) -> Vec<String> {
        let moved: HashSet<u32> = changed.iter().chain(self.edited.keys()).copied().collect();
        let prefix = |name: &str| {
            edits.iter().any(|edit| edit.name.starts_with(&format!("{name}.")) || edit.name == name)
        };
        let schedules = self.model().schedules.iter();
        schedules
            .filter(|schedule| {
                schedule.columns.iter().flatten().any(|slot| moved.contains(slot))
                    || prefix(&schedule.name)
            })
            .map(|schedule| schedule.name.clone())
            .collect()
    }

    fn exports(&self, edits: &[Edited], changed: &[u32]) -> Vec<String> {
        let values = changed.iter().any(|slot| self.is_shown(*slot));
        let written = edits.iter().any(|edit| edit.changes_exports());
        if !values && !written {
            return Vec::new();
        }
        self.after.exports().iter().map(|export| export.file.clone()).collect()
    }
}
