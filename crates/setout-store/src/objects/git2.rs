//! Objects through the git library, which runs no program.

use std::cell::OnceCell;
use std::collections::HashSet;
use std::path::{Path, PathBuf};
use std::sync::Once;

use git2::{ErrorCode, ObjectType, Oid, Repository, StatusOptions};

use super::command::Command;
use super::{Id, Kind, ObjectError, Objects, Recent, SpecError, cut_commits, is_work_tree, within};
use crate::diagnose::{is_partial, not_opened};
use crate::refusal::{GitError, RevisionError};

/// A repository that the library opened.
pub(super) struct Library {
    repository: Repository,
    cut: HashSet<Id>,
    left_out: Option<LeftOut>,
    recent: Recent,
}

/// What a partial clone does not hold: git is asked for it, and may fetch it.
struct LeftOut {
    place: PathBuf,
    git: OnceCell<Result<Command, GitError>>,
}

impl Library {
    pub(super) fn open(place: &Path) -> Result<Self, RevisionError> {
        set_up_library();
        let repository = Repository::open(place).map_err(|error| not_opened(place, &error))?;
        let cut = cut_commits(&repository.commondir().join("shallow"));
        let left_out = is_partial(&repository)
            .then(|| LeftOut { place: place.to_owned(), git: OnceCell::new() });
        Ok(Self { repository, cut, left_out, recent: Recent::default() })
    }

    /// An object that the repository holds.
    fn stored(&self, id: Id, kind: Kind, limit: u64) -> Result<Vec<u8>, ObjectError> {
        let (odb, oid) = (self.repository.odb()?, oid_of(id)?);
        // The header tells the size before anything is unpacked. To ask for it costs a second
        // lookup, so it is done only where a user's file may be of any size.
        if kind == Kind::Blob {
            let (bytes, _) = odb.read_header(oid)?;
            within(bytes as u64, limit)?;
        }
        let object = odb.read(oid)?;
        within(object.len() as u64, limit)?;
        if object.kind() != type_of(kind) {
            return Err(ObjectError::malformed(id));
        }
        Ok(object.data().to_vec())
    }
}

impl Objects for Library {
    fn resolve(&self, spec: &str) -> Result<Id, SpecError> {
        let object = self.repository.revparse_single(spec)?;
        let commit = object.peel(ObjectType::Commit).map_err(|_| SpecError::NotACommit)?;
        Ok(id_of(commit.id()))
    }

    fn object(&self, id: Id, kind: Kind, limit: u64) -> Result<Vec<u8>, ObjectError> {
        match (self.stored(id, kind, limit), &self.left_out) {
            (Err(ObjectError::Missing), Some(left_out)) => left_out.git()?.object(id, kind, limit),
            (object, _) => object,
        }
    }

    fn merge_base(&self, one: Id, other: Id) -> Result<Option<Id>, ObjectError> {
        match self.repository.merge_base(oid_of(one)?, oid_of(other)?) {
            Ok(base) => Ok(Some(id_of(base))),
            Err(error) if error.code() == ErrorCode::NotFound => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    fn short(&self, id: Id) -> String {
        let oid = oid_of(id).ok();
        let object = oid.and_then(|oid| self.repository.find_object(oid, None).ok());
        let short = object.and_then(|object| object.short_id().ok());
        let short = short.and_then(|short| short.as_str().map(str::to_owned).ok());
        short.unwrap_or_else(|| id.to_string())
    }

    fn references(&self) -> Vec<String> {
        let Ok(references) = self.repository.references() else { return Vec::new() };
        let full = |name: &[u8]| String::from_utf8_lossy(name).into_owned();
        references.flatten().map(|reference| full(reference.name_bytes())).collect()
    }

    fn branch(&self) -> Option<String> {
        let head = self.repository.find_reference("HEAD").ok()?;
        Some(String::from_utf8_lossy(head.symbolic_target_bytes()?).into_owned())
    }

    fn remotes(&self) -> Vec<String> {
        let names = self.repository.remotes();
        let names = names.iter().flat_map(|all| all.iter());
        names.filter_map(|name| name.ok().flatten()).map(str::to_owned).collect()
    }

    fn is_shallow(&self) -> bool {
        self.repository.is_shallow()
    }

    fn is_cut(&self, id: Id) -> bool {
        self.cut.contains(&id)
    }

    fn is_partial(&self) -> bool {
        self.left_out.is_some()
    }

    fn holds(&self, file: Id) -> Result<(), ObjectError> {
        match &self.left_out {
            _ if self.repository.odb()?.exists(oid_of(file)?) => Ok(()),
            Some(left_out) => left_out.git()?.holds(file),
            None => Err(ObjectError::Missing),
        }
    }

    fn recent(&self) -> &Recent {
        &self.recent
    }

    fn name_of(&self, content: &[u8]) -> Option<Id> {
        Oid::hash_object(ObjectType::Blob, content).ok().map(id_of)
    }

    fn gather(&self, files: &[Id]) {
        let (Some(left_out), Ok(odb)) = (&self.left_out, self.repository.odb()) else { return };
        let is_here = |id: &&Id| oid_of(**id).is_ok_and(|oid| odb.exists(oid));
        let missing: Vec<Id> = files.iter().filter(|id| !is_here(id)).copied().collect();
        if let (2.., Ok(git)) = (missing.len(), left_out.git()) {
            git.gather(&missing);
        }
    }

    fn changed(&self, root: &Path) -> Result<Vec<String>, ObjectError> {
        is_work_tree(root, self.repository.workdir())?;
        let mut options = StatusOptions::new();
        options.include_untracked(false).include_ignored(false).no_refresh(true);
        let statuses = self.repository.statuses(Some(&mut options))?;
        let path = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        let mut paths: Vec<String> =
            statuses.iter().map(|status| path(status.path_bytes())).collect();
        paths.sort_unstable();
        paths.dedup();
        Ok(paths)
    }
}

impl LeftOut {
    fn git(&self) -> Result<&Command, ObjectError> {
        let git = self.git.get_or_init(|| Command::open(&self.place));
        git.as_ref().map_err(|why| ObjectError::NotFetched(why.clone()))
    }
}

impl From<git2::Error> for ObjectError {
    fn from(error: git2::Error) -> Self {
        match error.code() {
            ErrorCode::NotFound => Self::Missing,
            _ => Self::Failed { reason: error.message().to_owned() },
        }
    }
}

impl From<git2::Error> for SpecError {
    fn from(error: git2::Error) -> Self {
        match error.code() {
            ErrorCode::NotFound | ErrorCode::UnbornBranch => Self::Unknown,
            ErrorCode::InvalidSpec => Self::Malformed,
            ErrorCode::Ambiguous => Self::Ambiguous,
            ErrorCode::Peel => Self::NotACommit,
            _ => Self::Failed { reason: error.message().to_owned() },
        }
    }
}

fn id_of(oid: Oid) -> Id {
    Id::from_bytes(oid.as_bytes()).expect("the library's names have one of the two lengths")
}

/// The library reads SHA-1 alone, so a longer name is of no object in its repositories.
fn oid_of(id: Id) -> Result<Oid, ObjectError> {
    Oid::from_bytes(id.as_bytes()).map_err(|_| ObjectError::Missing)
}

fn type_of(kind: Kind) -> ObjectType {
    match kind {
        Kind::Commit => ObjectType::Commit,
        Kind::Tree => ObjectType::Tree,
        Kind::Blob => ObjectType::Blob,
    }
}

/// Turns off the library's habit of hashing every object that it reads: a walk through history
/// pays for it at every step, and to find damage is the work of `git fsck`. That a repository
/// must belong to the user stays checked. It does not keep what it read either: nearly every object
/// is read once.
fn set_up_library() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        git2::opts::strict_hash_verification(false);
        git2::opts::enable_caching(false);
    });
}
