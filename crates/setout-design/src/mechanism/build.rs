//! Finding what one margin depends on.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use setout_formula::{Interval, Type};
use setout_quantity::Unit;

use super::{Made, Mechanism, Step, Subject, Variable};
use crate::Evaluation;
use crate::document::Zone;
use crate::evaluate::deviations;
use crate::model::{Calculation, Model, NodeOf, Target};
use crate::verdict::Varies;

/// The mechanisms of a design.
pub struct Mechanisms<'a> {
    evaluation: &'a Evaluation,
    varies: Varies,
    /// Whether shared errors count as errors of their own.
    apart: bool,
    /// A chosen dimension that varies as well, in base units, with all that it reaches.
    free: Option<Free>,
}

struct Free {
    slot: u32,
    span: Mutex<Interval>,
    reaches: Vec<bool>,
}

impl Free {
    fn span(&self) -> Interval {
        *self.span.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl std::fmt::Debug for Mechanisms<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Mechanisms").finish_non_exhaustive()
    }
}

/// Why there is no mechanism: something that it needs has no value, or varies though it cannot be
/// followed: how many parts there are, and texts that have to be one of some.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotComputed;

impl<'a> Mechanisms<'a> {
    /// Those of an evaluated design.
    pub fn of(evaluation: &'a Evaluation) -> Self {
        Self { evaluation, varies: Varies::of(&evaluation.design.model), apart: false, free: None }
    }

    /// The same with every dimension that is made off by itself, whatever errors are shared: for how
    /// much a margin changes with each of them.
    #[must_use]
    pub fn apart(self) -> Self {
        Self { apart: true, ..self }
    }

    /// The same with a chosen dimension as one more variable: the first one of every mechanism that
    /// it reaches, wherever it stands among the names. `name` is its full name, and `span` in base
    /// units.
    ///
    /// # Errors
    /// Where it is no number that somebody chose, or an axis.
    pub fn with_free(mut self, name: &str, span: Interval) -> Result<Self, NotComputed> {
        let model = self.model();
        let Ok(Target::Slot(slot)) = model.symbols.find(None, name) else {
            return Err(NotComputed);
        };
        let of = &model.nodes[slot as usize];
        let is_number = matches!(of.kind, Type::Quantity(_) | Type::Reading);
        let moves = model.limits.get(&slot).is_some_and(|limits| limits.travel.is_some());
        if !is_number
            || moves
            || !model.is_chosen(slot)
            || !matches!(of.of, NodeOf::Dimension { .. })
        {
            return Err(NotComputed);
        }
        let mut reaches = vec![false; model.nodes.len()];
        for node in model.graph.reach([slot]).into_iter().chain([slot]) {
            reaches[node as usize] = true;
        }
        // An axis moves otherwise where its travel ends elsewhere.
        let ends = model.limits.iter().filter_map(|(axis, limits)| Some((*axis, limits.travel?)));
        let axes: Vec<u32> = ends
            .filter(|(axis, ends)| {
                model.is_chosen(*axis) && ends.iter().any(|end| reaches[*end as usize])
            })
            .map(|(axis, _)| axis)
            .collect();
        for node in model.graph.reach(axes.iter().copied()).into_iter().chain(axes) {
            reaches[node as usize] = true;
        }
        self.free = Some(Free { slot, span: Mutex::new(span), reaches });
        Ok(self)
    }

    /// The same from now on with the free dimension in another span.
    pub fn within(&self, span: Interval) -> &Self {
        if let Some(free) = &self.free {
            *free.span.lock().unwrap_or_else(PoisonError::into_inner) = span;
        }
        self
    }

    /// The numbers of the checks, and those of the limits, that the free dimension reaches.
    pub fn reached(&self) -> (Vec<usize>, Vec<usize>) {
        let checks = self.model().checks.iter().enumerate();
        let checks = checks.filter(|(_, nodes)| self.is_reached(nodes.node));
        let limits = (0..self.evaluation.limits().len()).filter(|limit| {
            self.limited(*limit).is_some_and(|(slot, ends)| {
                self.is_reached(slot) || ends.into_iter().flatten().any(|end| self.is_reached(end))
            })
        });
        (checks.map(|(index, _)| index).collect(), limits.collect())
    }

    fn is_reached(&self, node: u32) -> bool {
        self.free.as_ref().is_some_and(|free| free.reaches[node as usize])
    }

    /// Whether a check depends on an axis, and whether on a tolerance. Checks are numbered in the
    /// order of the tables.
    pub fn check_varies(&self, check: usize) -> [bool; 2] {
        self.node_varies(self.model().checks[check].node)
    }

    /// Whether the dimension that limits belong to depends on an axis. Limits are numbered as in
    /// [`Evaluation::limits`].
    pub fn limit_varies(&self, limit: usize) -> bool {
        self.limited(limit).is_some_and(|(slot, _)| self.node_varies(slot)[0])
    }

    fn model(&self) -> &'a Model {
        &self.evaluation.design.model
    }

    fn node_varies(&self, node: u32) -> [bool; 2] {
        let moves = self.varies.with_travel[node as usize] || self.is_reached(node);
        [moves, self.varies.with_tolerance[node as usize]]
    }

    /// The margin of a check over its axes, and with `with_tolerances` over what is made out of
    /// true as well.
    ///
    /// # Errors
    /// Where something that it needs has no value.
    pub fn of_check(
        &self,
        check: usize,
        with_tolerances: bool,
    ) -> Result<Mechanism<'a>, NotComputed> {
        let nodes = self.model().checks[check];
        let node = &self.model().nodes[nodes.node as usize];
        let Calculation::Requirement(requirement) = &node.calculation else {
            return Err(NotComputed);
        };
        let mut builder = Builder::new(self, with_tolerances);
        let needed = builder.steps_of(nodes.node)?;
        let requirement = requirement.with_slots(&|slot| needed[&slot]);
        let tight = nodes.tight.map(|tight| self.evaluation.values[tight as usize]);
        if tight.is_some_and(f64::is_nan) {
            return Err(NotComputed);
        }
        Ok(builder.done(Subject::Requirement(Box::new(requirement)), node.unit.clone(), tight))
    }

    /// A value over its axes and all that is made out of true.
    ///
    /// # Errors
    /// Where there is no number of that full name, or something that it needs has no value.
    pub fn of_value(&self, name: &str) -> Result<Mechanism<'a>, NotComputed> {
        let model = self.model();
        let Ok(Target::Slot(slot)) = model.symbols.find(None, name) else {
            return Err(NotComputed);
        };
        let node = &model.nodes[slot as usize];
        if !matches!(node.kind, Type::Quantity(_) | Type::Reading) {
            return Err(NotComputed);
        }
        let mut builder = Builder::new(self, true);
        let step = builder.step(slot)?;
        Ok(builder.done(Subject::Value(step), node.unit.clone(), None))
    }

    /// How far a dimension is from its limits, or a derived one from leaving the travel that it is
    /// permitted, over all axes that it depends on. Its nominal value is meant: tolerances do not
    /// enter.
    ///
    /// # Errors
    /// Where something that it needs has no value.
    pub fn of_limit(&self, limit: usize) -> Result<Mechanism<'a>, NotComputed> {
        let (slot, ends) = self.limited(limit).ok_or(NotComputed)?;
        let mut builder = Builder::new(self, false);
        let value = builder.step(slot)?;
        let mut end = |node: Option<u32>| node.map(|node| builder.step(node)).transpose();
        let (min, max) = (end(ends[0])?, end(ends[1])?);
        let unit = self.model().nodes[slot as usize].unit.clone();
        Ok(builder.done(Subject::Within { value, min, max }, unit, None))
    }

    /// The dimension of limits, and the nodes of its ends.
    fn limited(&self, limit: usize) -> Option<(u32, [Option<u32>; 2])> {
        let result = self.evaluation.limits().get(limit)?;
        let model = self.model();
        let Ok(Target::Slot(slot)) = model.symbols.find(None, &result.name) else { return None };
        let nodes = model.limits.get(&slot)?;
        Some(match (result.of_travel, nodes.travel) {
            (true, travel) => (slot, travel?.map(Some)),
            (false, _) => (slot, [nodes.min, nodes.max]),
        })
    }
}

/// The nominal value of a node, or the one with all errors.
type Want = (u32, bool);

struct Builder<'m, 'a> {
    all: &'m Mechanisms<'a>,
    with_tolerances: bool,
    variables: Vec<Variable>,
    steps: Vec<Step>,
    step_of: HashMap<Want, u32>,
    made: Vec<Made>,
    /// The variables of errors that several share.
    shared: HashMap<String, usize>,
    /// Whether shared errors count as errors of their own.
    apart: bool,
}

impl<'m, 'a> Builder<'m, 'a> {
    fn new(all: &'m Mechanisms<'a>, with_tolerances: bool) -> Self {
        Self {
            all,
            with_tolerances,
            variables: Vec::new(),
            steps: Vec::new(),
            step_of: HashMap::new(),
            made: Vec::new(),
            shared: HashMap::new(),
            apart: all.apart,
        }
    }

    /// The steps of all that a node reads.
    fn steps_of(&mut self, node: u32) -> Result<HashMap<u32, u32>, NotComputed> {
        let mut found = HashMap::new();
        for needed in self.all.model().graph.dependencies(node).to_vec() {
            found.insert(needed, self.step(needed)?);
        }
        Ok(found)
    }

    fn step(&mut self, node: u32) -> Result<u32, NotComputed> {
        self.make((node, self.with_tolerances))
    }

    /// What is meant: where no tolerance is in reach, and of what is exact, the value with errors is
    /// the nominal one.
    fn meant(&self, (node, real): Want) -> Want {
        let tolerance = self.all.model().tolerances.get(&node);
        let is_exact = tolerance.is_some_and(|tolerance| tolerance.zone.is_exact());
        (node, real && self.all.node_varies(node)[1] && !is_exact)
    }

    /// Makes the steps that are needed, those they need first; a chain may be long.
    fn make(&mut self, want: Want) -> Result<u32, NotComputed> {
        let mut waiting = vec![want];
        while let Some(want) = waiting.last().copied() {
            let meant = self.meant(want);
            if self.step_of.contains_key(&meant) {
                waiting.pop();
                continue;
            }
            // Names that go round in a circle have no values, and would be gone round for ever.
            if self.all.evaluation.values[meant.0 as usize].is_nan() {
                return Err(NotComputed);
            }
            let missing: Vec<Want> = self
                .needed(meant)
                .into_iter()
                .filter(|needed| !self.step_of.contains_key(&self.meant(*needed)))
                .collect();
            if missing.is_empty() {
                waiting.pop();
                let step = self.made(meant)?;
                self.steps.push(step);
                self.step_of.insert(meant, (self.steps.len() - 1) as u32);
            } else {
                waiting.extend(missing);
            }
        }
        Ok(self.step_of[&self.meant(want)])
    }

    fn is_made(&self, node: u32) -> bool {
        let tolerance = self.all.model().tolerances.get(&node);
        tolerance.is_some_and(|tolerance| !tolerance.zone.is_exact())
    }

    fn is_axis(&self, node: u32) -> bool {
        if self.all.free.as_ref().is_some_and(|free| free.slot == node) {
            return true;
        }
        let model = self.all.model();
        model.is_chosen(node)
            && model.limits.get(&node).is_some_and(|limits| limits.travel.is_some())
    }

    /// The ends of the travel of an axis, where the free dimension moves them.
    fn moving_ends(&self, node: u32) -> Option<[u32; 2]> {
        let model = self.all.model();
        let ends = model.limits.get(&node)?.travel.filter(|_| model.is_chosen(node))?;
        ends.iter().any(|end| self.all.is_reached(*end)).then_some(ends)
    }

    fn needed(&self, (node, real): Want) -> Vec<Want> {
        if real && self.is_made(node) {
            return vec![(node, false)];
        }
        if let Some(ends) = self.moving_ends(node) {
            return ends.map(|end| (end, false)).to_vec();
        }
        let [moves, _] = self.all.node_varies(node);
        if self.is_axis(node) || !(moves || real) {
            return Vec::new();
        }
        let needed = self.all.model().graph.dependencies(node).iter().copied();
        needed.map(|needed| (needed, real)).collect()
    }

    fn made(&mut self, (node, real): Want) -> Result<Step, NotComputed> {
        let model = self.all.model();
        let value = self.all.evaluation.values[node as usize];
        if value.is_nan() {
            return Err(NotComputed);
        }
        let [moves, _] = self.all.node_varies(node);
        if real && self.is_made(node) {
            let nominal = self.step_of[&(node, false)];
            let zone = &model.tolerances[&node].zone;
            // What a class allows hangs on the size, and that is another one then.
            if matches!(zone, Zone::Class(_)) && self.all.is_reached(node) {
                return Err(NotComputed);
            }
            let Some(Ok([low, high])) = deviations(zone, value) else { return Err(NotComputed) };
            return Ok(Step::Made(nominal, self.deviating(node, Interval::new(low, high))));
        }
        if let Some(free) = self.all.free.as_ref().filter(|free| free.slot == node) {
            return Ok(Step::Axis(self.variable(node, free.span(), false)));
        }
        if let Some(ends) = self.moving_ends(node) {
            let ends = ends.map(|end| self.step_of[&self.meant((end, false))]);
            let along = self.variable(node, Interval::new(0.0, 1.0), false);
            self.variables[along].rest = 0.5;
            return Ok(Step::Between(ends, along));
        }
        if self.is_axis(node) {
            let travel = model.limits[&node].travel.ok_or(NotComputed)?;
            let [from, to] = travel.map(|end| self.all.evaluation.values[end as usize]);
            if from.is_nan() || to.is_nan() || from > to {
                return Err(NotComputed);
            }
            return Ok(Step::Axis(self.variable(node, Interval::new(from, to), false)));
        }
        if !(moves || real) {
            return Ok(Step::Fixed(value));
        }
        let of = &model.nodes[node as usize];
        if of.kind == Type::Text && self.has_choices(of.of)
            || matches!(of.of, NodeOf::Quantity { .. })
        {
            return Err(NotComputed);
        }
        let local = |slot: u32| self.step_of[&self.meant((slot, real))];
        match &of.calculation {
            Calculation::Code(code) => Ok(Step::Code(code.with_slots(&local), of.unit.is_whole())),
            Calculation::Total(pairs) => {
                Ok(Step::Total(pairs.iter().map(|(a, b)| (local(*a), local(*b))).collect()))
            }
            Calculation::Text(number) => Ok(Step::Fixed(*number)),
            Calculation::None | Calculation::Requirement(_) => Err(NotComputed),
        }
    }

    /// A dimension that is made, with its variable.
    fn deviating(&mut self, node: u32, zone: Interval) -> usize {
        let of = &self.all.model().nodes[node as usize];
        let errors = self.all.model().errors.get(&node).cloned().unwrap_or_default();
        let shares = errors.shares.filter(|_| !self.apart);
        let mut made = Made {
            name: of.name.to_string(),
            unit: of.unit.clone(),
            zone,
            spread: errors.spread,
            measured: errors.measured,
            shares: shares.map(|shares| (shares.name, shares.is_opposite)),
            variable: 0,
        };
        made.variable = match &made.shares {
            None => self.variable(node, zone, true),
            Some((name, _)) => match self.shared.get(name) {
                Some(variable) => *variable,
                None => {
                    self.variables.push(Variable {
                        name: name.clone(),
                        unit: Unit::number(),
                        is_deviation: true,
                        span: made.span(),
                        rest: 0.0,
                        whole: false,
                    });
                    self.shared.insert(name.clone(), self.variables.len() - 1);
                    self.variables.len() - 1
                }
            },
        };
        self.made.push(made);
        self.made.len() - 1
    }

    fn has_choices(&self, of: NodeOf) -> bool {
        let NodeOf::Dimension { table, index } = of else { return false };
        let table = &self.all.evaluation.design.material.tables[table as usize];
        !table.dimensions[index as usize].one_of.is_empty()
    }

    fn variable(&mut self, node: u32, span: Interval, is_deviation: bool) -> usize {
        let of = &self.all.model().nodes[node as usize];
        let rest = if is_deviation {
            0.0_f64.clamp(span.low(), span.high())
        } else {
            // A dimension that was let free may be meant to lie elsewhere.
            self.all.evaluation.values[node as usize].clamp(span.low(), span.high())
        };
        self.variables.push(Variable {
            name: of.name.to_string(),
            unit: of.unit.clone(),
            is_deviation,
            span,
            rest,
            whole: of.unit.is_whole() && !is_deviation && self.moving_ends(node).is_none(),
        });
        self.variables.len() - 1
    }

    /// With axes before deviations, each by name.
    fn done(mut self, subject: Subject, unit: Unit, tight: Option<f64>) -> Mechanism<'a> {
        let mut order: Vec<usize> = (0..self.variables.len()).collect();
        order.sort_by(|a, b| {
            let free = self.all.free.as_ref();
            let free = free.map(|free| &self.all.model().nodes[free.slot as usize].name);
            let key = |at: usize| {
                let own = &self.variables[at];
                let is_free = free.is_some_and(|free| !own.is_deviation && **free == *own.name);
                (!is_free, own.is_deviation, &own.name)
            };
            key(*a).cmp(&key(*b))
        });
        let mut place = vec![0; order.len()];
        for (new, old) in order.iter().enumerate() {
            place[*old] = new;
        }
        for step in &mut self.steps {
            if let Step::Axis(variable) | Step::Between(_, variable) = step {
                *variable = place[*variable];
            }
        }
        for made in &mut self.made {
            made.variable = place[made.variable];
        }
        Mechanism {
            variables: order.iter().map(|old| self.variables[*old].clone()).collect(),
            made: self.made,
            steps: self.steps,
            subject,
            texts: &self.all.model().texts,
            unit,
            tight,
        }
    }
}
