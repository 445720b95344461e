//! The way back through history: every revision of a design, newest first.
//!
//! Commits and folders are read once, in order; texts only when they are asked for. Revisions that
//! share a folder's tree share its listing, and a text is known by its blob, so that whoever walks
//! can tell what is new without reading it.

mod date;
mod folders;
mod order;
mod point;

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use crate::diagnose::unread;
use crate::nearest;
use crate::objects::{Commit, Id, Objects};
use crate::refusal::RevisionError;
use crate::revision::Revision;
use crate::revisions::{Revisions, resolve};
use folders::{Finder, Found};
pub use point::Point;

/// The most revisions that are walked.
pub const MOST_REVISIONS: usize = 1_000_000;

/// All revisions that lead to one, none of them before those that came from it; where that leaves
/// a choice, the later committed first.
#[derive(Debug)]
pub struct Walk {
    points: Vec<Point>,
    spots: Vec<Spot>,
    revisions: Revisions,
    cut: Option<String>,
    replaced: bool,
}

/// How one revision stands to the others.
#[derive(Debug)]
struct Spot {
    commit: Id,
    parents: Vec<usize>,
    is_known: bool,
    is_cut: bool,
}

/// A commit as the walk needs it.
struct Step {
    tree: Id,
    parents: Vec<Id>,
    is_cut: bool,
    /// When it was committed, in seconds.
    time: i64,
}

impl Revisions {
    /// All revisions that lead to `tip`. With `since` only those that do not lead to that one as
    /// well; their parents among the others are there to compare with, and are
    /// [known](Walk::is_known) not to be asked for.
    ///
    /// # Errors
    /// When there is no such revision, or a commit or a folder on the way cannot be read.
    pub fn walk(&self, tip: &str, since: Option<&str>) -> Result<Walk, RevisionError> {
        let objects = &**self.repository.lock();
        let tip = resolve(objects, tip)?;
        let known = match since {
            Some(since) => gather(objects, resolve(objects, since)?)?.into_keys().collect(),
            None => HashSet::new(),
        };
        let steps = gather_until(objects, tip, &known)?;
        let order = order::ordered(&steps, tip);
        let numbers: HashMap<Id, usize> =
            order.iter().enumerate().map(|(number, id)| (*id, number)).collect();
        let mut finder = Finder::new(objects, &self.folder);
        let paths = Arc::default();
        let mut walk = Walk {
            points: Vec::with_capacity(order.len()),
            spots: Vec::with_capacity(order.len()),
            revisions: self.clone(),
            cut: None,
            replaced: objects.references().iter().any(|name| name.starts_with("refs/replace/")),
        };
        let mut wanted: Vec<Option<Arc<str>>> = vec![None; order.len()];
        for (number, id) in order.iter().enumerate() {
            let step = &steps[id];
            let parents: Vec<usize> =
                step.parents.iter().filter_map(|parent| numbers.get(parent).copied()).collect();
            let found = finder.find(step.tree, wanted[number].as_ref()).map_err(|error| {
                unread(objects, &format!("the folders of revision {id}"), *id, error)
            })?;
            if let Found::Design { folder, .. } = &found {
                for parent in &parents {
                    wanted[*parent].get_or_insert_with(|| Arc::clone(folder));
                }
            } else if let Some(folder) = wanted[number].clone() {
                for parent in &parents {
                    wanted[*parent].get_or_insert_with(|| Arc::clone(&folder));
                }
            }
            let repository = Arc::clone(&self.repository);
            let paths = Arc::clone(&paths);
            walk.points.push(Point::new(repository, *id, step.tree, found, paths));
            let (is_known, is_cut) = (known.contains(id), step.is_cut);
            walk.spots.push(Spot { commit: *id, parents, is_known, is_cut });
        }
        if walk.spots.iter().any(|spot| spot.is_cut && !spot.is_known) {
            walk.cut = Some(nearest::unshallow(objects));
        }
        Ok(walk)
    }
}

impl Walk {
    /// How many revisions there are.
    pub fn len(&self) -> usize {
        self.points.len()
    }

    /// Whether there are none, which is never so.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// The design at a revision, by its number: 0 is the one that was asked for.
    pub fn point(&self, number: usize) -> &Point {
        &self.points[number]
    }

    /// The numbers of a revision's parents, in git's order.
    pub fn parents(&self, number: usize) -> &[usize] {
        &self.spots[number].parents
    }

    /// Whether the revision is only there to compare with: it was known `since`.
    pub fn is_known(&self, number: usize) -> bool {
        self.spots[number].is_known
    }

    /// Whether a shallow clone left out the parents of this revision.
    pub fn is_cut(&self, number: usize) -> bool {
        self.spots[number].is_cut
    }

    /// Where a shallow clone cuts the walk: the command that fetches what is missing.
    pub fn fetch(&self) -> Option<&str> {
        self.cut.as_deref()
    }

    /// Whether the repository has replacements for objects (`git replace`). They are not used:
    /// history is told as it was recorded.
    pub fn has_replacements(&self) -> bool {
        self.replaced
    }

    /// Who made a revision, when and why.
    ///
    /// # Errors
    /// When the commit cannot be read.
    pub fn revision(&self, number: usize) -> Result<Revision, RevisionError> {
        let shared = &self.revisions.repository;
        let objects = &**shared.lock();
        let id = self.spots[number].commit;
        let commit = read(objects, id)?;
        let folder = self.points[number].folder().unwrap_or_default().to_owned();
        Ok(Revision::new(Arc::clone(shared), &commit, objects.short(id), folder))
    }
}

fn read(objects: &dyn Objects, id: Id) -> Result<Commit, RevisionError> {
    objects.commit(id).map_err(|error| unread(objects, "a revision", id, error))
}

fn gather(objects: &dyn Objects, tip: Id) -> Result<HashMap<Id, Step>, RevisionError> {
    gather_until(objects, tip, &HashSet::new())
}

/// All commits that lead to one; the parents of those that are known are not looked for.
fn gather_until(
    objects: &dyn Objects,
    tip: Id,
    known: &HashSet<Id>,
) -> Result<HashMap<Id, Step>, RevisionError> {
    let mut found = HashMap::new();
    let mut waiting = vec![tip];
    while let Some(id) = waiting.pop() {
        if found.contains_key(&id) {
            continue;
        }
        if found.len() == MOST_REVISIONS {
            return Err(RevisionError::TooManyRevisions { limit: MOST_REVISIONS });
        }
        let commit = read(objects, id)?;
        let time = commit.committed();
        let parents = if known.contains(&id) { Vec::new() } else { commit.parents };
        waiting.extend(parents.iter().rev());
        found.insert(id, Step { tree: commit.tree, parents, is_cut: commit.is_cut, time });
    }
    Ok(found)
}
