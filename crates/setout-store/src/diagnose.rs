//! What the git library says, turned into what it means and what mends it.

use std::fs;
use std::path::{Path, PathBuf};

use git2::{Config, ErrorCode, Repository};

use crate::nearest;
use crate::objects::{Id, ObjectError, Objects, SpecError};
use crate::refusal::{GitError, RevisionError, Storage};

/// Why the repository at `place` was not opened.
pub(crate) fn not_opened(place: &Path, error: &git2::Error) -> RevisionError {
    let place = place.to_owned();
    match error.code() {
        ErrorCode::NotFound => RevisionError::NotARepository { place },
        ErrorCode::Owner => RevisionError::Owner { place, git: None },
        _ => match storage(&git_dir(&place)) {
            Some(storage) => RevisionError::Unsupported { place, storage, git: None },
            None => refused("be opened", error.message().to_owned()),
        },
    }
}

/// A refusal of the library, and why git did not open the repository either.
pub(crate) fn neither(refusal: RevisionError, git: GitError) -> RevisionError {
    match (refusal, git) {
        (RevisionError::Owner { place, .. }, git) => {
            let git = (git != GitError::Owner).then_some(git);
            RevisionError::Owner { place, git }
        }
        (RevisionError::Unsupported { place, .. }, GitError::Owner) => {
            RevisionError::Owner { place, git: None }
        }
        (RevisionError::Unsupported { place, storage, .. }, git) => {
            RevisionError::Unsupported { place, storage, git: Some(git) }
        }
        (RevisionError::Repository { attempt, reason }, git) => {
            RevisionError::Repository { attempt, reason: format!("{reason}; {git}") }
        }
        (refusal, _) => refusal,
    }
}

/// Anything without a meaning of its own, with what was attempted.
pub(crate) fn refused(attempt: &str, reason: String) -> RevisionError {
    RevisionError::Repository { attempt: attempt.to_owned(), reason }
}

/// Why something that a revision names could not be read.
pub(crate) fn unread(
    objects: &dyn Objects,
    wanted: &str,
    commit: Id,
    error: ObjectError,
) -> RevisionError {
    let attempt = format!("read {wanted}");
    let missing = |git| RevisionError::Missing {
        wanted: wanted.to_owned(),
        partial: objects.is_partial(),
        revision: commit.to_string(),
        git,
    };
    match error {
        ObjectError::Missing => missing(None),
        ObjectError::NotFetched(git) => missing(Some(git)),
        ObjectError::TooLarge { bytes } => refused(&attempt, format!("it has {bytes} bytes")),
        ObjectError::Failed { reason } => refused(&attempt, reason),
    }
}

/// Why `spec` was not resolved to a commit.
pub(crate) fn not_resolved(objects: &dyn Objects, spec: &str, error: SpecError) -> RevisionError {
    let spec = spec.to_owned();
    match error {
        SpecError::Ambiguous => RevisionError::Ambiguous { spec },
        SpecError::NotACommit => RevisionError::NotACommit { spec },
        SpecError::Failed { reason } => refused(&format!("find '{spec}'"), reason),
        SpecError::Unknown | SpecError::Malformed => {
            if let Some(branch) = unborn(objects, &spec) {
                RevisionError::NoRevisionYet { branch }
            } else if matches!(error, SpecError::Malformed) {
                RevisionError::BadSpec { spec }
            } else if objects.is_shallow() {
                nearest::beyond_depth(objects, &spec)
            } else {
                let nearest = nearest::names(objects, &spec);
                RevisionError::UnknownRevision { spec, nearest }
            }
        }
    }
}

/// The branch that is checked out, if it has no commit and the question is about it, or if
/// there are no commits at all.
fn unborn(objects: &dyn Objects, spec: &str) -> Option<String> {
    if objects.resolve("HEAD").is_ok() {
        return None;
    }
    let about_head = spec.starts_with("HEAD") || spec.starts_with('@');
    if !about_head && !objects.references().is_empty() {
        return None;
    }
    let target = objects.branch()?;
    Some(target.strip_prefix("refs/heads/").map_or(target.clone(), str::to_owned))
}

/// Whether missing objects are only not fetched yet.
pub(crate) fn is_partial(repo: &Repository) -> bool {
    let Ok(config) = repo.config() else { return false };
    config.get_string("extensions.partialclone").is_ok()
        || any_entry(&config, r"^remote\..*\.promisor$", |_, value| value != "false")
}

/// The extension of the format because of which a repository is not opened.
fn storage(git_dir: &Path) -> Option<Storage> {
    let config = Config::open(&git_dir.join("config")).ok()?;
    let is = |name: &str, value: &str| config.get_string(name).is_ok_and(|found| found == value);
    if is("extensions.objectformat", "sha256") {
        return Some(Storage::Sha256);
    }
    if is("extensions.refstorage", "reftable") {
        return Some(Storage::Reftable);
    }
    if config.get_string("extensions.partialclone").is_ok() {
        return Some(Storage::PartialClone);
    }
    let mut other = None;
    any_entry(&config, r"^extensions\..*$", |name, _| {
        other = name.strip_prefix("extensions.").map(str::to_owned);
        !KNOWN.contains(&other.as_deref().unwrap_or_default())
    })
    .then_some(other.map(Storage::Extension))?
}

/// Extensions that the library reads, and so not why a repository is refused.
const KNOWN: [&str; 5] =
    ["noop", "objectformat", "preciousobjects", "relativeworktrees", "worktreeconfig"];

/// Whether any entry whose name matches `pattern` satisfies `wanted`.
fn any_entry(config: &Config, pattern: &str, mut wanted: impl FnMut(&str, &str) -> bool) -> bool {
    let Ok(mut entries) = config.entries(Some(pattern)) else { return false };
    while let Some(Ok(entry)) = entries.next() {
        let name = String::from_utf8_lossy(entry.name_bytes()).into_owned();
        if wanted(&name, &String::from_utf8_lossy(entry.value_bytes())) {
            return true;
        }
    }
    false
}

/// The folder with the configuration of the repository at `place`.
fn git_dir(place: &Path) -> PathBuf {
    let own = own_git_dir(place);
    match fs::read_to_string(own.join("commondir")) {
        Ok(common) => own.join(common.trim()),
        Err(_) => own,
    }
}

/// The folder with the `HEAD` of the repository at `place`: its own `.git`, what a `.git` file of
/// a further work tree or a submodule names, or `place` itself.
pub(crate) fn own_git_dir(place: &Path) -> PathBuf {
    let inner = place.join(".git");
    if inner.is_dir() {
        return inner;
    }
    match fs::read_to_string(&inner) {
        Ok(text) => place.join(text.trim_start_matches("gitdir:").trim()),
        Err(_) => place.to_owned(),
    }
}
