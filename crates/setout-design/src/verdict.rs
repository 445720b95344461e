//! Verdicts on checks and limits.

use std::fmt;
use std::sync::Arc;

use setout_formula::{Machine, Type};
use setout_quantity::Unit;

use crate::material::Material;
use crate::model::{Calculation, CheckNodes, Model, Target};
use crate::{Amount, Design, Fault, FilledIn, Place, Slug};

/// Whether a requirement is met, from best to worst.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// It is.
    Holds,
    /// It is, with less margin than was asked for.
    Tight,
    /// It could not be computed.
    Unknown,
    /// It is not.
    Fails,
}

impl Verdict {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Tight => "tight",
            Self::Unknown => "unknown",
            Self::Fails => "fails",
        }
    }
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

/// How a verdict was reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// For every value in the span.
    Proved,
    /// For the one value that there is.
    Computed,
    /// For some values; others may differ.
    Sampled,
}

impl How {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Proved => "proved",
            Self::Computed => "computed",
            Self::Sampled => "sampled",
        }
    }
}

/// A verdict in one state: at rest, over travel, or at the worst of travel and tolerances.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// The verdict.
    pub verdict: Verdict,
    /// How far it is from failing, in the check's unit.
    pub margin: Option<f64>,
    /// How this is known.
    pub how: How,
    /// What was found on the way; absent where one value was computed.
    pub proof: Option<Arc<Assessment>>,
}

/// How a state over a whole span was assessed.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    /// No pose has less margin than this, in the check's unit; absent where there is no bound.
    pub at_least: Option<f64>,
    /// Where the margin that is given was found: where axes stand, and by how much dimensions
    /// deviate.
    pub at: Vec<Setting>,
    /// Into how many boxes the span was divided.
    pub boxes: u64,
    /// How many of them were left undecided.
    pub left: usize,
    /// Spans of the axes in which a linkage does not close: all poses that cannot be reached lie
    /// there, and were not judged. Of one axis the spans are apart; with several there is one span
    /// for each, which may hold poses that can be reached.
    pub unreachable: Vec<AxisSpan>,
    /// Why the verdict is unknown, as a clause.
    pub why: Option<String>,
}

/// Where something that varies stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The full name of the dimension.
    pub name: String,
    /// Where it stands, or by how much it deviates, in `unit`.
    pub value: f64,
    /// The unit.
    pub unit: Unit,
    /// Whether this is a deviation from the nominal value.
    pub is_deviation: bool,
}

/// A span of an axis.
#[derive(Clone, Debug, PartialEq)]
pub struct AxisSpan {
    /// The full name of the axis.
    pub name: String,
    /// Its lower end, in `unit`.
    pub low: f64,
    /// Its upper end, in `unit`.
    pub high: f64,
    /// The unit.
    pub unit: Unit,
}

/// What became of a check.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckResult {
    /// The full name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// The requirement as written.
    pub requirement: String,
    /// The requirement with its numbers filled in.
    pub filled_in: FilledIn,
    /// The reason for it.
    pub why: Option<String>,
    /// The worst verdict of the states that were assessed.
    pub verdict: Verdict,
    /// The margin of that state, in `unit`.
    pub margin: Option<f64>,
    /// The unit of the margins.
    pub unit: Unit,
    /// Less margin than this is tight; in `unit`.
    pub tight: Option<f64>,
    /// With every axis at rest and every dimension at its nominal value.
    pub rest: State,
    /// Over the whole travel of every axis; absent where that was not assessed.
    pub travel: Option<State>,
    /// At the worst of travel and tolerances; absent where that was not assessed.
    pub worst: Option<State>,
}

impl CheckResult {
    /// The same with what was found over travel and at the worst.
    #[must_use]
    pub fn with_states(mut self, travel: Option<State>, worst: Option<State>) -> Self {
        (self.travel, self.worst) = (travel, worst);
        let states = [Some(&self.rest), self.travel.as_ref(), self.worst.as_ref()];
        // Of equally bad states that with the least margin is shown, at rest before others.
        let margin = |state: &State| state.margin.unwrap_or(f64::INFINITY);
        let worse = |a: &State, b: &State| {
            a.verdict > b.verdict || (a.verdict == b.verdict && margin(a) < margin(b))
        };
        let others = states.into_iter().flatten();
        let shown =
            others.fold(&self.rest, |shown, own| if worse(own, shown) { own } else { shown });
        (self.verdict, self.margin) = (shown.verdict, shown.margin);
        self
    }
}

/// What became of the limits of a dimension, or of the travel that a derived one is permitted.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitResult {
    /// The dimension's full name.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// Whether this is the permitted travel rather than `min` and `max`.
    pub of_travel: bool,
    /// Whether the nominal value lies within.
    pub verdict: Verdict,
    /// The same over the whole travel of every axis; absent where that was not assessed. The outer
    /// verdict is the worse of both.
    pub travel: Option<State>,
    /// The nominal value, in the dimension's unit.
    pub value: Option<Amount>,
    /// The lower limit, in the same unit.
    pub min: Option<f64>,
    /// The upper limit, in the same unit.
    pub max: Option<f64>,
    /// The distance to the nearer limit, negative outside, in the same unit.
    pub margin: Option<f64>,
    /// The unit.
    pub unit: Unit,
}

/// A margin of no more than this, in the shown unit, is none.
const ZERO: f64 = crate::mechanism::ZERO;

/// That margin in base units.
pub(crate) fn zero(unit: &Unit) -> f64 {
    unit.difference_to_base(ZERO)
}

/// Which nodes depend on an axis of travel, and which on a tolerance.
pub(crate) struct Varies {
    pub(crate) with_travel: Vec<bool>,
    pub(crate) with_tolerance: Vec<bool>,
}

impl Varies {
    pub(crate) fn of(model: &Model) -> Self {
        let mut varies = Self {
            with_travel: vec![false; model.nodes.len()],
            with_tolerance: vec![false; model.nodes.len()],
        };
        let axes = model
            .limits
            .iter()
            .filter(|(slot, limits)| limits.travel.is_some() && model.is_chosen(**slot));
        let axes: Vec<u32> = axes.map(|(slot, _)| *slot).collect();
        let made = model.tolerances.iter().filter(|(_, tolerance)| !tolerance.zone.is_exact());
        let made: Vec<u32> = made.map(|(slot, _)| *slot).collect();
        for node in model.graph.reach(axes.iter().copied()).into_iter().chain(axes) {
            varies.with_travel[node as usize] = true;
        }
        for node in model.graph.reach(made.iter().copied()).into_iter().chain(made) {
            varies.with_tolerance[node as usize] = true;
        }
        varies
    }
}

/// Assesses all checks at rest. Faults are those of requirements without a value.
pub(crate) fn assess_checks(
    design: &Design,
    values: &Arc<Vec<f64>>,
) -> (Vec<CheckResult>, Vec<Fault>) {
    let (model, material) = (&*design.model, &*design.material);
    let varies = Varies::of(model);
    let mut machine = Machine::with(&model.texts);
    let mut faults = Vec::new();
    let results = model.checks.iter().map(|check| {
        let rest = at_rest(model, material, values, *check, &mut machine, &mut faults);
        result(design, values, *check, rest, &varies)
    });
    let results = results.collect();
    (results, faults)
}

fn at_rest(
    model: &Model,
    material: &Material,
    values: &[f64],
    check: CheckNodes,
    machine: &mut Machine,
    faults: &mut Vec<Fault>,
) -> State {
    let node = &model.nodes[check.node as usize];
    let unknown =
        State { verdict: Verdict::Unknown, margin: None, how: How::Computed, proof: None };
    let Calculation::Requirement(requirement) = &node.calculation else { return unknown };
    if node.targets.contains(&Target::Unknown) {
        return unknown;
    }
    let outcome = match requirement.outcome(machine, values, zero(&node.unit)) {
        Ok(outcome) => outcome,
        Err(stop) if stop.is_not_computed() => return unknown,
        Err(stop) => {
            faults.extend(stopped(model, material, check.node, &stop));
            return unknown;
        }
    };
    let margin = outcome.margin.map(|margin| node.unit.difference_from_base(margin));
    let asked = check.tight.map(|tight| values[tight as usize]);
    let verdict = match (outcome.holds, outcome.margin, asked) {
        (false, ..) => Verdict::Fails,
        (true, _, Some(asked)) if asked.is_nan() => Verdict::Unknown,
        (true, Some(margin), Some(asked)) if margin < asked - zero(&node.unit) => Verdict::Tight,
        _ => Verdict::Holds,
    };
    State { verdict, margin, how: How::Computed, proof: None }
}

/// Whether a check holds for these values, and its margin in base units.
pub(crate) fn margin_at(
    model: &Model,
    values: &[f64],
    check: CheckNodes,
) -> Option<(bool, Option<f64>)> {
    let node = &model.nodes[check.node as usize];
    let Calculation::Requirement(requirement) = &node.calculation else { return None };
    let outcome =
        requirement.outcome(&mut Machine::with(&model.texts), values, zero(&node.unit)).ok()?;
    Some((outcome.holds, outcome.margin))
}

fn stopped(
    model: &Model,
    material: &Material,
    node: u32,
    stop: &setout_formula::Stop,
) -> Option<Fault> {
    let expr = model.expr(material, node)?;
    let formula = expr.formula.as_ref()?;
    let meanings = model.meanings(&model.nodes[node as usize].targets);
    let fault = formula.explain(stop, &meanings, &material.units, &model.texts);
    let at = expr.scalar.source_offset(fault.at.range().start);
    let place = material.files[expr.file as usize].place(at);
    let help = fault.help().to_owned();
    Some(Fault { place, slug: Slug::Domain, message: fault.message(), help })
}

fn result(
    design: &Design,
    values: &Arc<Vec<f64>>,
    check: CheckNodes,
    rest: State,
    varies: &Varies,
) -> CheckResult {
    let node = &design.model.nodes[check.node as usize];
    let written = &design.material.tables[check.table as usize].checks[check.index as usize];
    let moves = varies.with_travel[check.node as usize];
    let made = varies.with_tolerance[check.node as usize];
    // A state in which nothing varies repeats the one before; the others await their proofs.
    let travel = (!moves).then(|| rest.clone());
    let worst = travel.clone().filter(|_| !made);
    let shown = &rest;
    let tight = check.tight.map(|tight| values[tight as usize]).filter(|tight| !tight.is_nan());
    CheckResult {
        name: node.name.to_string(),
        place: node.place.clone(),
        requirement: written.require.as_ref().map_or("", |expr| expr.text()).to_owned(),
        filled_in: FilledIn::of(design, values, check.node),
        why: written.why.as_ref().map(|why| why.text().to_owned()),
        verdict: shown.verdict,
        margin: shown.margin,
        unit: node.unit.clone(),
        tight: tight.map(|tight| node.unit.difference_from_base(tight)),
        rest,
        travel,
        worst,
    }
}

/// Assesses the limits of all dimensions at rest.
pub(crate) fn assess_limits(model: &Model, values: &[f64]) -> Vec<LimitResult> {
    let mut results = Vec::new();
    for (slot, limits) in model.limits.iter() {
        if limits.min.is_some() || limits.max.is_some() {
            results.push(limit(model, values, *slot, limits.min, limits.max, false));
        }
        // The travel of a free axis is where it goes, not where it may go.
        if let Some([from, to]) = limits.travel.filter(|_| !model.is_chosen(*slot)) {
            results.push(limit(model, values, *slot, Some(from), Some(to), true));
        }
    }
    results
}

fn limit(
    model: &Model,
    values: &[f64],
    slot: u32,
    min: Option<u32>,
    max: Option<u32>,
    of_travel: bool,
) -> LimitResult {
    let node = &model.nodes[slot as usize];
    let value = values[slot as usize];
    let end = |node: Option<u32>| node.map(|node| values[node as usize]);
    let rooms = [end(min).map(|min| value - min), end(max).map(|max| max - value)];
    let unknown = rooms.iter().flatten().any(|room| room.is_nan());
    let room =
        rooms.into_iter().flatten().filter(|room| !room.is_nan()).fold(f64::INFINITY, f64::min);
    let room = if room.abs() <= zero(&node.unit) { 0.0 } else { room };
    let verdict = match () {
        // Being outside of one limit is enough, whatever the other is.
        () if room < 0.0 => Verdict::Fails,
        () if unknown => Verdict::Unknown,
        () => Verdict::Holds,
    };
    let has_unit = node.kind != Type::Unknown;
    let in_unit = |end: Option<f64>| {
        end.filter(|end| has_unit && !end.is_nan()).map(|end| node.unit.from_base(end))
    };
    let known = |room: f64| room.is_finite().then(|| node.unit.difference_from_base(room));
    LimitResult {
        name: node.name.to_string(),
        place: node.place.clone(),
        of_travel,
        verdict,
        travel: None,
        value: Amount::of(value, node.kind, &node.unit, &model.texts),
        min: in_unit(end(min)),
        max: in_unit(end(max)),
        margin: known(room),
        unit: node.unit.clone(),
    }
}
