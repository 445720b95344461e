//! Hashes of what a design or a part comes to, free of notes, order and layout.

use std::borrow::Cow;

use sha2::{Digest, Sha256};

use crate::document::{Literal, Zone};
use crate::model::{NodeOf, PartNodes};
use crate::{Amount, Evaluation};

/// How many hexadecimal digits of the hash are kept: 128 bits.
const DIGITS: usize = 32;

/// Hashes records, each a list of fields. Lengths go first, so that no two lists of fields run
/// together.
fn digest(records: impl IntoIterator<Item = Vec<String>>) -> String {
    let mut hash = Sha256::new();
    for record in records {
        hash.update((record.len() as u64).to_le_bytes());
        for field in record {
            hash.update((field.len() as u64).to_le_bytes());
            hash.update(field.as_bytes());
        }
    }
    let text: String = hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
    text[..DIGITS].to_owned()
}

/// A value to the last bit, with its unit.
fn exact(amount: Option<Amount>) -> String {
    match amount {
        Some(Amount::Number { number, unit }) => format!("{number:?} {}", unit.symbol()),
        Some(Amount::Text(text)) => format!("{text:?}"),
        Some(Amount::Truth(truth)) => truth.to_string(),
        None => "?".into(),
    }
}

pub(crate) fn of_design(evaluation: &Evaluation) -> String {
    let model = &evaluation.design.model;
    let mut records: Vec<Vec<String>> = Vec::new();
    for (node, of) in model.nodes.iter().enumerate() {
        let role = match of.of {
            NodeOf::Check { .. } | NodeOf::DesignCost | NodeOf::DesignMass => continue,
            NodeOf::Min { .. } => "min",
            NodeOf::Max { .. } => "max",
            NodeOf::TravelFrom { .. } => "from",
            NodeOf::TravelTo { .. } => "to",
            NodeOf::Tight { .. } => "tight",
            _ => "value",
        };
        let amount = evaluation.amount(node as u32);
        records.push(vec![role.into(), of.name.to_string(), exact(amount)]);
    }
    for slot in model.tolerances.keys() {
        records.push(vec![
            "tolerance".into(),
            model.nodes[*slot as usize].name.to_string(),
            tolerance(evaluation, *slot),
        ]);
    }
    for check in evaluation.checks() {
        let words: Vec<_> = check.requirement.split_whitespace().collect();
        records.push(vec!["check".into(), check.name.clone(), words.join(" ")]);
    }
    for part in evaluation.parts() {
        let text = |text: Option<String>| text.unwrap_or_default();
        records.push(vec![
            "part".into(),
            part.name,
            text(part.made),
            text(part.material),
            text(part.cad),
        ]);
    }
    records.sort_unstable();
    digest(records)
}

fn tolerance(evaluation: &Evaluation, slot: u32) -> String {
    let Some(tolerance) = evaluation.design.model.tolerances.get(&slot) else {
        return String::new();
    };
    match &tolerance.zone {
        Zone::Between { lower, upper, .. } => format!("{lower:?} {upper:?}"),
        Zone::Class(name) | Zone::Process(name) => name.clone(),
    }
}

/// What a part is made by: the dimensions it uses with their tolerances, how it is made, and its
/// model with what that includes.
struct Governed<'a> {
    /// By name.
    uses: Vec<Use<'a>>,
    made: &'a str,
    material: &'a str,
    /// The digest of the model.
    source: &'a str,
}

struct Use<'a> {
    name: Cow<'a, str>,
    slot: u32,
    of: &'a Evaluation,
}

impl<'a> Governed<'a> {
    /// `rename` gives the names that count: a dimension that was only renamed does not make a part
    /// anew.
    fn of(
        evaluation: &'a Evaluation,
        part: &PartNodes,
        rename: &dyn Fn(&'a str) -> Cow<'a, str>,
    ) -> Self {
        let model = &evaluation.design.model;
        let material = &evaluation.design.material;
        let written = &material.tables[part.table as usize].parts[part.index as usize];
        let named = |slot: &u32| {
            let name = rename(&model.nodes[*slot as usize].name);
            Use { name, slot: *slot, of: evaluation }
        };
        let mut uses: Vec<Use<'a>> = part.uses.iter().map(named).collect();
        uses.sort_unstable_by(|a, b| a.name.cmp(&b.name));
        let text = |literal: &'a Option<Literal>| literal.as_ref().map_or("", Literal::text);
        let cad = written.cad.as_ref().and_then(|cad| material.cad.get(cad.path.as_ref()?));
        Self {
            uses,
            made: text(&written.made),
            material: text(&written.material),
            source: cad.map_or("", |cad| &cad.digest),
        }
    }
}

impl Use<'_> {
    fn record(&self) -> Vec<String> {
        let amount = exact(self.of.amount(self.slot));
        vec![self.name.to_string(), amount, tolerance(self.of, self.slot)]
    }

    /// Whether the records are the same, without writing them.
    fn is_as(&self, other: &Self) -> bool {
        let zone = |of: &Self| of.of.design.model.tolerances.get(&of.slot).map(|t| &t.zone);
        let same_zone = match (zone(self), zone(other)) {
            (
                Some(Zone::Between { lower: a, upper: b, .. }),
                Some(Zone::Between { lower: c, upper: d, .. }),
            ) => a.to_bits() == c.to_bits() && b.to_bits() == d.to_bits(),
            (None, None) => true,
            _ => tolerance(self.of, self.slot) == tolerance(other.of, other.slot),
        };
        let same_amount = match (self.of.amount(self.slot), other.of.amount(other.slot)) {
            (
                Some(Amount::Number { number: a, unit: u }),
                Some(Amount::Number { number: b, unit: v }),
            ) => a.to_bits() == b.to_bits() && u.symbol() == v.symbol(),
            (a, b) => a == b,
        };
        same_amount && same_zone && self.name == other.name
    }
}

/// Hashes what a part is made by.
pub(crate) fn of_part(evaluation: &Evaluation, part: &PartNodes) -> String {
    hashed(&Governed::of(evaluation, part, &|name| Cow::Borrowed(name)))
}

fn hashed(part: &Governed<'_>) -> String {
    let mut records: Vec<Vec<String>> = part.uses.iter().map(Use::record).collect();
    let made = ["made", part.made, part.material, part.source];
    records.push(made.map(str::to_owned).to_vec());
    digest(records)
}

/// Whether a part is made by the same before and after: whether its fingerprints are the same,
/// with dimensions before bearing the names that they have after.
pub(crate) fn is_made_alike<'a>(
    (before, old): (&'a Evaluation, &PartNodes),
    (after, new): (&'a Evaluation, &PartNodes),
    rename: &dyn Fn(&'a str) -> Cow<'a, str>,
) -> bool {
    let old = Governed::of(before, old, rename);
    let new = Governed::of(after, new, &|name| Cow::Borrowed(name));
    let alike = (old.made, old.material, old.source) == (new.made, new.material, new.source)
        && old.uses.len() == new.uses.len()
        && old.uses.iter().zip(&new.uses).all(|(old, new)| old.is_as(new));
    debug_assert_eq!(alike, hashed(&old) == hashed(&new), "fingerprints tell the same");
    alike
}
