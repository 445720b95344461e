//! What the tolerances of dimensions come to, and how their errors fall.

use std::collections::HashMap;

use setout_formula::Type;
use setout_quantity::{Kind, Unit};

use super::compile::Pass;
use super::{Errors, Model, NodeOf};
use crate::document::{Dimension, Process, Spread, Tolerance, Zone};
use crate::{Fault, Slug};

impl Pass<'_> {
    /// The tolerances of all dimensions, processes looked up.
    pub(super) fn tolerances(&mut self, model: &mut Model) {
        for slot in 0..model.slots as u32 {
            let NodeOf::Dimension { table, index } = model.nodes[slot as usize].of else {
                continue;
            };
            let dimension = &self.material.tables[table as usize].dimensions[index as usize];
            let Some(written) = &dimension.tolerance else { continue };
            let Some(tolerance) = self.resolved(written) else { continue };
            let of = model.nodes[slot as usize].kind;
            let kind = match &tolerance.zone {
                Zone::Between { kind, .. } => *kind,
                _ => Kind::LENGTH,
            };
            let fits = match of {
                Type::Quantity(own) => own == kind,
                Type::Reading => kind == Kind::TEMPERATURE,
                Type::Unknown => true,
                _ => false,
            };
            if fits {
                model.errors.insert(slot, self.errors(dimension));
                model.tolerances.insert(slot, tolerance);
                continue;
            }
            let units = &self.material.units;
            let message = format!(
                "`{}` is {}, and the tolerance `{written}` is of {}",
                model.nodes[slot as usize].name,
                of.describe(units),
                units.describe(kind)
            );
            let place = dimension.tolerance_at.as_deref().unwrap_or(&dimension.place).clone();
            let help = match of {
                Type::Quantity(_) | Type::Reading => {
                    format!("write for example `±0.2 {}`", self.difference_unit(of).symbol())
                }
                _ => "take it out: only quantities have tolerances".into(),
            };
            self.faults.push(Fault { place, slug: Slug::UnitMismatch, message, help });
        }
    }

    /// What shares an error is off in the same way, so its spread is one.
    pub(super) fn shared_errors(&mut self, model: &Model) {
        let mut first: HashMap<&str, (u32, &Errors)> = HashMap::new();
        for (slot, errors) in &model.errors {
            let Some(shares) = &errors.shares else { continue };
            let (other, before) = *first.entry(&shares.name).or_insert((*slot, errors));
            let spread =
                |of: &Errors| if of.measured.is_some() { Spread::Normal } else { of.spread };
            if spread(before) == spread(errors) {
                continue;
            }
            let node = &model.nodes[*slot as usize];
            let message = format!(
                "`{}` shares the error `{}` with `{}`, which has another spread: {} and {}",
                node.name,
                shares.name,
                model.nodes[other as usize].name,
                spread(errors),
                spread(before)
            );
            let help = "give both one spread, or one of them an error of its own".to_owned();
            let place = node.place.clone();
            self.faults.push(Fault { place, slug: Slug::BadValue, message, help });
        }
    }

    /// The unit in which differences of a kind are shown.
    fn difference_unit(&self, of: Type) -> Unit {
        match of {
            Type::Reading => self.material.units.customary(Kind::TEMPERATURE),
            of => self.customary(of),
        }
    }

    fn process(&self, name: &str) -> Option<&Process> {
        self.material.common.processes.iter().find(|process| process.name == name)
    }

    /// How the errors of a dimension fall: as it says itself, or else as its process does.
    fn errors(&self, dimension: &Dimension) -> Errors {
        let process = match dimension.tolerance.as_ref().map(|tolerance| &tolerance.zone) {
            Some(Zone::Process(name)) => self.process(name),
            _ => None,
        };
        let shares = dimension.shares.as_deref().cloned();
        Errors {
            spread: dimension.spread.or(process.map(|process| process.spread)).unwrap_or_default(),
            // Who says how errors spread does not mean those that were measured.
            measured: process
                .and_then(|process| process.measured)
                .filter(|_| dimension.spread.is_none()),
            shares: shares.unwrap_or_else(|| process.and_then(|process| process.shares.clone())),
        }
    }

    fn resolved(&self, tolerance: &Tolerance) -> Option<Tolerance> {
        let Zone::Process(name) = &tolerance.zone else { return Some(tolerance.clone()) };
        let process = self.process(name)?;
        let zone = process.tolerance.as_ref()?.zone.clone();
        Some(Tolerance { text: tolerance.text.clone(), zone })
    }
}
