//! Kinds and code of every node, in order of dependency.

use setout_formula::{Code, Formula, Program, Type};
use setout_quantity::{Kind, Unit};

use super::build::declared;
use super::{Calculation, Model, NodeOf};
use crate::document::{Expr, Literal, Value};
use crate::material::Material;
use crate::{Fault, Place, Slug};

/// Writes the code of all nodes. Every mismatch of kinds is a fault of the node that has it, and
/// what depends on that node is left uncomputed in silence.
pub(super) fn compile(model: &mut Model, material: &Material) {
    let mut pass = Pass { material, faults: Vec::new() };
    for node in 0..model.nodes.len() {
        if let Some((kind, unit)) = declared(material, model.nodes[node].of) {
            model.nodes[node].kind = kind;
            model.nodes[node].unit = unit;
        }
    }
    let order = ordered(model);
    order.iter().for_each(|node| pass.node(model, *node));
    (0..model.checks.len()).for_each(|check| pass.check(model, check));
    write_program(model, &order);
    for slot in model.limits.keys().copied().collect::<Vec<_>>() {
        pass.travel(model, slot);
    }
    pass.tolerances(model);
    pass.shared_errors(model);
    model.faults.extend(pass.faults);
}

/// All nodes but checks and what stands in a circle, as they can be computed one after the other.
/// Nothing can name a limit, so those come when the kinds of what they limit are known.
fn ordered(model: &Model) -> Vec<u32> {
    let mut in_cycle = vec![false; model.nodes.len()];
    for node in model.graph.cycles().iter().flatten() {
        in_cycle[*node as usize] = true;
    }
    let order = model.graph.order().iter().copied().filter(|node| !in_cycle[*node as usize]);
    let (mut values, limits): (Vec<u32>, Vec<u32>) =
        order.partition(|node| model.nodes[*node as usize].of.is_value());
    values.extend(limits);
    values
}

/// Writes the code of some nodes anew, whose formulas are other ones over the same names. Says
/// whether no kind or unit that another node may rest on is another one now, and nothing is a fault.
pub(super) fn rewrite(model: &mut Model, material: &Material, changed: &[u32]) -> bool {
    let mut pass = Pass { material, faults: Vec::new() };
    let mut checks = Vec::new();
    for node in changed.iter().copied() {
        let of = &mut model.nodes[node as usize];
        if let NodeOf::Check { check } | NodeOf::Tight { check } = of.of {
            checks.push(check as usize);
            continue;
        }
        let (kind, unit) = declared(material, of.of).unwrap_or((Type::Unknown, Unit::number()));
        let kind = std::mem::replace(&mut of.kind, kind);
        let unit = std::mem::replace(&mut of.unit, unit);
        of.calculation = Calculation::None;
        pass.node(model, node);
        let of = &model.nodes[node as usize];
        if of.of.is_value() && (of.kind != kind || of.unit != unit) {
            return false;
        }
    }
    checks.dedup();
    for check in checks {
        let nodes = model.checks[check];
        for node in [Some(nodes.node), nodes.tight].into_iter().flatten() {
            let of = &mut model.nodes[node as usize];
            of.kind = Type::Unknown;
            of.unit = Unit::number();
            of.calculation = Calculation::None;
        }
        pass.check(model, check);
    }
    model.tolerances.clear();
    model.errors.clear();
    pass.tolerances(model);
    pass.shared_errors(model);
    if !changed.is_empty() {
        write_program(model, &ordered(model));
    }
    pass.faults.is_empty()
}

/// Puts the code of all nodes in [order](ordered) into one piece.
fn write_program(model: &mut Model, order: &[u32]) {
    model.program = Program::of(model.nodes.len());
    order.iter().for_each(|node| model.plan(*node));
    let tights: Vec<u32> = model.checks.iter().filter_map(|check| check.tight).collect();
    tights.into_iter().for_each(|node| model.plan(node));
}

/// What one walk through a model's formulas reads and finds.
pub(super) struct Pass<'a> {
    pub(super) material: &'a Material,
    pub(super) faults: Vec<Fault>,
}

impl Pass<'_> {
    fn node(&mut self, model: &mut Model, node: u32) {
        match model.nodes[node as usize].of {
            NodeOf::Dimension { table, index } => {
                let dimension = &self.material.tables[table as usize].dimensions[index as usize];
                self.value(model, node, &dimension.value);
                self.choices(model, node, &dimension.one_of);
            }
            NodeOf::Cell { table, schedule, row, column } => {
                let schedule = &self.material.tables[table as usize].schedules[schedule as usize];
                let (_, value) = &schedule.rows[row as usize].cells[column as usize];
                self.value(model, node, value);
            }
            NodeOf::Quantity { .. } if model.expr(self.material, node).is_none() => {
                model.nodes[node as usize].calculation = Calculation::Code(Code::constant(1.0));
            }
            NodeOf::Cost { .. } | NodeOf::Mass { .. } | NodeOf::Quantity { .. } => {
                if let Some(expr) = model.expr(self.material, node) {
                    self.formula(model, node, expr);
                }
            }
            NodeOf::Min { slot } | NodeOf::Max { slot } => self.limit(model, node, slot),
            NodeOf::TravelFrom { slot } | NodeOf::TravelTo { slot } => {
                self.limit(model, node, slot)
            }
            // Totals need no code; checks come when all kinds are known.
            _ => {}
        }
    }

    fn value(&mut self, model: &mut Model, node: u32, value: &Value) {
        match value {
            Value::Faulty => {}
            Value::Text(text) => {
                let number = model.texts.number(text.text());
                model.nodes[node as usize].calculation = Calculation::Text(number);
            }
            Value::Formula(expr) => self.formula(model, node, expr),
        }
    }

    /// Only texts are chosen from a list.
    fn choices(&mut self, model: &Model, node: u32, one_of: &[Literal]) {
        let (Some(first), of) = (one_of.first(), &model.nodes[node as usize]) else { return };
        if matches!(of.kind, Type::Text | Type::Unknown) {
            return;
        }
        let kind = of.kind.describe(&self.material.units);
        let message = format!("`{}` is {kind}, and `one_of` lists texts", of.name);
        let help = "take `one_of` out; `min` and `max` limit a quantity".into();
        let place = first.place.clone();
        self.faults.push(Fault { place, slug: Slug::BadChoice, message, help });
    }

    /// Compiles a node's formula and holds its kind against the declared one.
    fn formula(&mut self, model: &mut Model, node: u32, expr: &Expr) {
        let Some(found) = self.compiled(model, node, expr) else { return };
        let declared = model.nodes[node as usize].kind;
        let fits = found == declared || found == Type::Unknown;
        if declared == Type::Unknown {
            model.nodes[node as usize].kind = found;
            model.nodes[node as usize].unit = self.unit_for(model, node, expr, found);
        } else if !fits {
            let what = self.what(model, node, declared);
            self.mismatch(expr, found, declared, &what);
            model.nodes[node as usize].calculation = Calculation::None;
        }
    }

    /// The type that the formula gives, its code being kept at the node; `None` after faults.
    fn compiled(&mut self, model: &mut Model, node: u32, expr: &Expr) -> Option<Type> {
        let formula = expr.formula.as_ref()?;
        let targets = std::mem::take(&mut model.nodes[node as usize].targets);
        let mut texts = std::mem::take(&mut model.texts);
        let result = {
            let meanings = model.meanings(&targets);
            formula.compile(&meanings, &self.material.units, &mut texts)
        };
        model.texts = texts;
        model.nodes[node as usize].targets = targets;
        match result {
            Ok(compiled) => {
                model.nodes[node as usize].calculation = Calculation::Code(compiled.code);
                Some(compiled.of)
            }
            Err(faults) => {
                self.formula_faults(expr, &faults);
                None
            }
        }
    }

    fn formula_faults(&mut self, expr: &Expr, faults: &[setout_formula::FormulaFault]) {
        for fault in faults {
            let place = self.place(expr, fault.at.range().start);
            let slug = Slug::of_word(fault.slug()).unwrap_or(Slug::BadFormula);
            let help = fault.help().to_owned();
            self.faults.push(Fault { place, slug, message: fault.message(), help });
        }
    }

    fn place(&self, expr: &Expr, offset: usize) -> Place {
        self.material.files[expr.file as usize].place(expr.scalar.source_offset(offset))
    }

    /// The unit that a value without a declared one is shown in: a chosen value's own, else the
    /// customary one of its kind.
    fn unit_for(&self, model: &Model, node: u32, expr: &Expr, of: Type) -> Unit {
        let formula = expr.formula.as_ref();
        if model.is_chosen(node)
            && let Some(unit) = formula.and_then(|formula| formula.lent_unit(of))
        {
            return unit.clone();
        }
        self.customary(of)
    }

    pub(super) fn customary(&self, of: Type) -> Unit {
        match of {
            Type::Quantity(kind) => self.material.units.customary(kind),
            Type::Reading => self.material.units.read("°C").unwrap_or_else(|_| Unit::number()),
            _ => Unit::number(),
        }
    }

    /// What is expected of a node, for a message.
    fn what(&self, model: &Model, node: u32, declared: Type) -> String {
        let kind = declared.describe(&self.material.units);
        let name = &model.nodes[node as usize].name;
        let unit = model.nodes[node as usize].unit.symbol();
        match model.nodes[node as usize].of {
            NodeOf::Cell { table, schedule, column, .. } => {
                let schedule = &self.material.tables[table as usize].schedules[schedule as usize];
                format!("the column `{}` holds {kind}", schedule.columns[column as usize].name)
            }
            NodeOf::Cost { .. } => "`cost` is an amount of money".into(),
            NodeOf::Mass { .. } => format!("`mass` is in {unit}"),
            NodeOf::Quantity { .. } => "`quantity` is a whole number".into(),
            _ => format!("`{name}` is declared in {unit}, {kind}"),
        }
    }

    fn mismatch(&mut self, expr: &Expr, found: Type, wanted: Type, what: &str) {
        let units = &self.material.units;
        let text = expr.formula.as_ref().map_or_else(|| expr.text().to_owned(), Formula::shown);
        let message = format!("{what}, and `{text}` is {}", found.describe(units));
        let help = match (found, wanted, &expr.formula) {
            (_, Type::Quantity(Kind::MONEY), _) if units.currency().is_none() => {
                "say which money it is: `currency: GBP` in design.yaml, and `1.20 GBP` here".into()
            }
            (Type::Quantity(found), Type::Quantity(wanted), Some(formula)) => {
                formula.missing_factor(found, wanted, units)
            }
            (Type::Quantity(_), Type::Reading, _) => "write a temperature in °C".into(),
            (Type::Reading, Type::Quantity(Kind::TEMPERATURE), _) => {
                "write the difference in K".into()
            }
            (Type::Text, _, _) => "write a quantity, or make it a text".into(),
            _ => format!("it should give {}", wanted.describe(units)),
        };
        let place = self.place(expr, 0);
        self.faults.push(Fault { place, slug: Slug::UnitMismatch, message, help });
    }

    /// A limit or an end of a travel is of its dimension's kind.
    fn limit(&mut self, model: &mut Model, node: u32, slot: u32) {
        let Some(expr) = model.expr(self.material, node) else { return };
        let of = model.nodes[slot as usize].kind;
        model.nodes[node as usize].unit = model.nodes[slot as usize].unit.clone();
        let Some(found) = self.compiled(model, node, expr) else { return };
        model.nodes[node as usize].kind = found;
        if of == Type::Unknown {
            model.nodes[node as usize].unit = self.unit_for(model, node, expr, found);
        }
        if found != of && found != Type::Unknown && of != Type::Unknown {
            let name = &model.nodes[slot as usize].name;
            let kind = of.describe(&self.material.units);
            if matches!(of, Type::Text | Type::Truth) {
                let message = format!("`{name}` is {kind}, and only quantities have limits");
                let (place, slug) = (self.place(expr, 0), Slug::UnitMismatch);
                self.faults.push(Fault { place, slug, message, help: "take it out".into() });
            } else {
                self.mismatch(expr, found, of, &format!("`{name}` is {kind}"));
            }
            model.nodes[node as usize].calculation = Calculation::None;
        }
    }

    fn check(&mut self, model: &mut Model, check: usize) {
        let nodes = model.checks[check];
        if let Some(expr) = model.expr(self.material, nodes.node) {
            self.requirement(model, nodes.node, expr);
        }
        let Some(tight) = nodes.tight else { return };
        let (margin, none) = match &model.nodes[nodes.node as usize].calculation {
            Calculation::Requirement(requirement) => {
                (requirement.kind(), requirement.has_no_margin())
            }
            _ => (None, false),
        };
        let Some(expr) = model.expr(self.material, tight) else { return };
        let Some(found) = self.compiled(model, tight, expr) else { return };
        model.nodes[tight as usize].kind = found;
        if none {
            let message = "this check holds or fails, and has no margin that could be tight".into();
            let (place, slug) = (self.place(expr, 0), Slug::UnitMismatch);
            self.faults.push(Fault { place, slug, message, help: "take `tight` out".into() });
            model.nodes[tight as usize].calculation = Calculation::None;
            return;
        }
        let Type::Quantity(kind) = found else {
            if found != Type::Unknown {
                let wanted = Type::Quantity(margin.unwrap_or(Kind::NUMBER));
                self.mismatch(expr, found, wanted, "`tight` is an amount of margin");
                model.nodes[tight as usize].calculation = Calculation::None;
            }
            return;
        };
        if let Some(margin) = margin.filter(|margin| *margin != kind) {
            let what = format!("the margin is {}", self.material.units.describe(margin));
            self.mismatch(expr, found, Type::Quantity(margin), &what);
            model.nodes[tight as usize].calculation = Calculation::None;
        } else if let Some((_, Some(unit))) = expr.formula.as_ref().and_then(|f| f.literal()) {
            // The margin is said in the unit in which it is asked for.
            model.nodes[nodes.node as usize].unit = unit.clone();
        }
    }

    fn requirement(&mut self, model: &mut Model, node: u32, expr: &Expr) {
        let Some(formula) = &expr.formula else { return };
        let targets = std::mem::take(&mut model.nodes[node as usize].targets);
        let mut texts = std::mem::take(&mut model.texts);
        let result = {
            let meanings = model.meanings(&targets);
            formula.requirement(&meanings, &self.material.units, &mut texts)
        };
        model.texts = texts;
        match result {
            Ok(requirement) => {
                let kind = requirement.kind();
                let unit = kind.map_or_else(Unit::number, |kind| {
                    self.margin_unit(model, formula, &targets, kind)
                });
                let node = &mut model.nodes[node as usize];
                node.unit = unit;
                node.kind = Type::Truth;
                node.calculation = Calculation::Requirement(Box::new(requirement));
            }
            Err(faults) => self.formula_faults(expr, &faults),
        }
        model.nodes[node as usize].targets = targets;
    }

    fn margin_unit(
        &self,
        model: &Model,
        formula: &setout_formula::Formula,
        targets: &[super::Target],
        kind: Kind,
    ) -> Unit {
        let candidates = formula.margin_units().into_iter().filter_map(|unit| match unit {
            setout_formula::MarginUnit::Literal(unit) => Some(unit),
            setout_formula::MarginUnit::Name(index) => match targets.get(index) {
                Some(super::Target::Slot(slot)) => Some(model.nodes[*slot as usize].unit.clone()),
                _ => None,
            },
        });
        let fits = |unit: &Unit| unit.kind() == kind && !unit.is_reading() && !unit.is_whole();
        candidates.into_iter().find(fits).unwrap_or_else(|| self.material.units.customary(kind))
    }

    /// The ends of a travel depend on no axis: it would move its own limits.
    fn travel(&mut self, model: &mut Model, slot: u32) {
        let Some(ends) = model.limits[&slot].travel else { return };
        let is_axis = |node: &&u32| {
            model.limits.get(node).is_some_and(|limits| limits.travel.is_some())
                && model.is_chosen(**node)
        };
        for end in ends {
            let needed = model.graph.needs([end]);
            let Some(axis) = needed.iter().find(is_axis) else { continue };
            let Some(expr) = model.expr(self.material, end) else { continue };
            let name = &model.nodes[slot as usize].name;
            let message = format!(
                "the travel of `{name}` depends on `{}`, which moves itself",
                model.nodes[*axis as usize].name
            );
            let help = "give the ends as values that stay put while the mechanism runs".into();
            let place = self.place(expr, 0);
            self.faults.push(Fault { place, slug: Slug::BadLimits, message, help });
        }
    }
}
