//! The design at one revision of a walk.

use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};

use setout_design::{Source, SourceError, Stamp, Stamped, Stamps};

use super::folders::Found;
use crate::blob::{self, Lookup};
use crate::diagnose::unread;
use crate::objects::{EntryKind, Id, Tree};
use crate::path;
use crate::refusal::RevisionError;
use crate::revisions::Shared;
use crate::tree::MOST_FOLDERS;

/// The design at one revision of a walk.
pub struct Point {
    repository: Arc<Shared>,
    commit: Id,
    root: Id,
    found: Found,
    paths: Arc<Paths>,
}

/// The paths of the files that were listed last: nearly every revision has the same ones.
#[derive(Debug, Default)]
pub(super) struct Paths(Mutex<Vec<Arc<str>>>);

impl Point {
    pub(super) fn new(
        repository: Arc<Shared>,
        commit: Id,
        root: Id,
        found: Found,
        paths: Arc<Paths>,
    ) -> Self {
        Self { repository, commit, root, found, paths }
    }

    /// The full name of the commit, in hexadecimal digits.
    pub fn id(&self) -> String {
        self.commit.to_string()
    }

    /// The folder in which the design lies; `None` where there is none, or nobody can tell.
    pub fn folder(&self) -> Option<&str> {
        match &self.found {
            Found::Design { folder, .. } => Some(folder),
            _ => None,
        }
    }

    /// Whether the revision has no design at all.
    pub fn is_bare(&self) -> bool {
        matches!(self.found, Found::Nothing)
    }

    /// Whether both hold the same folder, so that nothing of the design can differ but what lies
    /// outside of it.
    pub fn is_same(&self, other: &Self) -> bool {
        match (&self.found, &other.found) {
            (Found::Design { folder: a, tree: x }, Found::Design { folder: b, tree: y }) => {
                a == b && Arc::ptr_eq(x, y)
            }
            (Found::Nothing, Found::Nothing) => true,
            _ => false,
        }
    }

    fn tree(&self) -> Result<(&str, &Tree), SourceError> {
        let revision = || self.repository.lock().short(self.commit);
        let error = match &self.found {
            Found::Design { folder, tree } => return Ok((folder, tree)),
            Found::Nothing => {
                RevisionError::NoDesign { revision: revision(), folder: String::new() }
            }
            Found::Several(folders) => {
                let folders = folders.clone();
                RevisionError::SeveralDesigns { revision: revision(), folders }
            }
            Found::TooMany => {
                RevisionError::TooManyFolders { revision: revision(), limit: MOST_FOLDERS }
            }
        };
        Err(error.into())
    }

    /// The blob of an ordinary file directly in the design's folder.
    fn direct(&self, clean: &str) -> Option<Id> {
        let (folder, tree) = self.tree().ok()?;
        let name = match folder {
            "" => clean,
            folder => clean.strip_prefix(folder)?.strip_prefix('/')?,
        };
        tree.entry(name).filter(|entry| entry.kind() == EntryKind::File).map(|entry| entry.id)
    }
}

impl Source for Point {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        Ok(self.stamps()?.iter().map(|(path, _)| path.to_string()).collect())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        let clean = path::inside(path)?;
        let (folder, _) = self.tree()?;
        let direct = self.direct(&clean);
        let objects = &**self.repository.lock();
        let id = match direct {
            Some(id) => Ok(id),
            None => blob::find(objects, self.root, &clean, folder),
        };
        id.and_then(|id| blob::bytes(objects, id, &clean)).map_err(|lookup| match lookup {
            Lookup::Refused(error) => error,
            Lookup::Repository(error) => {
                let wanted = format!("{clean} of revision {}", objects.short(self.commit));
                unread(objects, &wanted, self.commit, error).into()
            }
        })
    }
}

impl Stamped for Point {
    fn stamps(&self) -> Result<Arc<Stamps>, SourceError> {
        let (folder, tree) = self.tree()?;
        let mut known = self.paths.0.lock().unwrap_or_else(PoisonError::into_inner);
        let mut stamps = Vec::with_capacity(known.len());
        for entry in tree.entries() {
            let is_link = match entry.kind() {
                EntryKind::File => false,
                EntryKind::Link => true,
                EntryKind::Folder | EntryKind::Submodule => continue,
            };
            let same = known.get(stamps.len());
            let path = match same.filter(|path| path::is_joined(path, folder, entry.name)) {
                Some(path) => Arc::clone(path),
                None => match path::listed(folder, entry.name) {
                    Some(path) => path?.into(),
                    None => continue,
                },
            };
            stamps.push((path, stamp(entry.id, is_link)));
        }
        let same = |(path, (listed, _)): (&Arc<str>, &(Arc<str>, Stamp))| Arc::ptr_eq(path, listed);
        if known.len() != stamps.len() || !known.iter().zip(&stamps).all(same) {
            *known = stamps.iter().map(|(path, _)| Arc::clone(path)).collect();
        }
        stamps.sort_unstable();
        Ok(Arc::new(stamps))
    }
}

/// A link holds a path, and a file could hold the same bytes: they are not the same text.
fn stamp(id: Id, is_link: bool) -> Stamp {
    let mut bytes = [0; 32];
    for (byte, of_id) in bytes.iter_mut().zip(id.as_bytes()) {
        *byte = if is_link { !of_id } else { *of_id };
    }
    Stamp(bytes)
}

impl fmt::Debug for Point {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Point").field("commit", &self.commit).finish_non_exhaustive()
    }
}
