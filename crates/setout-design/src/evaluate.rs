//! Values of all nodes, and what could not be computed.

use setout_formula::Machine;
use setout_quantity::rounded;
use setout_standards::{StandardFault, limit_lower, limit_upper};

use crate::document::{Value, Zone};
use crate::material::Material;
use crate::model::{Calculation, LimitNodes, Model, NodeOf, Target};
use crate::{Fault, Place, Slug};

/// The values of all nodes in base units; what could not be computed is not a number.
pub(crate) fn evaluate(model: &Model, material: &Material) -> (Vec<f64>, Vec<Fault>) {
    let mut values = model.program.values();
    let mut run = Run::new(model, material);
    run.faults = Some(Vec::new());
    model.program.run(&mut values, |node, values| run.value(node, values));
    values.truncate(model.nodes.len());
    run.limits(&values);
    run.classes(&values);
    (values, run.faults.unwrap_or_default())
}

/// Like [`evaluate`], but only what the changed nodes reach, from the values before. `changed`
/// gives nodes other calculations than the model's. Returns the values that differ.
pub(crate) fn evaluate_change(
    model: &Model,
    material: &Material,
    before: &[f64],
    changed: &[(u32, Calculation)],
) -> Vec<f64> {
    let mut values = before.to_vec();
    let mut run = Run::new(model, material);
    let mut stale = vec![false; model.nodes.len()];
    let seeds = changed.iter().map(|(node, _)| *node);
    for node in &seeds.clone().collect::<Vec<_>>() {
        stale[*node as usize] = true;
    }
    let mut order = model.graph.reach(seeds.clone());
    order.extend(seeds);
    order.sort_unstable_by_key(|node| model.graph.rank(*node));
    order.dedup();
    for node in order {
        let override_ = changed.iter().find(|(changed, _)| *changed == node);
        let moved = |needed: &u32| stale[*needed as usize];
        if override_.is_none() && !model.graph.dependencies(node).iter().any(moved) {
            continue;
        }
        let value = match override_ {
            Some((_, calculation)) => run.calculated(node, calculation, &values),
            None => run.value(node, &values),
        };
        stale[node as usize] = value.to_bits() != values[node as usize].to_bits();
        values[node as usize] = value;
    }
    values
}

pub(crate) struct Run<'a> {
    model: &'a Model,
    material: &'a Material,
    machine: Machine,
    /// None where nobody asks: another calculation than the model's has no place in its tables.
    faults: Option<Vec<Fault>>,
}

impl<'a> Run<'a> {
    fn new(model: &'a Model, material: &'a Material) -> Self {
        Self::quiet(model, material, Machine::with(&model.texts))
    }

    /// One that tells no faults, with a machine that was made for this model before.
    pub(crate) fn quiet(model: &'a Model, material: &'a Material, machine: Machine) -> Self {
        Self { model, material, machine, faults: None }
    }

    /// The machine, for another run.
    pub(crate) fn into_machine(self) -> Machine {
        self.machine
    }

    pub(crate) fn value(&mut self, node: u32, values: &[f64]) -> f64 {
        let calculation = &self.model.nodes[node as usize].calculation;
        let computable = self.is_computable(node, values);
        if computable { self.calculated(node, calculation, values) } else { f64::NAN }
    }

    /// Whether everything is there that the node needs.
    fn is_computable(&self, node: u32, values: &[f64]) -> bool {
        let there = |slot: &u32| !values[*slot as usize].is_nan();
        self.model.nodes[node as usize].targets.iter().all(|target| match target {
            Target::Slot(slot) => there(slot),
            Target::Column { schedule, column } => {
                self.model.schedules[*schedule as usize].columns[*column as usize].iter().all(there)
            }
            Target::Unknown => false,
        })
    }

    pub(crate) fn calculated(
        &mut self,
        node: u32,
        calculation: &Calculation,
        values: &[f64],
    ) -> f64 {
        let value = match calculation {
            // A requirement is assessed, not evaluated; see verdict.rs.
            Calculation::None | Calculation::Requirement(_) => return f64::NAN,
            Calculation::Text(number) => *number,
            Calculation::Total(pairs) => {
                pairs.iter().map(|(a, b)| values[*a as usize] * values[*b as usize]).sum()
            }
            Calculation::Code(code) => match self.machine.run(code, values) {
                Ok(value) => value,
                Err(stop) => {
                    self.stopped(node, &stop);
                    return f64::NAN;
                }
            },
        };
        self.accepted(node, value)
    }

    fn stopped(&mut self, node: u32, stop: &setout_formula::Stop) {
        let Some(faults) = &mut self.faults else { return };
        let Some(expr) = self.model.expr(self.material, node) else { return };
        let Some(formula) = &expr.formula else { return };
        if stop.is_not_computed() {
            return;
        }
        let meanings = self.model.meanings(&self.model.nodes[node as usize].targets);
        let fault = formula.explain(stop, &meanings, &self.material.units, &self.model.texts);
        let at = expr.scalar.source_offset(fault.at.range().start);
        let place = self.material.files[expr.file as usize].place(at);
        let (message, help) = (fault.message(), fault.help().to_owned());
        faults.push(Fault { place, slug: Slug::Domain, message, help });
    }

    /// Counts are whole, and texts one of those allowed.
    fn accepted(&mut self, node: u32, value: f64) -> f64 {
        let of = &self.model.nodes[node as usize];
        if of.unit.is_whole() && value.fract() != 0.0 {
            let limit = match of.of {
                NodeOf::Min { .. } => "its `min`",
                NodeOf::Max { .. } => "its `max`",
                NodeOf::TravelFrom { .. } | NodeOf::TravelTo { .. } => "an end of its travel",
                _ => "it",
            };
            let message =
                format!("`{}` counts whole things, and {limit} is {}", of.name, rounded(value));
            let help = "round it, or give it another unit".into();
            self.fault(self.value_place(node), Slug::Domain, message, help);
            return f64::NAN;
        }
        if of.unit.is_whole() && value.abs() > LARGEST_COUNT {
            let message =
                format!("`{}` is {}, too many to count one by one", of.name, rounded(value));
            self.fault(
                self.value_place(node),
                Slug::Domain,
                message,
                "give it another unit".into(),
            );
            return f64::NAN;
        }
        if matches!(of.of, NodeOf::Quantity { .. }) && value < 0.0 {
            let message = format!("there cannot be {} of a part", rounded(value));
            self.fault(
                self.value_place(node),
                Slug::Domain,
                message,
                "write how many there are".into(),
            );
            return f64::NAN;
        }
        self.choice(node, value);
        value
    }

    /// Where the formula of a node stands; the node itself if it has none.
    fn value_place(&self, node: u32) -> Place {
        match self.model.expr(self.material, node) {
            Some(expr) => {
                self.material.files[expr.file as usize].place(expr.scalar.source_offset(0))
            }
            None => self.model.nodes[node as usize].place.clone(),
        }
    }

    fn choice(&mut self, node: u32, value: f64) {
        let NodeOf::Dimension { table, index } = self.model.nodes[node as usize].of else { return };
        let dimension = &self.material.tables[table as usize].dimensions[index as usize];
        if dimension.one_of.is_empty()
            || self.model.nodes[node as usize].kind != setout_formula::Type::Text
        {
            return;
        }
        let text = self.model.texts.text(value);
        let choices: Vec<&str> = dimension.one_of.iter().map(|choice| choice.text()).collect();
        if choices.contains(&text) {
            return;
        }
        let place = match &dimension.value {
            Value::Text(literal) => literal.place.clone(),
            _ => self.value_place(node),
        };
        let message = format!("`{}` is not one of the choices", text.escape_debug());
        let help = format!("write one of {}", choices.join(", "));
        self.fault(place, Slug::BadChoice, message, help);
    }

    fn fault(&mut self, place: Place, slug: Slug, message: String, help: String) {
        if let Some(faults) = &mut self.faults {
            faults.push(Fault { place, slug, message, help });
        }
    }

    /// Limits that nothing can satisfy, and axes that stand outside their own travel.
    fn limits(&mut self, values: &[f64]) {
        for (slot, limits) in self.model.limits.iter() {
            let LimitNodes { min, max, travel } = *limits;
            let value = |node: Option<u32>| node.map_or(f64::NAN, |node| values[node as usize]);
            if let Some(end) = min {
                self.reversed(*slot, end, [value(min), value(max)], ["min", "max"]);
            }
            let Some([start, end]) = travel else { continue };
            let (from, to) = (value(Some(start)), value(Some(end)));
            let names = ["the first end of the travel", "the second"];
            self.reversed(*slot, start, [from, to], names);
            let at = values[*slot as usize];
            if self.model.is_chosen(*slot) && from <= to && (at < from || at > to) {
                let node = &self.model.nodes[*slot as usize];
                let show = |value: f64| shown(value, &node.unit);
                let message = format!(
                    "`{}` rests at {}, outside of its travel from {} to {}",
                    node.name,
                    show(at),
                    show(from),
                    show(to)
                );
                let help = "let the value at rest lie within the travel".into();
                self.fault(self.value_place(*slot), Slug::BadLimits, message, help);
            }
        }
    }

    /// Tolerance classes that the tables lack, or that they lack at this size.
    fn classes(&mut self, values: &[f64]) {
        for (slot, tolerance) in &self.model.tolerances {
            let Some(Err(fault)) = deviations(&tolerance.zone, values[*slot as usize]) else {
                continue;
            };
            let NodeOf::Dimension { table, index } = self.model.nodes[*slot as usize].of else {
                continue;
            };
            let dimension = &self.material.tables[table as usize].dimensions[index as usize];
            let place = dimension.tolerance_at.as_deref().unwrap_or(&dimension.place).clone();
            self.fault(place, Slug::BadValue, fault.to_string(), fault.help());
        }
    }

    /// `at` is the node of the lower limit.
    fn reversed(&mut self, slot: u32, at: u32, [low, high]: [f64; 2], names: [&str; 2]) {
        let [low_name, high_name] = names;
        if low > high {
            let node = &self.model.nodes[slot as usize];
            let message = format!(
                "nothing satisfies the limits of `{}`: {low_name} is {}, {high_name} {}",
                node.name,
                shown(low, &node.unit),
                shown(high, &node.unit)
            );
            let help = "swap them, or check what they come from".into();
            self.fault(self.value_place(at), Slug::BadLimits, message, help);
        }
    }
}

/// How far a dimension may lie below and above its nominal value, in base units. A class of ISO 286
/// is looked up at the nominal value; one that the tables lack is the standard's fault.
pub(crate) fn deviations(zone: &Zone, nominal: f64) -> Option<Result<[f64; 2], StandardFault>> {
    match zone {
        Zone::Between { lower, upper, .. } => Some(Ok([*lower, *upper])),
        Zone::Process(_) => None,
        Zone::Class(_) if nominal.is_nan() => None,
        Zone::Class(class) => {
            let size = nominal.abs();
            Some(limit_lower(class, size).and_then(|lower| Ok([lower, limit_upper(class, size)?])))
        }
    }
}

/// Beyond this, floats no longer tell whole numbers apart.
const LARGEST_COUNT: f64 = 9_007_199_254_740_992.0;

/// A value with its unit, for a message.
pub(crate) fn shown(value: f64, unit: &setout_quantity::Unit) -> String {
    let number = rounded(unit.from_base(value));
    if unit.symbol().is_empty() { number } else { format!("{number} {}", unit.symbol()) }
}
