//! Formulas with their numbers filled in.

use std::fmt;
use std::sync::Arc;

use crate::material::Material;
use crate::model::{Model, Target};
use crate::{Amount, Design};

/// A requirement with its numbers filled in. It is written out when it is shown: of a design's
/// checks few ever are.
///
/// ```
/// use setout_design::{Design, Memory};
/// let lid = "
/// dimensions: { width: 62 mm, wall: 2 mm }
/// checks: { room: { require: width - 2 * wall >= 50 mm, why: the board is that wide } }
/// ";
/// let texts = Memory::new([("design.yaml", "setout: 1\nname: a lid\n"), ("lid.yaml", lid)]);
/// let evaluation = Design::read(&texts).evaluate();
/// assert_eq!(evaluation.checks()[0].filled_in.to_string(), "62 mm - 2 * 2 mm >= 50 mm");
/// ```
#[derive(Clone)]
pub struct FilledIn {
    model: Arc<Model>,
    material: Arc<Material>,
    values: Arc<Vec<f64>>,
    node: u32,
}

impl FilledIn {
    /// That of a node, from the values of all.
    pub(crate) fn of(design: &Design, values: &Arc<Vec<f64>>, node: u32) -> Self {
        let (model, material) = (design.model.clone(), design.material.clone());
        Self { model, material, values: values.clone(), node }
    }
}

impl fmt::Display for FilledIn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&filled_in(&self.model, &self.material, &self.values, self.node))
    }
}

impl fmt::Debug for FilledIn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?}", self.to_string())
    }
}

impl PartialEq for FilledIn {
    fn eq(&self, other: &Self) -> bool {
        self.to_string() == other.to_string()
    }
}

/// A node's formula with its numbers filled in.
pub(crate) fn filled_in(model: &Model, material: &Material, values: &[f64], node: u32) -> String {
    let Some(expr) = model.expr(material, node) else { return String::new() };
    let Some(formula) = &expr.formula else { return String::new() };
    let targets = &model.nodes[node as usize].targets;
    let text = formula.filled_in(|index| {
        let Some(Target::Slot(slot)) = targets.get(index) else { return None };
        let of = &model.nodes[*slot as usize];
        let amount = Amount::of(values[*slot as usize], of.kind, &of.unit, &model.texts)?;
        Some(match amount {
            Amount::Text(text) => format!("\"{text}\""),
            Amount::Number { number, .. } if number < 0.0 => format!("({amount})"),
            amount => amount.to_string(),
        })
    });
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
