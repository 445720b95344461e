//! A design as it was at one revision.

use std::fmt;
use std::path::Path;
use std::sync::Arc;

use git2::{Commit, Oid};
use setout_design::{Source, SourceError};

use crate::blob::{self, Lookup};
use crate::folder::Folder;
use crate::path;
use crate::refusal::RevisionError;
use crate::revisions::{Revisions, Shared, unread};
use crate::tree::{self, Entry};
use crate::wording::plain;

/// A design as it was at one revision, read from the repository's objects.
///
/// Nothing is checked out, so filters and line-end conversion do not apply: the bytes are those
/// that were committed. Symbolic links are followed inside the revision only.
#[derive(Clone)]
pub struct Revision {
    repository: Arc<Shared>,
    commit: Oid,
    tree: Oid,
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

    pub(crate) fn new(repository: Arc<Shared>, commit: &Commit<'_>, folder: String) -> Self {
        let when = commit.author().when();
        Self {
            repository,
            commit: commit.id(),
            tree: commit.tree_id(),
            folder,
            id: commit.id().to_string(),
            short: Self::short_of(commit),
            summary: text(commit.summary_bytes().unwrap_or_default()),
            author_name: text(commit.author().name_bytes()),
            date: Date { seconds: when.seconds(), offset_minutes: when.offset_minutes() },
        }
    }

    /// As few digits as tell the commit from all others here, and at least seven.
    pub(crate) fn short_of(commit: &Commit<'_>) -> String {
        let short = commit.as_object().short_id().ok();
        let short = short.and_then(|short| short.as_str().map(str::to_owned).ok());
        short.unwrap_or_else(|| commit.id().to_string())
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

    fn explain(&self, lookup: Lookup, wanted: &str) -> SourceError {
        match lookup {
            Lookup::Refused(error) => error,
            Lookup::Repository(error) => {
                let wanted = format!("{wanted} of revision {}", self.short);
                unread(&self.repository, &wanted, self.commit, &error).into()
            }
        }
    }
}

impl Source for Revision {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        let repo = self.repository.lock();
        let tree = tree::folder(&repo, self.tree, &self.folder)
            .map_err(|error| self.explain(error.into(), "the design's folder"))?
            .ok_or_else(|| SourceError::NotFound { path: self.folder.clone() })?;
        let files = tree
            .iter()
            .filter(|entry| matches!(tree::entry_kind(entry), Entry::File | Entry::Link));
        let mut paths = files
            .filter_map(|entry| path::listed(&self.folder, entry.name_bytes()))
            .collect::<Result<Vec<_>, _>>()?;
        paths.sort_unstable();
        Ok(paths)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        let clean = path::inside(path)?;
        let repo = self.repository.lock();
        blob::find(&repo, self.tree, &clean, &self.folder)
            .and_then(|id| blob::bytes(&repo, id, &clean))
            .map_err(|lookup| self.explain(lookup, &clean))
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

fn text(bytes: &[u8]) -> String {
    plain(&String::from_utf8_lossy(bytes))
}
