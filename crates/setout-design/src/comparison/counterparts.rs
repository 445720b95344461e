//! Which nodes of two designs are the same thing.

use std::borrow::Cow;
use std::collections::HashMap;

use super::renames::Renames;
use crate::model::{Model, Node, NodeOf};

/// The nodes before of those after.
pub(crate) enum Counterparts {
    /// Both designs have the same things in the same order.
    Same,
    /// By the node after.
    Found(HashMap<u32, u32>),
}

impl Counterparts {
    pub(super) fn between(old: &Model, new: &Model, renames: &Renames) -> Self {
        if renames.is_empty() && old.has_names_of(new) {
            return Self::Same;
        }
        let names =
            numbered(old).map(|(node, of)| ((renames.applied(&of.name), role(of.of)), node));
        let names: HashMap<(Cow<'_, str>, u8), u32> = names.collect();
        let pairs = numbered(new).filter_map(|(node, of)| {
            Some((node, *names.get(&(Cow::Borrowed(&*of.name), role(of.of)))?))
        });
        Self::Found(pairs.collect())
    }

    /// That of a node, if it was there.
    pub(super) fn of(&self, node: u32) -> Option<u32> {
        match self {
            Self::Same => Some(node),
            Self::Found(pairs) => pairs.get(&node).copied(),
        }
    }
}

/// The nodes of a model with their numbers.
fn numbered(model: &Model) -> impl Iterator<Item = (u32, &Node)> {
    model.nodes.iter().enumerate().map(|(node, of)| (node as u32, of))
}

/// Nodes of one name are told apart by what they are.
fn role(of: NodeOf) -> u8 {
    match of {
        NodeOf::Min { .. } => 1,
        NodeOf::Max { .. } => 2,
        NodeOf::TravelFrom { .. } => 3,
        NodeOf::TravelTo { .. } => 4,
        NodeOf::Check { .. } => 5,
        NodeOf::Tight { .. } => 6,
        _ => 0,
    }
}
