//! The revisions of a design in its repository.

use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, Once, PoisonError};

use git2::{Commit, Oid, Repository};

use crate::diagnose::{is_partial, not_opened, not_resolved, refused};
use crate::folder::Folder;
use crate::nearest::base_beyond_depth;
use crate::pair::Pair;
use crate::refusal::RevisionError;
use crate::revision::Revision;
use crate::{path, tree};

/// Where the design is looked for when nobody says.
const USUAL_FOLDER: &str = "params";

/// The repository that holds a design, for reading any of its revisions.
///
/// All revisions taken from one of these, and its clones, share one open repository.
#[derive(Clone)]
pub struct Revisions {
    repository: Arc<Shared>,
    folder: String,
    place: PathBuf,
}

/// An open repository. The library's handle may move between threads but not be used by two at
/// once, hence the mutex: a lookup holds it for microseconds, and nothing else is done under it.
/// To read all files eagerly instead would be lock-free, but a design may name any file of the
/// revision.
pub(crate) struct Shared {
    repository: Mutex<Repository>,
    pub(crate) partial: bool,
}

impl Shared {
    /// No change is ever made under the lock, so one left by a panic is as good as any.
    pub(crate) fn lock(&self) -> MutexGuard<'_, Repository> {
        self.repository.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The two sides of a comparison, opened.
#[derive(Clone, Debug)]
pub struct Sides {
    /// The earlier state.
    pub before: Revision,
    /// The later state, `None` for the files as they stand.
    pub after: Option<Revision>,
}

impl fmt::Debug for Revisions {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Revisions")
            .field("place", &self.place)
            .field("folder", &self.folder)
            .finish_non_exhaustive()
    }
}

impl Revisions {
    /// The repository whose work tree is the root of `folder`.
    ///
    /// # Errors
    /// When there is none, or it cannot be read.
    pub fn of(folder: &Folder) -> Result<Self, RevisionError> {
        Self::open(folder.root(), folder.folder())
    }

    /// A repository without a work tree, or one whose work tree does not matter. The design is
    /// looked for in `folder`, as seen from the root of each revision, and in `params` when that
    /// is `None`.
    ///
    /// # Errors
    /// When there is no repository, or it cannot be read.
    pub fn bare(git_dir: &Path, folder: Option<&str>) -> Result<Self, RevisionError> {
        let folder = folder.unwrap_or(USUAL_FOLDER);
        let Ok(folder) = path::inside(folder) else {
            return Err(RevisionError::NoDesign { revision: "HEAD".into(), folder: folder.into() });
        };
        Self::open(git_dir, &folder)
    }

    fn open(place: &Path, folder: &str) -> Result<Self, RevisionError> {
        trust_stored_objects();
        let repository = Repository::open(place).map_err(|error| not_opened(place, &error))?;
        let partial = is_partial(&repository);
        Ok(Self {
            repository: Arc::new(Shared { repository: Mutex::new(repository), partial }),
            folder: folder.to_owned(),
            place: place.to_owned(),
        })
    }

    /// The design at a revision, named in any way that git knows: a branch, a tag, `HEAD~2`,
    /// the first digits of a commit.
    ///
    /// # Errors
    /// When there is no such revision, or no design in it.
    pub fn at(&self, spec: &str) -> Result<Revision, RevisionError> {
        let repo = self.repository.lock();
        self.revision(&repo, &resolve(&repo, spec)?)
    }

    /// Both sides of a comparison.
    ///
    /// # Errors
    /// As for [`Revisions::at`], and when a common ancestor is asked for and there is none.
    pub fn sides(&self, pair: &Pair) -> Result<Sides, RevisionError> {
        match pair {
            Pair::Working { before } => Ok(Sides { before: self.at(before)?, after: None }),
            Pair::Revisions { before, after } => {
                Ok(Sides { before: self.at(before)?, after: Some(self.at(after)?) })
            }
            Pair::SinceFork { other, after } => {
                Ok(Sides { before: self.merge_base(other, after)?, after: Some(self.at(after)?) })
            }
        }
    }

    /// The design at the revision where two lines of work parted.
    ///
    /// # Errors
    /// As for [`Revisions::at`]; [`RevisionError::Shallow`] when the clone does not reach back
    /// that far, [`RevisionError::NoMergeBase`] when they never were one.
    pub fn merge_base(&self, one: &str, other: &str) -> Result<Revision, RevisionError> {
        let repo = self.repository.lock();
        let ids = (resolve(&repo, one)?.id(), resolve(&repo, other)?.id());
        let base = match repo.merge_base(ids.0, ids.1) {
            Ok(base) => base,
            Err(_) if repo.is_shallow() => return Err(base_beyond_depth(&repo, one, other)),
            Err(error) if tree::is_missing(&error) => {
                return Err(RevisionError::NoMergeBase { one: one.into(), other: other.into() });
            }
            Err(error) => return Err(refused("look for a common ancestor", &error)),
        };
        let commit = repo.find_commit(base).map_err(|error| refused("read a revision", &error))?;
        self.revision(&repo, &commit)
    }

    fn revision(&self, repo: &Repository, commit: &Commit<'_>) -> Result<Revision, RevisionError> {
        let folder = self.design_in(repo, commit)?;
        Ok(Revision::new(Arc::clone(&self.repository), commit, folder))
    }

    /// The design's folder at a revision: where it is now, else where it seems to have been.
    fn design_in(&self, repo: &Repository, commit: &Commit<'_>) -> Result<String, RevisionError> {
        let root = commit.tree_id();
        let failed = |error: git2::Error| self.unread("its folders", commit.id(), &error);
        let here = tree::folder(repo, root, &self.folder).map_err(failed)?;
        if here.is_some_and(|tree| tree::holds_design(&tree)) {
            return Ok(self.folder.clone());
        }
        let revision = Revision::short_of(commit);
        let Some(folders) = tree::designs(repo, root).map_err(failed)? else {
            return Err(RevisionError::TooManyFolders { revision, limit: tree::MOST_FOLDERS });
        };
        match tree::moved(&folders, &self.folder) {
            Some(folder) => Ok(folder.clone()),
            None if folders.is_empty() => {
                Err(RevisionError::NoDesign { revision, folder: self.folder.clone() })
            }
            None => Err(RevisionError::SeveralDesigns { revision, folders }),
        }
    }

    fn unread(&self, what: &str, commit: Oid, error: &git2::Error) -> RevisionError {
        unread(&self.repository, &format!("{what} of revision {commit}"), commit, error)
    }
}

/// Why something that a revision names could not be read.
pub(crate) fn unread(
    shared: &Shared,
    wanted: &str,
    commit: Oid,
    error: &git2::Error,
) -> RevisionError {
    if !tree::is_missing(error) {
        return refused(&format!("read {wanted}"), error);
    }
    let (wanted, revision) = (wanted.to_owned(), commit.to_string());
    RevisionError::Missing { wanted, partial: shared.partial, revision }
}

fn resolve<'r>(repo: &'r Repository, spec: &str) -> Result<Commit<'r>, RevisionError> {
    let object = repo.revparse_single(spec).map_err(|error| not_resolved(repo, spec, &error))?;
    object.peel_to_commit().map_err(|_| RevisionError::NotACommit { spec: spec.to_owned() })
}

/// Turns off the library's habit of hashing every object that it reads: a walk through history
/// pays for it at every step, and to find damage is the work of `git fsck`. That a repository
/// must belong to the user stays checked.
fn trust_stored_objects() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| git2::opts::strict_hash_verification(false));
}
