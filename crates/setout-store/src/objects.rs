//! What is asked of a repository: names to commits, and the objects behind them.
//!
//! Everything that reads revisions stands above [`Objects`] and knows no library of git's. Objects
//! come as the bytes that git stores, and are taken apart here once, so that every way to read
//! them gives the same answers.

mod command;
mod commit;
mod git2;
mod id;
mod recent;
mod tree;

use std::collections::HashSet;
use std::fs;
use std::path::Path;
use std::sync::Arc;

pub(crate) use command::{Installed, is_program};
pub(crate) use commit::Commit;
pub(crate) use id::Id;
pub(crate) use recent::Recent;
pub(crate) use tree::{EntryKind, Tree};

use crate::diagnose::neither;
use crate::refusal::{GitError, RevisionError};

/// An open repository. It may move between threads; two never use it at once.
pub(crate) trait Objects: Send {
    /// The commit that `spec` names, in any way that git knows. Tags are followed.
    fn resolve(&self, spec: &str) -> Result<Id, SpecError>;

    /// The bytes of an object, without git's header. One of more than `limit` bytes is
    /// [`ObjectError::TooLarge`], one of another kind is damage.
    fn object(&self, id: Id, kind: Kind, limit: u64) -> Result<Vec<u8>, ObjectError>;

    /// The best common ancestor of two commits.
    fn merge_base(&self, one: Id, other: Id) -> Result<Option<Id>, ObjectError>;

    /// As few digits as tell the object from all others here, and at least seven, unless the
    /// user has set another length.
    fn short(&self, id: Id) -> String;

    /// All references by their full names, as in `refs/heads/main`.
    fn references(&self) -> Vec<String>;

    /// The full name of the branch that is checked out, whether or not it has a commit.
    fn branch(&self) -> Option<String>;

    /// The remotes by name.
    fn remotes(&self) -> Vec<String>;

    /// Whether the history was cut off when the repository was cloned.
    fn is_shallow(&self) -> bool;

    /// Whether a shallow clone left out the parents of this commit.
    fn is_cut(&self, id: Id) -> bool;

    /// Whether objects that are not here are only not fetched yet.
    fn is_partial(&self) -> bool;

    /// Whether a file is here, or can be fetched, and then is.
    fn holds(&self, file: Id) -> Result<(), ObjectError>;

    /// The name that the content of a file has here; nothing where it cannot be told without
    /// another program.
    fn name_of(&self, content: &[u8]) -> Option<Id>;

    /// Has what a partial clone left out of these files fetched in one go, if several are not
    /// here and git may fetch. What cannot be had is said when it is asked for.
    fn gather(&self, files: &[Id]);

    /// The paths of tracked files that differ from the revision that is checked out, staged or
    /// not, sorted. `root` is the work tree; files that are not tracked are not looked for.
    fn changed(&self, root: &Path) -> Result<Vec<String>, ObjectError>;

    /// A commit. Where a shallow clone ends there are no parents, see [`Commit::is_cut`].
    fn commit(&self, id: Id) -> Result<Commit, ObjectError> {
        let bytes = self.object(id, Kind::Commit, LARGEST_COMMIT)?;
        Commit::read(id, bytes, self.is_cut(id)).ok_or_else(|| ObjectError::malformed(id))
    }

    /// A folder of a revision; one that was asked for lately is not read again.
    fn tree(&self, id: Id) -> Result<Arc<Tree>, ObjectError> {
        self.recent().tree(id, || {
            let bytes = self.object(id, Kind::Tree, LARGEST_TREE)?;
            Tree::read(id, bytes).ok_or_else(|| ObjectError::malformed(id))
        })
    }

    /// The folders that were read last.
    fn recent(&self) -> &Recent;

    /// The content of a file of a revision, if it has no more than `limit` bytes.
    fn blob(&self, id: Id, limit: u64) -> Result<Vec<u8>, ObjectError> {
        self.object(id, Kind::Blob, limit)
    }
}

/// The largest commit that is read. Most have less than a thousandth of this.
const LARGEST_COMMIT: u64 = 16 << 20;
/// The largest tree that is read: about a million and a half entries.
const LARGEST_TREE: u64 = 64 << 20;

/// The kinds of objects that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Commit,
    Tree,
    Blob,
}

/// Why an object was not read.
#[derive(Debug)]
pub(crate) enum ObjectError {
    /// It is not in the repository.
    Missing,
    /// It is not in the partial clone, and git did not fetch it.
    NotFetched(GitError),
    /// It has more bytes than were asked for.
    TooLarge { bytes: u64 },
    /// Anything else, in the words of git or of its library.
    Failed { reason: String },
}

impl ObjectError {
    fn malformed(id: Id) -> Self {
        Self::Failed { reason: format!("the object {id} is not what it should be") }
    }
}

/// Why a name was not taken to a commit.
#[derive(Debug)]
pub(crate) enum SpecError {
    /// There is nothing of that name.
    Unknown,
    /// The text is no way to name a revision.
    Malformed,
    /// Several objects begin with these digits.
    Ambiguous,
    /// It names a file or a folder.
    NotACommit,
    /// Anything else, in the words of git or of its library.
    Failed { reason: String },
}

/// Opens the repository at `place`: a work tree's root, or a bare repository. What the library
/// refuses for the way it is stored, or for its owner, is for the installed git to judge.
pub(crate) fn open(place: &Path) -> Result<Box<dyn Objects>, RevisionError> {
    let refusal = match git2::Library::open(place) {
        Ok(library) => return Ok(Box::new(library)),
        Err(refusal @ RevisionError::NotARepository { .. }) => return Err(refusal),
        Err(refusal) => refusal,
    };
    match command::Command::open(place) {
        Ok(command) => Ok(Box::new(command)),
        Err(git) => Err(neither(refusal, git)),
    }
}

/// The commits whose parents a shallow clone left out, from git's list of them.
fn cut_commits(list: &Path) -> HashSet<Id> {
    let text = fs::read(list).unwrap_or_default();
    text.split(|byte| *byte == b'\n').filter_map(Id::from_hex).collect()
}

/// That the work tree of the repository is the one that is meant: its own configuration may name
/// any other folder.
fn is_work_tree(root: &Path, found: Option<&Path>) -> Result<(), ObjectError> {
    let meant = root.canonicalize().ok();
    match found.and_then(|found| found.canonicalize().ok()) {
        Some(found) if Some(&found) == meant.as_ref() => Ok(()),
        Some(found) => {
            let reason = format!("its work tree is {}", found.display());
            Err(ObjectError::Failed { reason })
        }
        None => Err(ObjectError::Failed { reason: "it has no work tree".to_owned() }),
    }
}

fn within(bytes: u64, limit: u64) -> Result<(), ObjectError> {
    if bytes <= limit { Ok(()) } else { Err(ObjectError::TooLarge { bytes }) }
}
