//! What deserves a look once everything is computed.

mod reachable;
mod unmeetable;
mod untoleranced;

use setout_quantity::{Kind, Unit};

use crate::evaluate::deviations;
use crate::evaluation::Evaluation;
use crate::model::{Calculation, NodeOf};
use crate::{Amount, Warning};

impl Evaluation {
    /// All warnings, of the design and of its values, by place. None while there are faults:
    /// what looks odd may follow from them.
    pub fn warnings(&self) -> Vec<Warning> {
        if !self.faults().is_empty() {
            return Vec::new();
        }
        let mut warnings = self.design.warnings().to_vec();
        warnings.extend(self.constant_checks());
        warnings.extend(self.tolerances_beyond_limits());
        warnings.extend(unmeetable::unmeetable(self));
        warnings.extend(untoleranced::untoleranced(self));
        warnings.sort();
        warnings
    }

    /// Checks that name nothing, so that no change of the design can ever turn them.
    fn constant_checks(&self) -> Vec<Warning> {
        let model = &self.design.model;
        let constant = |check: &&crate::model::CheckNodes| {
            let node = &model.nodes[check.node as usize];
            node.targets.is_empty() && matches!(node.calculation, Calculation::Requirement(_))
        };
        let warning = |check: &crate::model::CheckNodes| {
            let node = &model.nodes[check.node as usize];
            Warning {
                place: node.place.clone(),
                slug: "constant-check",
                name: node.name.to_string(),
                message: format!(
                    "`{}` compares written numbers, so nothing can turn it",
                    node.name
                ),
                help: "name the dimension that the number stands for".into(),
            }
        };
        model.checks.iter().filter(constant).map(warning).collect()
    }

    /// Dimensions whose tolerance alone is wider than their limits are apart.
    fn tolerances_beyond_limits(&self) -> Vec<Warning> {
        let model = &self.design.model;
        let mut warnings = Vec::new();
        for (slot, limits) in model.limits.iter() {
            let (Some(min), Some(max)) = (limits.min, limits.max) else { continue };
            let Some(tolerance) = model.tolerances.get(slot) else { continue };
            let Some(Ok([lower, upper])) = deviations(&tolerance.zone, self.values[*slot as usize])
            else {
                continue;
            };
            let room = self.values[max as usize] - self.values[min as usize];
            if upper - lower <= room
                || !matches!(model.nodes[*slot as usize].of, NodeOf::Dimension { .. })
            {
                continue;
            }
            let node = &model.nodes[*slot as usize];
            let unit = self.unit_of_differences(*slot);
            let shown = |value: f64| {
                let number = unit.difference_from_base(value);
                Amount::Number { number, unit: unit.clone() }
            };
            warnings.push(Warning {
                place: node.place.clone(),
                slug: "wide-tolerance",
                name: node.name.to_string(),
                message: format!(
                    "the tolerance of `{}` spans {}, its limits only {}",
                    node.name,
                    shown(upper - lower),
                    shown(room)
                ),
                help: "limits bound the nominal value; to bound what is made, write a check".into(),
            });
        }
        warnings
    }

    /// The unit that tolerances of a dimension are written in: of a reading, K.
    fn unit_of_differences(&self, slot: u32) -> Unit {
        let unit = &self.design.model.nodes[slot as usize].unit;
        if unit.is_reading() {
            return self.design.material.units.customary(Kind::TEMPERATURE);
        }
        unit.clone()
    }
}
