//! What may be the same thing, though nothing tells.

use std::collections::BTreeSet;

use crate::comparison::Renames;
use crate::{Design, Slug, Source};

/// The names of one sort that two states do not share, less those that were only renamed: what was
/// renamed and changed at once is among them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct Unshared {
    /// Full names that only the state before has.
    pub gone: BTreeSet<String>,
    /// Full names that only the state after has.
    pub new: BTreeSet<String>,
    /// What the state after calls the name that was asked about, where it was renamed.
    pub renamed_to: Option<String>,
    /// Whether the state before has a table that is no YAML, with names that nobody knows.
    pub lost_before: bool,
    /// Whether the state after has one.
    pub lost_after: bool,
}

impl Unshared {
    /// Those of the sort that a full name is of: a check, a dimension, what a part or a row holds.
    pub fn between(before: &dyn Source, after: &dyn Source, name: &str) -> Self {
        let (before, after) = Design::read_both(before, after);
        let is_check = is_check(&before, name) || is_check(&after, name);
        let (old, new) = (alike(&before, name, is_check), alike(&after, name, is_check));
        let renames = Renames::between(&before, &after);
        let follows: BTreeSet<(String, String)> = old
            .iter()
            .map(|name| (name.clone(), renames.apply(name)))
            .filter(|(_, now)| new.contains(now))
            .collect();
        let is_new = |name: &&String| !follows.iter().any(|(_, now)| now == *name);
        let is_gone = |name: &&String| !follows.iter().any(|(was, _)| was == *name);
        let renamed_to = follows.iter().find(|(was, now)| was == name && now != name);
        Self {
            renamed_to: renamed_to.map(|(_, now)| now.clone()),
            gone: old.difference(&new).filter(is_gone).cloned().collect(),
            new: new.difference(&old).filter(is_new).cloned().collect(),
            lost_before: is_torn(&before),
            lost_after: is_torn(&after),
        }
    }
}

fn is_torn(design: &Design) -> bool {
    design.faults().iter().any(|fault| matches!(fault.slug, Slug::Yaml | Slug::Io))
}

fn is_check(design: &Design, name: &str) -> bool {
    let mut checks = design.model.checks.iter();
    checks.any(|check| *design.model.nodes[check.node as usize].name == *name)
}

/// The names that lie as deep as one does and, inside a part or a row, end as it does.
fn alike(design: &Design, name: &str, is_check: bool) -> BTreeSet<String> {
    let depth = |name: &str| name.matches('.').count();
    let inner = |name: &str| name.splitn(3, '.').nth(2).map(str::to_owned);
    let last = |name: &str| inner(name).and_then(|rest| rest.rsplit('.').next().map(str::to_owned));
    let model = &design.model;
    let checks = model.checks.iter().map(|check| &*model.nodes[check.node as usize].name);
    let values = model.nodes[..model.slots].iter().map(|node| &*node.name);
    let names: Vec<&str> = if is_check { checks.collect() } else { values.collect() };
    let fits = |other: &&str| depth(other) == depth(name) && last(other) == last(name);
    names.into_iter().filter(fits).map(str::to_owned).collect()
}
