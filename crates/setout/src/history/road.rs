//! The road of one name back through history: through renames, past what cannot be read.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use setout_design::{Excerpt, Excerpts, Fault, Held, Told, name_after, name_before};
use setout_store::Walk;

use super::error::HistoryError;
use super::rounds::{Called, found_out};
use super::{End, Skipped, Why, names};

/// The revisions that a name has come through, newest first.
pub(super) struct Road<'w> {
    pub(super) walk: &'w Walk,
    pub(super) nodes: Vec<Node>,
    pub(super) looked_at: usize,
    skipped: BTreeMap<(usize, String), Vec<Fault>>,
    /// The nodes that the walk begins with: one, unless the first revision cannot be evaluated.
    pub(super) first: Vec<usize>,
    excerpts: RefCell<Excerpts>,
}

/// A name at a revision.
#[derive(Debug)]
pub(super) struct Node {
    pub(super) point: usize,
    pub(super) name: String,
    pub(super) excerpt: Arc<Excerpt>,
    pub(super) links: Vec<Link>,
    pub(super) end: Option<Why>,
    pub(super) is_known: bool,
}

/// From a revision to one that it came from.
#[derive(Debug)]
pub(super) struct Link {
    pub(super) node: usize,
    /// Whether revisions that cannot be evaluated lie between them.
    pub(super) across: bool,
}

/// So many names are followed. More cannot come of renames that people make.
const MOST_NAMES: usize = 256;
/// So often the walk begins anew with names that it found out: once for each merge of a line of
/// work within another, at worst.
const MOST_ROUNDS: usize = 256;
/// So many revisions before one are looked for past those that cannot be evaluated.
const MOST_FOREBEARS: usize = 1000;

/// What was found on the way back from one revision.
struct Forebears {
    found: Vec<(usize, String, bool)>,
    /// Whether some way back ends where a shallow clone does, or at what cannot be evaluated.
    end: Option<Why>,
}

struct Builder<'w> {
    walk: &'w Walk,
    excerpts: Excerpts,
    memo: HashMap<(usize, String), Arc<Excerpt>>,
    skipped: BTreeMap<(usize, String), Vec<Fault>>,
    names: BTreeSet<String>,
    /// What other lines of work tell of names.
    called: Called,
}

impl<'w> Road<'w> {
    pub(super) fn of(walk: &'w Walk, name: &str) -> Result<Self, HistoryError> {
        let mut builder = Builder {
            walk,
            excerpts: Excerpts::new(),
            memo: HashMap::new(),
            skipped: BTreeMap::new(),
            names: BTreeSet::from([name.to_owned()]),
            called: Called::new(),
        };
        let mut road = builder.build(name)?;
        for round in 0.. {
            let called = match builder.names.len() {
                1 => break,
                _ => found_out(&road.nodes, &builder.called),
            };
            if called.is_empty() {
                break;
            }
            if round == MOST_ROUNDS {
                return Err(HistoryError::TooManyNames { limit: MOST_ROUNDS });
            }
            builder.called.extend(called);
            builder.memo.clear();
            builder.skipped.clear();
            road = builder.build(name)?;
        }
        road.skipped = builder.skipped;
        road.excerpts = RefCell::new(builder.excerpts);
        let is_absent = |node: &Node| matches!(node.excerpt.held(), Held::Absent);
        if road.skipped.is_empty() && road.nodes.iter().all(is_absent) {
            return Err(names::unknown(walk, name));
        }
        Ok(road)
    }

    /// How the name stands at the revision that was asked for.
    pub(super) fn now(&self) -> Held {
        match (self.skipped.iter().find(|((point, _), _)| *point == 0), self.nodes.first()) {
            (Some((_, faults)), _) => Held::Faulty(faults.clone()),
            (None, Some(node)) => node.excerpt.held().clone(),
            (None, None) => Held::Absent,
        }
    }

    pub(super) fn told(&self, before: &Node, after: &Node) -> Result<Told, HistoryError> {
        let side = |node: &'_ Node| self.walk.point(node.point);
        let (was, is) = (side(before), side(after));
        let told = self.excerpts.borrow_mut().told((was, &before.name), (is, &after.name));
        told.map_err(HistoryError::Faults)
    }

    /// What a name that is gone is called since.
    pub(super) fn renamed_to(&self, node: &Node) -> Option<String> {
        let before = &self.nodes[node.links.first()?.node];
        name_after(self.walk.point(before.point), self.walk.point(node.point), &before.name)
    }

    pub(super) fn skipped(&self) -> Result<Vec<Skipped>, HistoryError> {
        let skipped = self.skipped.iter().map(|((point, name), faults)| {
            let revision = self.walk.revision(*point)?;
            Ok(Skipped { revision, name: name.clone(), faults: faults.clone() })
        });
        skipped.collect()
    }

    pub(super) fn ends(&self) -> Result<Vec<End>, HistoryError> {
        let ends = self.nodes.iter().filter_map(|node| Some((node, node.end?)));
        let ends = ends.map(|(node, why)| {
            let revision = self.walk.revision(node.point)?;
            let standing = node.excerpt.held().clone();
            Ok(End { revision, name: node.name.clone(), standing, why })
        });
        ends.collect()
    }
}

impl<'w> Builder<'w> {
    fn build(&mut self, name: &str) -> Result<Road<'w>, HistoryError> {
        let walk = self.walk;
        let mut pending: Vec<BTreeSet<String>> = vec![BTreeSet::new(); walk.len()];
        let mut nodes: Vec<Node> = Vec::new();
        let mut numbers: HashMap<(usize, String), usize> = HashMap::new();
        let mut forebears: Vec<Vec<(usize, String, bool)>> = Vec::new();
        let mut looked_at = 0;
        let first: Vec<_> = match self.is_readable(0, name) {
            true => vec![(0, name.to_owned(), false)],
            false => self.before(0, name)?.found,
        };
        for (point, name, _) in &first {
            pending[*point].insert(name.clone());
        }
        for point in 0..walk.len() {
            looked_at += usize::from(!walk.is_known(point));
            for name in std::mem::take(&mut pending[point]) {
                let before = match walk.is_known(point) {
                    true => Forebears { found: Vec::new(), end: Some(Why::Since) },
                    false => self.before(point, &name)?,
                };
                for (parent, name, _) in &before.found {
                    pending[*parent].insert(name.clone());
                }
                numbers.insert((point, name.clone()), nodes.len());
                let end = before.end.filter(|_| before.found.is_empty());
                nodes.push(Node {
                    point,
                    excerpt: self.excerpt(point, &name),
                    name,
                    links: Vec::new(),
                    end,
                    is_known: walk.is_known(point),
                });
                forebears.push(before.found);
                self.memo.retain(|(other, _), _| *other > point);
            }
        }
        for (node, before) in nodes.iter_mut().zip(forebears) {
            let link =
                |(point, name, across)| Some(Link { node: *numbers.get(&(point, name))?, across });
            node.links = before.into_iter().filter_map(link).collect();
        }
        let first = first
            .into_iter()
            .filter_map(|(point, name, _)| numbers.get(&(point, name)).copied())
            .collect();
        Ok(Road {
            walk,
            nodes,
            looked_at,
            skipped: BTreeMap::new(),
            first,
            excerpts: RefCell::default(),
        })
    }

    fn excerpt(&mut self, point: usize, name: &str) -> Arc<Excerpt> {
        let key = (point, name.to_owned());
        if let Some(known) = self.memo.get(&key) {
            return Arc::clone(known);
        }
        let at = self.walk.point(point);
        let excerpt = if at.is_bare() { Excerpt::absent() } else { self.excerpts.of(at, name) };
        self.memo.insert(key, Arc::clone(&excerpt));
        excerpt
    }

    /// Whether it is known how a name stands at a revision; what keeps it from being so is noted.
    fn is_readable(&mut self, point: usize, name: &str) -> bool {
        let excerpt = self.excerpt(point, name);
        let Held::Faulty(faults) = excerpt.held() else { return true };
        if !self.walk.is_known(point) {
            self.skipped.insert((point, name.to_owned()), faults.clone());
        }
        false
    }

    /// The nearest revisions before one at which the name is known, with what it is called there.
    fn before(&mut self, point: usize, name: &str) -> Result<Forebears, HistoryError> {
        let walk = self.walk;
        let mut end = walk.is_cut(point).then_some(Why::Shallow);
        let mut found = Vec::new();
        let mut seen = HashSet::new();
        let of = |point: usize, name: &str, across: bool| {
            let parents = walk.parents(point).iter().rev();
            parents.map(|parent| (*parent, name.to_owned(), across)).collect::<Vec<_>>()
        };
        let mut waiting = of(point, name, false);
        loop {
            while let Some((parent, called, across)) = waiting.pop() {
                if !seen.insert((parent, called.clone())) {
                    continue;
                }
                if seen.len() > MOST_FOREBEARS {
                    return Err(HistoryError::TooManyForebears { limit: MOST_FOREBEARS });
                }
                let mut called = called;
                if self.is_readable(parent, &called) {
                    if called == name {
                        called = self.name_at(parent, point, name)?;
                    }
                    if called == name || self.is_readable(parent, &called) {
                        found.push((parent, called, across));
                        continue;
                    }
                }
                let further = of(parent, &called, true);
                if further.is_empty() {
                    let why = if walk.is_cut(parent) { Why::Shallow } else { Why::Skipped };
                    end = end.or(Some(if walk.is_known(parent) { Why::Since } else { why }));
                }
                waiting.extend(further);
            }
            if !matches!(self.excerpt(point, name).held(), Held::Absent) {
                self.agree(&mut found, name);
            }
            // By the name that another parent tells, it may have faults.
            let is_readable = |(parent, called, _): &(usize, String, bool)| {
                called == name || self.is_readable(*parent, called)
            };
            let (good, faulty) = found.into_iter().partition(is_readable);
            found = good;
            let faulty: Vec<(usize, String, bool)> = faulty;
            if faulty.is_empty() {
                break;
            }
            waiting.extend(faulty.iter().rev().flat_map(|(at, called, _)| of(*at, called, true)));
        }
        // Past revisions with faults, one way may lead to a revision by another name than the rest.
        let at: Vec<usize> = found.iter().map(|(parent, ..)| *parent).collect();
        found.retain(|(parent, called, _)| {
            let is_only = at.iter().filter(|other| *other == parent).count() == 1;
            is_only || !matches!(self.excerpt(*parent, called).held(), Held::Absent)
        });
        Ok(Forebears { found, end })
    }

    /// What a merge renames and changes at once is no rename to the parent that has it otherwise.
    /// If another parent tells what it was called, and this one has that too, it is the same.
    fn agree(&mut self, found: &mut [(usize, String, bool)], name: &str) {
        let olds: BTreeSet<String> =
            found.iter().map(|(_, old, _)| old.clone()).filter(|old| old != name).collect();
        let is_absent = |excerpt: Arc<Excerpt>| matches!(excerpt.held(), Held::Absent);
        for (parent, called, _) in found.iter_mut().filter(|(_, called, _)| called == name) {
            if !olds.is_empty() && is_absent(self.excerpt(*parent, name)) {
                let mut there = olds.iter();
                let old = there.find(|old| !is_absent(self.excerpt(*parent, old)));
                old.into_iter().for_each(|old| called.clone_from(old));
            }
        }
    }

    /// What a name is called at a revision before.
    fn name_at(&mut self, parent: usize, point: usize, name: &str) -> Result<String, HistoryError> {
        if let Some(old) = self.called.get(&(point, parent, name.to_owned())) {
            return Ok(old.clone());
        }
        let is_absent = |excerpt: Arc<Excerpt>| matches!(excerpt.held(), Held::Absent);
        let is_new = is_absent(self.excerpt(parent, name)) && !is_absent(self.excerpt(point, name));
        if !is_new || self.walk.point(parent).is_bare() {
            return Ok(name.to_owned());
        }
        let (before, after) = (self.walk.point(parent), self.walk.point(point));
        let Some(old) = name_before(before, after, name) else { return Ok(name.to_owned()) };
        self.names.insert(old.clone());
        match self.names.len() {
            ..=MOST_NAMES => Ok(old),
            _ => Err(HistoryError::TooManyNames { limit: MOST_NAMES }),
        }
    }
}
