//! A design kept open: chosen dimensions are set one after the other, and nothing is computed but
//! what follows.

use std::fmt;

use setout_formula::{Code, Machine, Type};

use crate::evaluate::Run;
use crate::model::{Calculation, Model, NodeOf};
use crate::verdict::margin_at;
use crate::{Amount, EditFault, Evaluation};

/// A value, a limit or a check of the design that is open. It is of use with that one alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Handle(u32);

/// A design kept open, as a slider or a solver needs it: one dimension is given another value, and
/// what follows is there at once.
///
/// A change runs over what depends on it, in order of dependency, and stops where a value comes
/// out as it was. Where it reaches a good part of the design, everything is computed, but for what
/// was given: that costs less than asking for every value whether it has to be.
///
/// ```
/// use setout_design::{Design, Live, Memory};
/// let jaw = ("jaw.yaml", "
/// dimensions: { width: 62 mm, half: width / 2, lid: 20 mm }
/// checks: { room: { require: half >= 30 mm, why: the tongue is that wide } }
/// ");
/// let design = Design::read(&Memory::new([("design.yaml", "setout: 1\nname: a jaw\n"), jaw]));
/// let mut live = Live::of(&design.evaluate());
/// let (width, half) = (live.handle("jaw.width")?, live.handle("jaw.half")?);
/// let room = live.handle("jaw.room")?;
/// assert_eq!(live.set(width, 58.0)?, [width, half, room]);
/// assert_eq!(live.value(half).unwrap().to_string(), "29 mm");
/// assert_eq!(live.margin(room), Some((false, Some(-1.0))));
/// # Ok::<(), setout_design::EditFault>(())
/// ```
///
/// The tables stay as they are; an edit of [`Design`](crate::Design) writes them. Faults are not told
/// here: what has no value, since a root became negative, say, has none until it has one again.
pub struct Live {
    evaluation: Evaluation,
    /// Of all nodes, and behind them what the program needs.
    values: Vec<f64>,
    /// Which step of the program is a node's; [`NONE`] where there is none.
    steps: Vec<u32>,
    machine: Machine,
    waiting: Waiting,
    moved: Vec<Handle>,
    /// A bit for each node whose value was given, and is no longer that of the tables.
    given: Vec<u64>,
    /// All checks, in order of dependency.
    checks: Vec<u32>,
    /// The number of the change under way, and of each node's last one.
    change: u64,
    changes: Vec<u64>,
}

/// No step: a check, or what stands in a circle.
const NONE: u32 = u32::MAX;

/// Above this share of all nodes, one in so many, everything is computed: going from one to the next
/// costs some times what a walk through all of them does.
const SHARE: usize = 16;

impl Live {
    /// Opens a design at its values.
    pub fn of(evaluation: &Evaluation) -> Self {
        let model = &evaluation.design.model;
        let mut values = model.program.values();
        values[..model.nodes.len()].copy_from_slice(&evaluation.values);
        let order = model.graph.order().iter().copied();
        let checks = order.filter(|node| is_check(model, *node)).collect();
        let mut steps = vec![NONE; model.nodes.len()];
        for (step, node) in model.program.slots().enumerate() {
            steps[node as usize] = step as u32;
        }
        Self {
            values,
            steps,
            machine: Machine::with(&model.texts),
            waiting: Waiting::new(model.nodes.len()),
            moved: Vec::new(),
            given: vec![0; model.nodes.len().div_ceil(64)],
            checks,
            change: 0,
            changes: vec![0; model.nodes.len()],
            evaluation: evaluation.clone(),
        }
    }

    /// What stands for a value or a check, by its full name, or by a bare one that is unambiguous.
    ///
    /// # Errors
    /// [`EditFault::NotFound`] and [`EditFault::Ambiguous`].
    pub fn handle(&self, name: &str) -> Result<Handle, EditFault> {
        self.evaluation.node(name).map(Handle)
    }

    /// The full name; that of its dimension, for a limit.
    ///
    /// # Panics
    /// With a handle of another design.
    pub fn name(&self, of: Handle) -> &str {
        &self.model().nodes[of.0 as usize].name
    }

    /// The value in the unit that it is shown in; `None` where there is none now, and of checks.
    pub fn value(&self, of: Handle) -> Option<Amount> {
        let node = &self.model().nodes[of.0 as usize];
        Amount::of(self.values[of.0 as usize], node.kind, &node.unit, &self.model().texts)
    }

    /// The value in base units (mm, deg, g, s, A, K, the currency), as it was computed.
    pub fn base(&self, of: Handle) -> Option<f64> {
        Some(self.values[of.0 as usize]).filter(|value| !value.is_nan())
    }

    /// Whether a check holds at rest with the values as they are, and its margin in base units,
    /// where it has one. `None` where that cannot be computed now, and of values.
    pub fn margin(&self, of: Handle) -> Option<(bool, Option<f64>)> {
        let NodeOf::Check { check } = self.model().nodes[of.0 as usize].of else { return None };
        margin_at(self.model(), &self.values, self.model().checks[check as usize])
    }

    /// Gives a chosen quantity another value, in base units. Returns what has another value than
    /// before, and the checks that depend on any of it, in order of dependency.
    ///
    /// # Errors
    /// [`EditFault::NotFound`] for what is no quantity, and for a value that is no number, or not a
    /// whole one where things are counted; [`EditFault::IsFormula`] for what is computed. Nothing has
    /// changed then.
    pub fn set(&mut self, what: Handle, value: f64) -> Result<&[Handle], EditFault> {
        self.refuse(what, value)?;
        self.moved.clear();
        self.change += 1;
        let node = what.0;
        // A negative zero would be shown as one.
        let chosen = Calculation::Code(Code::constant(value + 0.0));
        let design = self.evaluation.design.clone();
        let mut run =
            Run::quiet(&design.model, &design.material, std::mem::take(&mut self.machine));
        let value = run.calculated(node, &chosen, &self.values);
        self.given[node as usize / 64] |= 1 << (node % 64);
        let most = design.model.nodes.len() / SHARE;
        let mut looked_at = 0;
        if design.model.graph.dependents(node).len() <= most {
            self.take(&design.model, node, value);
        } else if self.keep(&design.model, node, value) {
            self.compute_all(&design.model, &mut run);
        }
        while let Some(rank) = self.waiting.next() {
            let order = design.model.graph.order();
            looked_at += 1;
            if looked_at > most {
                self.compute_all(&design.model, &mut run);
                break;
            }
            let node = order[rank];
            let step = self.steps[node as usize];
            let known = (step != NONE)
                .then(|| design.model.program.one(step as usize, &mut self.values))
                .flatten();
            let value = known.unwrap_or_else(|| run.value(node, &self.values));
            self.take(&design.model, node, value);
        }
        self.machine = run.into_machine();
        Ok(&self.moved)
    }

    fn model(&self) -> &Model {
        &self.evaluation.design.model
    }

    fn refuse(&self, what: Handle, value: f64) -> Result<(), EditFault> {
        let of = &self.model().nodes[what.0 as usize];
        let refused = |message: String, help: &str| {
            Err(EditFault::NotFound { name: of.name.to_string(), message, help: help.to_owned() })
        };
        if !of.of.is_value() || !matches!(of.kind, Type::Quantity(_) | Type::Reading) {
            let message = format!("`{}` is no quantity that could be given a value", of.name);
            return refused(message, "name a dimension with a number");
        }
        if !self.model().is_chosen(what.0) || self.evaluation.design.value_at(what.0).is_none() {
            let formula = self.evaluation.dimension(what.0).written;
            return Err(EditFault::IsFormula { name: of.name.to_string(), formula });
        }
        if of.unit.is_whole() && value.fract() != 0.0 {
            return refused(format!("`{}` counts whole things", of.name), "round the number");
        }
        if !value.is_finite() {
            return refused(format!("`{}` cannot be {value}", of.name), "give it a number");
        }
        Ok(())
    }

    /// Keeps a value, and lets what depends on it wait if it is another one.
    fn take(&mut self, model: &Model, node: u32, value: f64) {
        if self.keep(model, node, value) {
            let dependents = model.graph.dependents(node);
            dependents.iter().for_each(|next| self.waiting.add(model.graph.rank(*next) as usize));
        }
    }

    /// Computes everything but what was given.
    fn compute_all(&mut self, model: &Model, run: &mut Run<'_>) {
        self.waiting.clear();
        let Self { values, given, changes, change, moved, .. } = self;
        let is_given = |node: u32| given[node as usize / 64] >> (node % 64) & 1 == 1;
        let mut tell = |node: u32| {
            changes[node as usize] = *change;
            moved.push(Handle(node));
        };
        model.program.run_again(values, is_given, |node, all| run.value(node, all), &mut tell);
        // A check has no value that would tell; it counts if anything that it reads does.
        for at in 0..self.checks.len() {
            let check = self.checks[at];
            let has_moved = |node: &u32| self.changes[*node as usize] == self.change;
            let needs = model.graph.dependencies(check);
            if !has_moved(&check) && needs.iter().any(has_moved) {
                self.tell(check);
            }
        }
    }

    /// Whether it is another value than before; a check always is.
    fn keep(&mut self, model: &Model, node: u32, value: f64) -> bool {
        let old = std::mem::replace(&mut self.values[node as usize], value);
        let is_other = old.to_bits() != value.to_bits() || is_check(model, node);
        if is_other {
            self.tell(node);
        }
        is_other
    }

    fn tell(&mut self, node: u32) {
        self.changes[node as usize] = self.change;
        self.moved.push(Handle(node));
    }
}

fn is_check(model: &Model, node: u32) -> bool {
    matches!(model.nodes[node as usize].of, NodeOf::Check { .. })
}

impl fmt::Debug for Live {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Live").field("values", &self.changes.len()).finish_non_exhaustive()
    }
}

/// Places in the order of dependency that wait for their turn: a bit for each, and a bit for every
/// word of those that is not empty. What is added always stands behind what was taken.
struct Waiting {
    words: Vec<u64>,
    filled: Vec<u64>,
    /// No word of `filled` before this one has anything in it.
    from: usize,
}

impl Waiting {
    fn new(places: usize) -> Self {
        let words = places.div_ceil(64);
        Self { words: vec![0; words], filled: vec![0; words.div_ceil(64)], from: usize::MAX }
    }

    fn add(&mut self, place: usize) {
        let word = place / 64;
        self.words[word] |= 1 << (place % 64);
        self.filled[word / 64] |= 1 << (word % 64);
        self.from = self.from.min(word / 64);
    }

    /// Takes the first place out.
    fn next(&mut self) -> Option<usize> {
        while let Some(filled) = self.filled.get_mut(self.from) {
            if *filled == 0 {
                self.from += 1;
                continue;
            }
            let index = self.from * 64 + filled.trailing_zeros() as usize;
            let word = &mut self.words[index];
            let place = index * 64 + word.trailing_zeros() as usize;
            *word &= *word - 1;
            if *word == 0 {
                *filled &= *filled - 1;
            }
            return Some(place);
        }
        self.from = usize::MAX;
        None
    }

    fn clear(&mut self) {
        self.words.fill(0);
        self.filled.fill(0);
        self.from = usize::MAX;
    }
}
