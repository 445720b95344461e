//! Since when a check fails, and each time that its verdict turned.

use std::collections::BTreeSet;

use setout_design::{Amount, Edited, Excerpt, Held, Verdict};
use setout_store::{Revision, Walk};

use super::error::HistoryError;
use super::road::{Node, Road};
use super::{Cause, End, Skipped, Unfollowed, blamed, value_of, verdict_of};

/// Since when a check, or the limits of a dimension, fail.
#[derive(Debug)]
#[non_exhaustive]
pub struct Since {
    /// The full name.
    pub name: String,
    /// The verdict at the revision that was asked for, with the margin; absent where there is
    /// none, or it cannot be evaluated.
    pub now: Option<(Verdict, Option<Amount>)>,
    /// How it stands there.
    pub standing: Held,
    /// If it fails, the revisions with which this began, as numbers of `turns`. There are several
    /// where lines of work that were merged came to it each by itself.
    pub began: Vec<usize>,
    /// Whether it may have begun before the revisions that are known.
    pub before_ends: bool,
    /// Whether it may have begun under another name: one of those with which it began is among
    /// `unfollowed`.
    pub by_another_name: bool,
    /// The revisions at which it failed, or was mended, newest first.
    pub turns: Vec<Turn>,
    /// The revisions of which it cannot be told.
    pub skipped: Vec<Skipped>,
    /// Where it may go by another name that nothing ties to it.
    pub unfollowed: Vec<Unfollowed>,
    /// Where what came before is not known.
    pub ends: Vec<End>,
    /// How many revisions were looked at.
    pub looked_at: usize,
}

/// A revision at which a verdict turned.
#[derive(Debug)]
#[non_exhaustive]
pub struct Turn {
    /// The revision.
    pub revision: Revision,
    /// What the check is called there.
    pub name: String,
    /// Which way.
    pub turned: Turned,
    /// The verdict and margin before; absent where there was no such check.
    pub before: Option<(Verdict, Option<Amount>)>,
    /// The verdict and margin since; absent where there is none any more.
    pub after: Option<(Verdict, Option<Amount>)>,
    /// The edits that did it.
    pub because: Vec<Edited>,
    /// Whether none of those alone is to blame.
    pub any_of: bool,
    /// Whether revisions that cannot be evaluated lie between this and what it was compared with.
    pub across_skipped: bool,
}

/// Which way a verdict turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Turned {
    /// It held, or was not there, and fails or is unknown.
    Failed,
    /// It failed or was unknown, and holds.
    Healed,
    /// It failed or was unknown, and is gone.
    Removed,
}

impl Turned {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Failed => "failed",
            Self::Healed => "healed",
            Self::Removed => "removed",
        }
    }

    /// What a step from one verdict to another is: met, not met, or not there.
    fn of(before: Option<bool>, after: Option<bool>) -> Option<Self> {
        match (before, after) {
            (Some(true) | None, Some(false)) => Some(Self::Failed),
            (Some(false), Some(true)) => Some(Self::Healed),
            (Some(false), None) => Some(Self::Removed),
            _ => None,
        }
    }
}

/// The verdict of a check with its margin, or the worst of a dimension's limits.
pub(super) fn judged(excerpt: &Excerpt, name: &str) -> Option<(Verdict, Option<Amount>)> {
    if let Some(verdict) = verdict_of(excerpt.held()) {
        return Some((verdict, value_of(excerpt.held())));
    }
    let limits = excerpt.limits(name);
    let worst = limits.into_iter().max_by_key(|limit| limit.verdict)?;
    let margin = worst.margin.map(|number| Amount::Number { number, unit: worst.unit.clone() });
    Some((worst.verdict, margin))
}

impl Node {
    fn judged(&self) -> Option<(Verdict, Option<Amount>)> {
        judged(&self.excerpt, &self.name)
    }

    fn is_met(&self) -> Option<bool> {
        self.judged().map(|(verdict, _)| verdict.is_met())
    }
}

impl Since {
    /// Follows a check, or a dimension with limits, back through a walk.
    ///
    /// # Errors
    /// When no revision knows it, or the repository cannot be read.
    pub fn of(walk: &Walk, name: &str) -> Result<Self, HistoryError> {
        let road = Road::of(walk, name)?;
        let standing = road.now();
        let skipped = road.skipped()?;
        let never = road.nodes.iter().all(|node| node.judged().is_none());
        if never && skipped.is_empty() {
            return Err(HistoryError::NoLimits { name: name.to_owned() });
        }
        let (mut turns, mut numbers) = (Vec::new(), Vec::new());
        for (number, node) in road.nodes.iter().enumerate() {
            if let Some(turn) = road.turn(node)? {
                turns.push(turn);
                numbers.push(number);
            }
        }
        let faulty = matches!(standing, Held::Faulty(_));
        let (origins, before_ends) = road.origins();
        let unfollowed = road.unfollowed()?;
        let by_another_name = unfollowed
            .iter()
            .any(|(number, untied)| untied.cause == Cause::Added && origins.contains(number));
        let began = numbers.iter().enumerate().filter(|(_, number)| origins.contains(number));
        Ok(Self {
            name: name.to_owned(),
            now: if faulty { None } else { road.nodes.first().and_then(Node::judged) },
            standing,
            began: began.map(|(turn, _)| turn).collect(),
            before_ends,
            by_another_name,
            turns,
            skipped,
            unfollowed: unfollowed.into_iter().map(|(_, untied)| untied).collect(),
            ends: road.ends()?,
            looked_at: road.looked_at,
        })
    }
}

impl Road<'_> {
    /// The turn that a revision made, if it turned from all that it came from.
    fn turn(&self, node: &Node) -> Result<Option<Turn>, HistoryError> {
        if node.end.is_some() || node.is_known {
            return Ok(None);
        }
        let after = node.is_met();
        let before: Vec<&Node> = node.links.iter().map(|link| &self.nodes[link.node]).collect();
        let turned = match before.first() {
            None => Turned::of(None, after),
            Some(first) => Turned::of(first.is_met(), after),
        };
        let turns = |before: &&Node| Turned::of(before.is_met(), after).is_some();
        let Some(turned) = turned.filter(|_| before.iter().all(turns)) else { return Ok(None) };
        let (mut because, mut any_of) = (Vec::new(), false);
        let is_absent = |node: &Node| matches!(node.excerpt.held(), Held::Absent);
        for before in before.iter().filter(|before| !is_absent(before) && !is_absent(node)) {
            let told = self.told(before, node)?;
            any_of |= told.any_of;
            because.extend(blamed(&told, &node.name));
        }
        because.dedup();
        let judged = before.iter().find_map(|before| before.judged());
        Ok(Some(Turn {
            revision: self.walk.revision(node.point)?,
            name: node.name.clone(),
            turned,
            before: judged,
            after: node.judged(),
            because,
            any_of,
            across_skipped: node.links.iter().any(|link| link.across),
        }))
    }

    /// From the first revision back through those that do not hold: where there is none before
    /// that does not hold either. And whether one of them is an end of what is known.
    fn origins(&self) -> (BTreeSet<usize>, bool) {
        let fails = |node: &usize| self.nodes[*node].is_met() == Some(false);
        let (mut origins, mut before_ends) = (BTreeSet::new(), false);
        let (mut seen, mut waiting) = (BTreeSet::new(), self.first.clone());
        waiting.retain(fails);
        while let Some(number) = waiting.pop() {
            if !seen.insert(number) {
                continue;
            }
            let node = &self.nodes[number];
            before_ends |= node.end.is_some();
            let further: Vec<usize> =
                node.links.iter().map(|link| link.node).filter(fails).collect();
            if further.is_empty() && node.end.is_none() {
                origins.insert(number);
            }
            waiting.extend(further);
        }
        (origins, before_ends)
    }
}
