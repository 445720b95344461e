//! All formulas and tolerances of a design as they were written, each with what its names stand for
//! and what it came to: for those who want to compute it again by other means.

use std::sync::Arc;

use crate::document::{Tolerance, Value, Zone};
use crate::evaluation::Evaluation;
use crate::model::{NodeOf, Target};
use crate::verdict::Verdict;
use crate::{Amount, Place};

/// What a formula is to its design.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Role {
    /// The value of a dimension.
    Dimension,
    /// A cell of a schedule.
    Cell,
    /// What a part costs.
    Cost,
    /// What a part weighs.
    Mass,
    /// How many there are of a part.
    Quantity,
    /// What all parts cost together; no formula was written.
    TotalCost,
    /// What all parts weigh together; no formula was written.
    TotalMass,
    /// A dimension's lower limit.
    Min,
    /// A dimension's upper limit.
    Max,
    /// The first end of a travel.
    TravelFrom,
    /// The second end of a travel.
    TravelTo,
    /// A check's requirement.
    Check,
    /// The margin below which a check is tight.
    Tight,
    /// How far a dimension may lie below its nominal value; what was written is a tolerance.
    LowerDeviation,
    /// How far a dimension may lie above its nominal value; what was written is a tolerance.
    UpperDeviation,
}

impl Role {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Dimension | Self::Cell => "value",
            Self::Cost | Self::TotalCost => "cost",
            Self::Mass | Self::TotalMass => "mass",
            Self::Quantity => "quantity",
            Self::Min => "min",
            Self::Max => "max",
            Self::TravelFrom => "first end of its travel",
            Self::TravelTo => "second end of its travel",
            Self::Check => "margin",
            Self::Tight => "tight",
            Self::LowerDeviation => "lower deviation",
            Self::UpperDeviation => "upper deviation",
        }
    }

    /// Whether a tolerance was written, and no formula.
    pub fn is_deviation(self) -> bool {
        matches!(self, Self::LowerDeviation | Self::UpperDeviation)
    }
}

/// What a name in a formula stands for, by full names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StandsFor {
    /// A value.
    Value(Arc<str>),
    /// The cells of a column, row by row.
    Column(Vec<Arc<str>>),
}

/// A formula, a literal text or a tolerance as it was written.
#[derive(Clone, Debug)]
pub struct WrittenFormula {
    /// The full name of what it belongs to.
    pub name: Arc<str>,
    /// What it is to that.
    pub role: Role,
    /// Where it stands.
    pub place: Place,
    /// The text. Of the tolerance of a process it is what the process says.
    pub written: String,
    /// Whether the text is literal rather than a formula.
    pub is_literal: bool,
    /// The names it uses, as written. A tolerance uses its dimension.
    pub names: Vec<(String, StandsFor)>,
    /// What it came to: of a check its margin at rest, or where it has none whether it holds.
    pub value: Option<Amount>,
    /// Of a check: whether it holds at rest.
    pub holds: Option<bool>,
}

impl Evaluation {
    /// All formulas and literal texts, in the order of the tables; limits, checks and tolerances
    /// follow the values.
    pub fn formulas(&self) -> Vec<WrittenFormula> {
        let model = &self.design.model;
        let formulas = (0..model.nodes.len() as u32).filter_map(|node| self.formula(node));
        let slots = 0..model.slots as u32;
        formulas.chain(slots.filter_map(|slot| self.tolerance(slot)).flatten()).collect()
    }

    /// The symbols of all moneys, and what each is worth in the currency.
    pub fn moneys(&self) -> Vec<(String, f64)> {
        let common = &self.design.material.common;
        let own = common.currency.iter().map(|code| (code.clone(), 1.0));
        own.chain(common.rates.iter().map(|rate| (rate.code.clone(), rate.worth))).collect()
    }

    fn formula(&self, number: u32) -> Option<WrittenFormula> {
        let (model, material) = (&self.design.model, &self.design.material);
        let node = &model.nodes[number as usize];
        let expr = model.expr(material, number);
        let literal = match self.design.value_at(number) {
            Some(Value::Text(literal)) => Some(literal.text().to_owned()),
            _ => None,
        };
        let role = role(node.of);
        let one = || (role == Role::Quantity).then(|| "1".to_owned());
        let is_total = matches!(role, Role::TotalCost | Role::TotalMass);
        let written = match expr {
            Some(expr) => expr.text().to_owned(),
            None if is_total => String::new(),
            None => literal.clone().or_else(one)?,
        };
        let (value, holds) = self.outcome(number, role);
        if is_total && value.is_none() {
            return None;
        }
        let place = match expr {
            Some(expr) => material.files[expr.file as usize].place(expr.scalar.source_offset(0)),
            None => node.place.clone(),
        };
        let names = expr.and_then(|expr| expr.formula.as_ref()).map_or(&[][..], |f| f.names());
        let names = names
            .iter()
            .zip(&node.targets)
            .filter_map(|(name, target)| Some((name.name.to_string(), self.stands_for(*target)?)));
        let names = names.collect();
        let is_literal = literal.is_some();
        Some(WrittenFormula {
            name: node.name.as_str().into(),
            role,
            place,
            written,
            is_literal,
            names,
            value,
            holds,
        })
    }

    /// Both deviations of a dimension for which a tolerance was written.
    fn tolerance(&self, slot: u32) -> Option<[WrittenFormula; 2]> {
        let (model, material) = (&self.design.model, &self.design.material);
        let node = &model.nodes[slot as usize];
        let NodeOf::Dimension { table, index } = node.of else { return None };
        let dimension = &material.tables[table as usize].dimensions[index as usize];
        let written = self.tolerance_text(dimension.tolerance.as_ref()?)?;
        let deviations = self.deviations(slot);
        let place = dimension.tolerance_at.as_deref().unwrap_or(&dimension.place);
        let deviation = |(at, role): (usize, Role)| WrittenFormula {
            name: node.name.as_str().into(),
            role,
            place: place.clone(),
            written: written.to_owned(),
            is_literal: false,
            names: vec![(node.name.to_string(), StandsFor::Value(node.name.as_str().into()))],
            value: deviations
                .map(|both| Amount::Number { number: both[at], unit: node.unit.clone() }),
            holds: None,
        };
        Some([(0, Role::LowerDeviation), (1, Role::UpperDeviation)].map(deviation))
    }

    /// What a tolerance says; of a process what it says there.
    fn tolerance_text<'a>(&'a self, tolerance: &'a Tolerance) -> Option<&'a str> {
        let Zone::Process(name) = &tolerance.zone else { return Some(&tolerance.text) };
        let processes = &self.design.material.common.processes;
        let process = processes.iter().find(|process| process.name == *name)?;
        Some(&process.tolerance.as_ref()?.text)
    }

    fn stands_for(&self, target: Target) -> Option<StandsFor> {
        let model = &self.design.model;
        let name = |slot: u32| model.nodes[slot as usize].name.as_str().into();
        match target {
            Target::Slot(slot) => Some(StandsFor::Value(name(slot))),
            Target::Column { schedule, column } => {
                let cells = &model.schedules[schedule as usize].columns[column as usize];
                Some(StandsFor::Column(cells.iter().map(|slot| name(*slot)).collect()))
            }
            Target::Unknown => None,
        }
    }

    /// What a formula came to, and of a check whether it holds.
    fn outcome(&self, number: u32, role: Role) -> (Option<Amount>, Option<bool>) {
        let check = match self.design.model.nodes[number as usize].of {
            NodeOf::Check { check } | NodeOf::Tight { check } => &self.checks()[check as usize],
            _ if role == Role::TotalCost => return (self.cost(), None),
            _ => return (self.amount(number), None),
        };
        let amount = |number| Amount::Number { number, unit: check.unit.clone() };
        if role == Role::Tight {
            return (check.tight.map(amount), None);
        }
        let holds = match check.rest.verdict {
            Verdict::Unknown => return (None, None),
            verdict => verdict != Verdict::Fails,
        };
        (Some(check.rest.margin.map_or(Amount::Truth(holds), amount)), Some(holds))
    }
}

fn role(of: NodeOf) -> Role {
    match of {
        NodeOf::Dimension { .. } => Role::Dimension,
        NodeOf::Cell { .. } => Role::Cell,
        NodeOf::Cost { .. } => Role::Cost,
        NodeOf::Mass { .. } => Role::Mass,
        NodeOf::Quantity { .. } => Role::Quantity,
        NodeOf::DesignCost => Role::TotalCost,
        NodeOf::DesignMass => Role::TotalMass,
        NodeOf::Min { .. } => Role::Min,
        NodeOf::Max { .. } => Role::Max,
        NodeOf::TravelFrom { .. } => Role::TravelFrom,
        NodeOf::TravelTo { .. } => Role::TravelTo,
        NodeOf::Check { .. } => Role::Check,
        NodeOf::Tight { .. } => Role::Tight,
    }
}
