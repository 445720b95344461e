//! The revisions of a design in its repository.

use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use crate::diagnose::{not_resolved, refused, unread};
use crate::folder::Folder;
use crate::nearest::base_beyond_depth;
use crate::objects::{self, Commit, EntryKind, Id, ObjectError, Objects};
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
    pub(crate) repository: Arc<Shared>,
    pub(crate) folder: String,
    place: PathBuf,
}

/// An open repository. It may move between threads but not be used by two at once, hence the
/// mutex: a lookup holds it for microseconds, and nothing else is done under it. To read all files
/// eagerly instead would be lock-free, but a design may name any file of the revision.
pub(crate) struct Shared(Mutex<Box<dyn Objects>>);

impl Shared {
    /// No change is ever made under the lock, so one left by a panic is as good as any.
    pub(crate) fn lock(&self) -> MutexGuard<'_, Box<dyn Objects>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
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
        Ok(Self {
            repository: Arc::new(Shared(Mutex::new(objects::open(place)?))),
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
        let objects = &**self.repository.lock();
        self.revision(objects, resolve(objects, spec)?)
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

    /// The paths of tracked files that differ from the revision that is checked out, staged or
    /// not, sorted and root-relative. Files that git does not track are not among them.
    ///
    /// # Errors
    /// When the repository cannot tell, or has no work tree, or another one.
    pub fn changed(&self) -> Result<Vec<String>, RevisionError> {
        let objects = &**self.repository.lock();
        objects.changed(&self.place).map_err(|error| {
            let reason = match error {
                ObjectError::Failed { reason } => reason,
                ObjectError::NotFetched(git) => git.to_string(),
                ObjectError::Missing | ObjectError::TooLarge { .. } => {
                    "an object is not there".to_owned()
                }
            };
            refused("compare the files with their revision", reason)
        })
    }

    /// The design at the revision where two lines of work parted.
    ///
    /// # Errors
    /// As for [`Revisions::at`]; [`RevisionError::Shallow`] when the clone does not reach back
    /// that far, [`RevisionError::NoMergeBase`] when they never were one.
    pub fn merge_base(&self, one: &str, other: &str) -> Result<Revision, RevisionError> {
        let objects = &**self.repository.lock();
        let ids = (resolve(objects, one)?, resolve(objects, other)?);
        match objects.merge_base(ids.0, ids.1) {
            Ok(Some(base)) => self.revision(objects, base),
            _ if objects.is_shallow() => Err(base_beyond_depth(objects, one, other)),
            Ok(None) => Err(RevisionError::NoMergeBase { one: one.into(), other: other.into() }),
            Err(error) => Err(unread(objects, "the history", ids.0, error)),
        }
    }

    fn revision(&self, objects: &dyn Objects, id: Id) -> Result<Revision, RevisionError> {
        let commit =
            objects.commit(id).map_err(|error| unread(objects, "a revision", id, error))?;
        let folder = self.design_in(objects, &commit)?;
        complete(objects, &commit, &folder)?;
        Ok(Revision::new(Arc::clone(&self.repository), &commit, objects.short(id), folder))
    }

    /// The design's folder at a revision: where it is now, else where it seems to have been.
    pub(crate) fn design_in(
        &self,
        objects: &dyn Objects,
        commit: &Commit,
    ) -> Result<String, RevisionError> {
        let failed = |error: ObjectError| {
            unread(objects, &format!("the folders of revision {}", commit.id), commit.id, error)
        };
        let here = tree::folder(objects, commit.tree, &self.folder).map_err(failed)?;
        if here.is_some_and(|tree| tree::holds_design(&tree)) {
            return Ok(self.folder.clone());
        }
        let revision = objects.short(commit.id);
        let Some(folders) = tree::designs(objects, commit.tree).map_err(failed)? else {
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
}

/// That the files of the design can be had, all of them. Without one it would look as if that
/// had been removed or not yet been made.
fn complete(objects: &dyn Objects, commit: &Commit, folder: &str) -> Result<(), RevisionError> {
    let unread = |path: &str, error| {
        let wanted = format!("{path} of revision {}", objects.short(commit.id));
        unread(objects, &wanted, commit.id, error)
    };
    let tree = tree::folder(objects, commit.tree, folder).map_err(|error| unread(folder, error))?;
    let files: Vec<_> = tree
        .iter()
        .flat_map(|tree| tree.entries())
        .filter(|entry| entry.kind() == EntryKind::File && !entry.name.starts_with(b"."))
        .collect();
    objects.gather(&files.iter().map(|file| file.id).collect::<Vec<_>>());
    for file in files {
        let path = || path::join(folder, &String::from_utf8_lossy(file.name));
        objects.holds(file.id).map_err(|error| unread(&path(), error))?;
    }
    Ok(())
}

pub(crate) fn resolve(objects: &dyn Objects, spec: &str) -> Result<Id, RevisionError> {
    objects.resolve(spec).map_err(|error| not_resolved(objects, spec, error))
}
