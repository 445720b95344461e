//! One name through the revisions of a design: what it was worth, when that changed, and why.
//!
//! ```no_run
//! use setout::{Folder, History, Revisions};
//! let folder = Folder::find(std::path::Path::new("."))?;
//! let walk = Revisions::of(&folder)?.walk("HEAD", None)?;
//! let history = History::of(&walk, "jaw.width")?;
//! for change in &history.changes {
//!     println!("{} {}", change.revision.short(), change.cause.as_str());
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod error;
mod here;
mod names;
mod road;
mod rounds;
mod since;
mod unfollowed;

use setout_design::{Amount, Edited, Fault, Held, Told, Verdict, What};
use setout_quantity::Unit;
use setout_store::{Revision, Walk};

pub use error::HistoryError;
pub use here::{Here, verdict_here};
use road::{Node, Road};
pub use since::{Since, Turn, Turned};
pub use unfollowed::Unfollowed;

/// What a name was worth from revision to revision.
#[derive(Debug)]
#[non_exhaustive]
pub struct History {
    /// The full name, as it is now.
    pub name: String,
    /// The unit of the newest value that is known.
    pub unit: Option<Unit>,
    /// How it stands at the revision that was asked for.
    pub now: Held,
    /// The revisions at which its value or its definition became another, newest first.
    pub changes: Vec<Change>,
    /// The revisions of which it cannot be told.
    pub skipped: Vec<Skipped>,
    /// Where it may go by another name that nothing ties to it.
    pub unfollowed: Vec<Unfollowed>,
    /// Where what came before is not known.
    pub ends: Vec<End>,
    /// How many revisions were looked at.
    pub looked_at: usize,
}

/// A revision at which a name changed.
#[derive(Debug)]
#[non_exhaustive]
pub struct Change {
    /// The revision.
    pub revision: Revision,
    /// What it is called there.
    pub name: String,
    /// How it stands there.
    pub standing: Held,
    /// What brought this about.
    pub cause: Cause,
    /// The edits from which the change follows, by full name.
    pub because: Vec<String>,
    /// Whether none of those alone is to blame.
    pub any_of: bool,
    /// What of its own definition was edited.
    pub what: Vec<What>,
    /// What it was called before, if that was another name.
    pub renamed_from: Option<String>,
    /// What it is called since, if it is gone under this name.
    pub renamed_to: Option<String>,
    /// How it stood at each of the revisions that this was compared with.
    pub before: Vec<Held>,
    /// Whether revisions that cannot be evaluated lie between this and what it was compared with.
    pub across_skipped: bool,
}

/// What brings a change about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Cause {
    /// Its own definition was edited.
    Edit,
    /// It followed from edits of other things.
    Consequence,
    /// It is new.
    Added,
    /// It is gone.
    Removed,
}

impl Cause {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Edit => "edit",
            Self::Consequence => "consequence",
            Self::Added => "added",
            Self::Removed => "removed",
        }
    }
}

/// A revision of which a name cannot be told.
#[derive(Debug)]
#[non_exhaustive]
pub struct Skipped {
    /// The revision.
    pub revision: Revision,
    /// What it is called there.
    pub name: String,
    /// What is wrong with it there, or with what it depends on.
    pub faults: Vec<Fault>,
}

/// A revision before which nothing is known.
#[derive(Debug)]
#[non_exhaustive]
pub struct End {
    /// The revision.
    pub revision: Revision,
    /// What the thing is called there.
    pub name: String,
    /// How it stands there.
    pub standing: Held,
    /// Why nothing is known before it.
    pub why: Why,
}

/// Why a walk ends before the beginning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Why {
    /// The clone is shallow.
    Shallow,
    /// No revision before it can be evaluated.
    Skipped,
    /// It was not asked for.
    Since,
}

impl Change {
    /// The verdict, if it is a check's.
    pub fn verdict(&self) -> Option<Verdict> {
        verdict_of(&self.standing)
    }
}

/// The value of a standing: for a check its margin.
pub fn value_of(standing: &Held) -> Option<Amount> {
    match standing {
        Held::Value(value) => Some(value.clone()),
        Held::Check(check) => {
            Some(Amount::Number { number: check.margin?, unit: check.unit.clone() })
        }
        _ => None,
    }
}

/// The verdict of a standing, if it is a check's.
pub fn verdict_of(standing: &Held) -> Option<Verdict> {
    match standing {
        Held::Check(check) => Some(check.verdict),
        _ => None,
    }
}

impl History {
    /// Follows a full name back through a walk.
    ///
    /// # Errors
    /// When no revision knows the name, or the repository cannot be read.
    pub fn of(walk: &Walk, name: &str) -> Result<Self, HistoryError> {
        let road = Road::of(walk, name)?;
        let newest = road.nodes.iter().find_map(|node| value_of(node.excerpt.held()));
        let mut changes = Vec::new();
        for node in &road.nodes {
            changes.extend(road.change(node)?);
        }
        Ok(Self {
            name: name.to_owned(),
            unit: match newest {
                Some(Amount::Number { unit, .. }) => Some(unit),
                _ => None,
            },
            now: road.now(),
            changes,
            skipped: road.skipped()?,
            unfollowed: road.unfollowed()?.into_iter().map(|(_, untied)| untied).collect(),
            ends: road.ends()?,
            looked_at: road.looked_at,
        })
    }
}

/// How a name came to differ from what it was at one parent.
enum Difference {
    Added,
    Removed,
    Told(Told),
}

impl Road<'_> {
    /// The change that a revision made, if it differs from all that it came from.
    fn change(&self, node: &Node) -> Result<Option<Change>, HistoryError> {
        if node.end.is_some() || node.is_known {
            return Ok(None);
        }
        let mut differences = Vec::new();
        for link in &node.links {
            match self.difference(node, link)? {
                Some(difference) => differences.push(difference),
                None => return Ok(None),
            }
        }
        let standing = node.excerpt.held();
        if node.links.is_empty() {
            match standing {
                Held::Absent => return Ok(None),
                _ => differences.push(Difference::Added),
            }
        }
        let mut change = Change {
            revision: self.walk.revision(node.point)?,
            name: node.name.clone(),
            standing: standing.clone(),
            cause: Cause::Consequence,
            because: Vec::new(),
            any_of: false,
            what: Vec::new(),
            renamed_from: None,
            renamed_to: None,
            before: node.links.iter().map(|link| self.before(link).clone()).collect(),
            across_skipped: node.links.iter().any(|link| link.across),
        };
        if let [Difference::Removed, ..] = differences[..] {
            change.renamed_to = self.renamed_to(node);
        }
        change.is_caused_by(differences);
        Ok(Some(change))
    }

    fn before(&self, link: &road::Link) -> &Held {
        self.nodes[link.node].excerpt.held()
    }

    fn difference(
        &self,
        node: &Node,
        link: &road::Link,
    ) -> Result<Option<Difference>, HistoryError> {
        let before = &self.nodes[link.node];
        let renamed = before.name != node.name;
        if !renamed && std::sync::Arc::ptr_eq(&before.excerpt, &node.excerpt) {
            return Ok(None);
        }
        match (before.excerpt.held(), node.excerpt.held()) {
            (Held::Absent, Held::Absent) => return Ok(None),
            (Held::Absent, _) => return Ok(Some(Difference::Added)),
            (_, Held::Absent) => return Ok(Some(Difference::Removed)),
            _ => {}
        }
        let told = self.told(before, node)?;
        let same = !renamed && told.own.is_empty() && before.excerpt.is_same(&node.excerpt);
        Ok((!same).then_some(Difference::Told(told)))
    }
}

impl Change {
    /// A merge that differs from all its parents made an edit only if its definition differs from
    /// all of theirs; else the change follows from what the parents brought together.
    fn is_caused_by(&mut self, differences: Vec<Difference>) {
        let gone = differences.iter().any(|one| matches!(one, Difference::Removed));
        let told: Vec<Told> = differences
            .into_iter()
            .filter_map(|one| if let Difference::Told(told) = one { Some(told) } else { None })
            .collect();
        if told.is_empty() {
            self.cause = if gone { Cause::Removed } else { Cause::Added };
            return;
        }
        let edited = told.iter().filter(|told| !told.own.is_empty()).count();
        self.cause = if edited == told.len() { Cause::Edit } else { Cause::Consequence };
        if self.cause == Cause::Consequence && edited > 0 {
            self.because.push(self.name.clone());
        }
        self.renamed_from = told.iter().find_map(|told| told.renamed_from.clone());
        for told in told {
            self.any_of |= told.any_of;
            self.because.extend(told.because);
            self.what.extend(told.own);
        }
        self.because.sort();
        self.because.dedup();
        self.what.sort_unstable();
        self.what.dedup();
    }
}

/// The edits of a comparison that a change follows from, its own among them.
fn blamed(told: &Told, name: &str) -> Vec<Edited> {
    let of = |edit: &&Edited| {
        told.because.contains(&edit.name)
            || (!told.own.is_empty() && name.starts_with(&*edit.name) && !edit.is_remark())
    };
    told.edits.iter().filter(of).cloned().collect()
}
