//! A design as it was at one revision.

use std::fmt;
use std::path::Path;
use std::sync::Arc;

use setout_design::{Source, SourceError};

use crate::blob::{self, Lookup};
use crate::diagnose::unread;
use crate::folder::Folder;
use crate::objects::{Commit, EntryKind, Id, Objects};
use crate::path;
use crate::refusal::RevisionError;
use crate::revisions::{Revisions, Shared};
use crate::tree;

/// A design as it was at one revision, read from the repository's objects.
///
/// Nothing is checked out, so filters and line-end conversion do not apply: the bytes are those
/// that were committed. Symbolic links are followed inside the revision only.
#[derive(Clone)]
pub struct Revision {
    repository: Arc<Shared>,
    commit: Id,
    tree: Id,
    folder: String,
    id: String,
    short: String,
    summary: String,
    author_name: String,
    date: Date,
}

/// When a revision was made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Date {
    /// Seconds since the beginning of 1970, UTC.
    pub seconds: i64,
    /// What the author's clock was ahead of UTC, in minutes.
    pub offset_minutes: i32,
}

impl Revision {
    /// The design of `folder` at a revision, named in any way that git knows.
    ///
    /// For several revisions of a repository open it once, with [`Revisions::of`].
    ///
    /// # Errors
    /// When there is no repository, no such revision, or no design in it.
    pub fn open(folder: &Folder, spec: &str) -> Result<Self, RevisionError> {
        Revisions::of(folder)?.at(spec)
    }

    /// The design at a revision of a repository without a work tree; see [`Revisions::bare`].
    ///
    /// # Errors
    /// When there is no repository, no such revision, or no design in it.
    pub fn open_bare(
        git_dir: &Path,
        folder: Option<&str>,
        spec: &str,
    ) -> Result<Self, RevisionError> {
        Revisions::bare(git_dir, folder)?.at(spec)
    }

    pub(crate) fn new(
        repository: Arc<Shared>,
        commit: &Commit,
        short: String,
        folder: String,
    ) -> Self {
        Self {
            repository,
            commit: commit.id,
            tree: commit.tree,
            folder,
            id: commit.id.to_string(),
            short,
            summary: commit.summary(),
            author_name: commit.author_name(),
            date: commit.date(),
        }
    }

    /// The full name of the commit, in hexadecimal digits.
    pub fn id(&self) -> &str {
        &self.id
    }

    /// The abbreviated name of the commit.
    pub fn short(&self) -> &str {
        &self.short
    }

    /// The first paragraph of the message, in one line, without control characters.
    pub fn summary(&self) -> &str {
        &self.summary
    }

    /// Who made the revision, without control characters.
    pub fn author_name(&self) -> &str {
        &self.author_name
    }

    /// When its author made it.
    pub fn date(&self) -> Date {
        self.date
    }

    /// The design's folder at this revision, as seen from the root; `""` for the root itself.
    pub fn folder(&self) -> &str {
        &self.folder
    }

    /// The root-relative paths of the files directly in any folder of the revision, sorted and
    /// without dot-files; none where there is no such folder.
    ///
    /// # Errors
    /// When the path is no safe one, or the folder cannot be read.
    pub fn files_in(&self, folder: &str) -> Result<Vec<String>, SourceError> {
        let clean = path::inside(folder)?;
        Ok(self.listed(&clean, &format!("the folder {clean}"))?.unwrap_or_default())
    }

    fn listed(&self, folder: &str, wanted: &str) -> Result<Option<Vec<String>>, SourceError> {
        let objects = &**self.repository.lock();
        let tree = tree::folder(objects, self.tree, folder)
            .map_err(|error| self.explain(objects, error.into(), wanted))?;
        let Some(tree) = tree else { return Ok(None) };
        let files = tree
            .entries()
            .filter(|entry| matches!(entry.kind(), EntryKind::File | EntryKind::Link));
        let mut paths = files
            .filter_map(|entry| path::listed(folder, entry.name))
            .collect::<Result<Vec<_>, _>>()?;
        paths.sort_unstable();
        Ok(Some(paths))
    }

    fn explain(&self, objects: &dyn Objects, lookup: Lookup, wanted: &str) -> SourceError {
        match lookup {
            Lookup::Refused(error) => error,
            Lookup::Repository(error) => {
                let wanted = format!("{wanted} of revision {}", self.short);
                unread(objects, &wanted, self.commit, error).into()
            }
        }
    }
}

impl Source for Revision {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.listed(&self.folder, "the design's folder")?
            .ok_or_else(|| SourceError::NotFound { path: self.folder.clone() })
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        let clean = path::inside(path)?;
        let objects = &**self.repository.lock();
        blob::find(objects, self.tree, &clean, &self.folder)
            .and_then(|id| blob::bytes(objects, id, &clean))
            .map_err(|lookup| self.explain(objects, lookup, &clean))
    }

    fn holds(&self, path: &str, bytes: &[u8]) -> bool {
        let Ok(clean) = path::inside(path) else { return false };
        let objects = &**self.repository.lock();
        let found = blob::find(objects, self.tree, &clean, &self.folder);
        found.is_ok_and(|id| objects.name_of(bytes) == Some(id))
    }
}

impl fmt::Debug for Revision {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Revision")
            .field("id", &self.id)
            .field("folder", &self.folder)
            .finish_non_exhaustive()
    }
}
