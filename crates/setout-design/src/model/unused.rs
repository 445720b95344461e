//! Dimensions that nothing uses.

use super::{Model, NodeOf};
use crate::Warning;

/// A warning for every dimension that no formula, check, limit or part uses.
pub(crate) fn unused(model: &Model) -> Vec<Warning> {
    let mut used = vec![false; model.slots];
    for slot in model.parts.iter().flat_map(|part| &part.uses) {
        used[*slot as usize] = true;
    }
    let nodes = model.nodes[..model.slots].iter().enumerate();
    nodes
        .filter(|(slot, node)| {
            let slot = *slot as u32;
            matches!(node.of, NodeOf::Dimension { .. })
                && !used[slot as usize]
                && model.graph.dependents(slot).is_empty()
                // A result with limits is there to be held to them.
                && (node.targets.is_empty() || !model.limits.contains_key(&slot))
        })
        .map(|(_, node)| Warning {
            place: node.place.clone(),
            slug: "unused",
            name: node.name.to_string(),
            message: format!("nothing uses `{}`", node.name),
            help: "name it in a formula, a check or a part's `uses`, or take it out".into(),
        })
        .collect()
}
