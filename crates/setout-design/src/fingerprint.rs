//! Hashes of what a design or a part comes to, free of notes, order and layout.

use sha2::{Digest, Sha256};

use crate::document::Zone;
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
/// model with what that includes. `rename` gives the names that go into the hash: a dimension that
/// was only renamed does not make a part anew.
pub(crate) fn of_part(
    evaluation: &Evaluation,
    part: &PartNodes,
    rename: &dyn Fn(&str) -> String,
) -> String {
    let model = &evaluation.design.model;
    let material = &evaluation.design.material;
    let written = &material.tables[part.table as usize].parts[part.index as usize];
    let mut records: Vec<Vec<String>> = part
        .uses
        .iter()
        .map(|slot| {
            let name = rename(&model.nodes[*slot as usize].name);
            vec![name, exact(evaluation.amount(*slot)), tolerance(evaluation, *slot)]
        })
        .collect();
    records.sort_unstable();
    let text = |literal: &Option<crate::document::Literal>| {
        literal.as_ref().map_or_else(String::new, |literal| literal.text().to_owned())
    };
    let cad = written.cad.as_ref().and_then(|cad| material.cad.get(cad.path.as_ref()?));
    let source = cad.map_or_else(String::new, |cad| cad.digest.clone());
    records.push(vec!["made".into(), text(&written.made), text(&written.material), source]);
    digest(records)
}
