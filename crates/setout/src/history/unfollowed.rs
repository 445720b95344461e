//! Where a name begins or ends while another ends or begins: it may be the same thing.

use std::collections::BTreeSet;

use setout_design::{Unshared, likeness};
use setout_store::Revision;

use super::road::{Node, Road};
use super::{Cause, HistoryError};

/// A revision at which a name begins or ends, while the thing may go by another: nothing ties the
/// two where it was renamed and changed at once, and a name is followed back only, not to what it
/// became on a line of work. What it was worth under the other name is left out.
#[derive(Debug)]
#[non_exhaustive]
pub struct Unfollowed {
    /// The revision.
    pub revision: Revision,
    /// The name that begins or ends there.
    pub name: String,
    /// Whether it begins, [`Cause::Added`], or ends, [`Cause::Removed`].
    pub cause: Cause,
    /// The full names that end or begin there, of which one may be the same thing; those most like
    /// `name` first.
    pub maybe: Vec<String>,
    /// Whether a table is no YAML on the other side, which may have it by any name.
    pub unread: bool,
}

/// Names by their likeness to one, and those that are as alike by themselves.
fn most_alike_first(names: BTreeSet<String>, name: &str) -> Vec<String> {
    let mut names: Vec<String> = names.into_iter().collect();
    // The set was in order, and this keeps it.
    names.sort_by(|a, b| likeness(b, name).total_cmp(&likeness(a, name)));
    names
}

impl Road<'_> {
    /// All such revisions, newest first, with the numbers of their nodes.
    pub(super) fn unfollowed(&self) -> Result<Vec<(usize, Unfollowed)>, HistoryError> {
        let mut found = Vec::new();
        for (number, node) in self.nodes.iter().enumerate() {
            let absent = node.links.iter().filter(|link| self.nodes[link.node].is_absent()).count();
            let begins = !node.is_absent() && absent > 0 && absent == node.links.len();
            let ends = node.is_absent() && absent < node.links.len();
            if !begins && !ends {
                continue;
            }
            let (maybe, unread) = if begins { self.ended_at(node) } else { self.begun_at(node) };
            if !maybe.is_empty() || unread {
                let untied = Unfollowed {
                    revision: self.walk.revision(node.point)?,
                    name: node.name.clone(),
                    cause: if begins { Cause::Added } else { Cause::Removed },
                    maybe: most_alike_first(maybe, &node.name),
                    unread,
                };
                found.push((number, untied));
            }
        }
        Ok(found)
    }

    /// For each of the revisions before what it does not share with this.
    fn unshared<'n>(&'n self, node: &'n Node) -> impl Iterator<Item = Unshared> + 'n {
        let befores = node.links.iter().map(|link| &self.nodes[link.node]);
        let (walk, after) = (self.walk, self.walk.point(node.point));
        befores.filter(|before| !walk.point(before.point).is_bare() && !after.is_bare()).map(
            move |before| {
                let name = if node.is_absent() { &before.name } else { &node.name };
                Unshared::between(walk.point(before.point), after, name)
            },
        )
    }

    /// What any revision before has, and this has not.
    fn ended_at(&self, node: &Node) -> (BTreeSet<String>, bool) {
        let mut all = (BTreeSet::new(), false);
        for unshared in self.unshared(node) {
            all.0.extend(unshared.gone);
            all.1 |= unshared.lost_before;
        }
        all
    }

    /// What it is renamed to, or else what this has, and no revision before.
    fn begun_at(&self, node: &Node) -> (BTreeSet<String>, bool) {
        let (mut all, mut unread) = (None::<BTreeSet<String>>, false);
        for unshared in self.unshared(node) {
            if let Some(name) = unshared.renamed_to {
                return (BTreeSet::from([name]), false);
            }
            unread |= unshared.lost_after;
            all = Some(match all {
                None => unshared.new,
                Some(all) => all.intersection(&unshared.new).cloned().collect(),
            });
        }
        (all.unwrap_or_default(), unread)
    }
}
