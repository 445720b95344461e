//! The order of a walk: children before parents, and then by the clock of the committer.

use std::collections::{BinaryHeap, HashMap};

use super::Step;
use crate::objects::Id;

/// The commits in order, the tip first. A clock that ran backwards never puts a parent before its
/// child; equal times leave the order in which commits were come by, which is that of the parents.
pub(super) fn ordered(found: &HashMap<Id, Step>, tip: Id) -> Vec<Id> {
    let mut children: HashMap<Id, usize> = HashMap::with_capacity(found.len());
    for step in found.values() {
        for parent in distinct(&step.parents) {
            *children.entry(parent).or_default() += 1;
        }
    }
    let mut ready = BinaryHeap::from([(found[&tip].time, 0_i64, tip)]);
    let (mut order, mut come_by) = (Vec::with_capacity(found.len()), 0_i64);
    while let Some((_, _, id)) = ready.pop() {
        order.push(id);
        for parent in distinct(&found[&id].parents) {
            let left = children.get_mut(&parent).expect("every parent was counted");
            *left -= 1;
            if *left == 0 {
                come_by -= 1;
                ready.push((found[&parent].time, come_by, parent));
            }
        }
    }
    order
}

/// A merge may name one parent twice.
pub(super) fn distinct(parents: &[Id]) -> Vec<Id> {
    let mut seen = Vec::with_capacity(parents.len());
    for parent in parents {
        if !seen.contains(parent) {
            seen.push(*parent);
        }
    }
    seen
}
