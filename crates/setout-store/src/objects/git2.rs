//! Objects through the git library, which runs no program.

use std::collections::HashSet;
use std::fs;
use std::path::Path;
use std::sync::Once;

use git2::{ErrorCode, ObjectType, Oid, Repository};

use super::{Id, Kind, ObjectError, Objects, SpecError};
use crate::diagnose::{is_partial, not_opened};
use crate::refusal::RevisionError;

/// A repository that the library opened.
pub(super) struct Library {
    repository: Repository,
    partial: bool,
    cut: HashSet<Id>,
}

impl Library {
    pub(super) fn open(place: &Path) -> Result<Self, RevisionError> {
        trust_stored_objects();
        let repository = Repository::open(place).map_err(|error| not_opened(place, &error))?;
        let partial = is_partial(&repository);
        let cut = cut_commits(&repository.commondir().join("shallow"));
        Ok(Self { repository, partial, cut })
    }
}

impl Objects for Library {
    fn resolve(&self, spec: &str) -> Result<Id, SpecError> {
        let object = self.repository.revparse_single(spec)?;
        let commit = object.peel(ObjectType::Commit).map_err(|_| SpecError::NotACommit)?;
        Ok(id_of(commit.id()))
    }

    fn object(&self, id: Id, kind: Kind, limit: u64) -> Result<Vec<u8>, ObjectError> {
        let (odb, oid) = (self.repository.odb()?, oid_of(id)?);
        // The header tells the size before anything is unpacked. To ask for it costs a second
        // lookup, so it is done only where a user's file may be of any size.
        if kind == Kind::Blob {
            let (bytes, _) = odb.read_header(oid)?;
            within(bytes, limit)?;
        }
        let object = odb.read(oid)?;
        within(object.len(), limit)?;
        if object.kind() != type_of(kind) {
            return Err(ObjectError::malformed(id));
        }
        Ok(object.data().to_vec())
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
        self.partial
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

fn within(bytes: usize, limit: u64) -> Result<(), ObjectError> {
    let bytes = bytes as u64;
    if bytes <= limit { Ok(()) } else { Err(ObjectError::TooLarge { bytes }) }
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

/// The commits whose parents a shallow clone left out, from git's list of them.
fn cut_commits(list: &Path) -> HashSet<Id> {
    let text = fs::read(list).unwrap_or_default();
    text.split(|byte| *byte == b'\n').filter_map(Id::from_hex).collect()
}

/// Turns off the library's habit of hashing every object that it reads: a walk through history
/// pays for it at every step, and to find damage is the work of `git fsck`. That a repository
/// must belong to the user stays checked.
fn trust_stored_objects() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| git2::opts::strict_hash_verification(false));
}
