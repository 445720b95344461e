//! What one line of work tells of the names of another.
//!
//! ```text
//!   A   width -> breadth      B   width: 4 mm
//!    \                       /
//!     M   breadth, of another value than B's
//! ```
//!
//! Between B and M the thing was renamed and changed at once, so that nothing there ties `breadth`
//! to `width`. But on the way through A it leads to the revision that A and B come from, where it
//! is called `width`. So it was at B, or it went somewhere between.

use std::collections::{BTreeSet, HashMap};

use setout_design::Held;

use super::road::Node;

/// What a name of a revision is called at one that it came from: by both and the name.
pub(super) type Called = HashMap<(usize, usize, String), String>;

impl Node {
    pub(super) fn is_absent(&self) -> bool {
        matches!(self.excerpt.held(), Held::Absent)
    }
}

/// The names that a road tells of the lines of work on which it came to nothing, beyond those that
/// are known.
pub(super) fn found_out(nodes: &[Node], known: &Called) -> Called {
    let mut names: HashMap<usize, Vec<&str>> = HashMap::new();
    for node in nodes.iter().filter(|node| !node.is_absent()) {
        names.entry(node.point).or_default().push(&node.name);
    }
    let mut found = Called::new();
    for node in nodes.iter().filter(|node| !node.is_absent() || node.links.len() > 1) {
        for link in &node.links {
            let before = &nodes[link.node];
            let key = (node.point, before.point, node.name.clone());
            if before.name != node.name || !before.is_absent() || known.contains_key(&key) {
                continue;
            }
            if let Some(name) = other_name(nodes, link.node, &names) {
                found.insert(key, name.to_owned());
            }
        }
    }
    found
}

/// The name by which a thing is known at the newest revision behind one at which it is absent, if
/// by its own name it leads to nothing from there.
fn other_name<'n>(
    nodes: &[Node],
    from: usize,
    names: &HashMap<usize, Vec<&'n str>>,
) -> Option<&'n str> {
    let (mut waiting, mut found) = (BTreeSet::from([from]), None);
    while let Some(number) = waiting.pop_first() {
        let node = &nodes[number];
        if let Some(name) = names.get(&node.point).and_then(|names| names.first()) {
            found = found.or(Some(*name));
            continue;
        }
        for link in &node.links {
            let before = &nodes[link.node];
            if !before.is_absent() || before.name != node.name {
                // It leads on from here: another name would cut that off.
                return None;
            }
            waiting.insert(link.node);
        }
    }
    found
}
