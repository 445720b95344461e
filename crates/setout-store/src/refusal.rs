//! Why a revision cannot be had, and what mends it.

use std::path::PathBuf;

/// The oldest git that is asked. From this version on it refuses the repositories of other users;
/// an older one would read what the library refused for that.
pub(crate) const OLDEST_GIT: [u32; 2] = [2, 36];

/// Why a revision of a design cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum RevisionError {
    /// There is no repository of git.
    NotARepository {
        /// The root of the design, or the folder that was named.
        place: PathBuf,
    },
    /// Nothing was committed yet.
    NoRevisionYet {
        /// The branch on which the first revision would stand.
        branch: String,
    },
    /// The text is no way to name a revision.
    BadSpec {
        /// The text.
        spec: String,
    },
    /// The repository knows no revision of this name.
    UnknownRevision {
        /// The name that was given.
        spec: String,
        /// Branches and tags with nearly that name, the nearest first.
        nearest: Vec<String>,
    },
    /// Several revisions begin with these digits.
    Ambiguous {
        /// The abbreviation.
        spec: String,
    },
    /// The name stands for a file or a folder.
    NotACommit {
        /// The name that was given.
        spec: String,
    },
    /// The clone is shallow, and what was asked for is beyond its depth.
    Shallow {
        /// What was asked for, as a noun.
        wanted: String,
        /// The command that brings it.
        fetch: String,
        /// Branches and tags with nearly that name, the nearest first.
        nearest: Vec<String>,
    },
    /// Two revisions have no common ancestor.
    NoMergeBase {
        /// The one.
        one: String,
        /// The other.
        other: String,
    },
    /// The revision holds no design.
    NoDesign {
        /// The revision, abbreviated.
        revision: String,
        /// Where the design was looked for first, `""` for the root.
        folder: String,
    },
    /// The revision holds several designs, and none where it was looked for.
    SeveralDesigns {
        /// The revision, abbreviated.
        revision: String,
        /// Their folders.
        folders: Vec<String>,
    },
    /// The revision has more folders than are searched for a design that has moved.
    TooManyFolders {
        /// The revision, abbreviated.
        revision: String,
        /// How many are searched.
        limit: usize,
    },
    /// The history is longer than what is walked.
    TooManyRevisions {
        /// How many revisions are walked.
        limit: usize,
    },
    /// The repository belongs to somebody else, who could have put anything there.
    Owner {
        /// The repository.
        place: PathBuf,
        /// Why git, which may have been told to trust it, was not asked.
        git: Option<GitError>,
    },
    /// The repository is stored in a way that only the installed git reads, and that did not.
    Unsupported {
        /// The repository.
        place: PathBuf,
        /// The way.
        storage: Storage,
        /// Why git did not read it.
        git: Option<GitError>,
    },
    /// An object that the revision needs is not in the repository.
    Missing {
        /// What is missing, as a noun.
        wanted: String,
        /// Whether the repository is a partial clone, which fetches objects when git needs them.
        partial: bool,
        /// The full name of the revision.
        revision: String,
        /// Why git did not fetch it.
        git: Option<GitError>,
    },
    /// Anything else that the repository refused.
    Repository {
        /// What was attempted, as in "look for branches".
        attempt: String,
        /// What the repository said.
        reason: String,
    },
}

/// Ways to store a repository that only the installed git reads.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Storage {
    /// Names of objects are SHA-256.
    Sha256,
    /// References stand in tables, not in files.
    Reftable,
    /// Objects are fetched when they are needed, by an extension of the format.
    PartialClone,
    /// Any other extension of the format.
    Extension(String),
}

/// Why the installed git did not do what only it can.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum GitError {
    /// There is no git in the folders of `PATH`, apart from the current one and the repository.
    Absent,
    /// It is too old to be asked.
    TooOld {
        /// Its version.
        version: String,
    },
    /// It refuses the repository of another user.
    Owner,
    /// It would have to fetch, and `GIT_NO_LAZY_FETCH` forbids that.
    Forbidden,
    /// It would have to fetch, and the repository's own configuration names a program for that,
    /// or a file.
    Withheld {
        /// The entry of the configuration.
        key: String,
    },
    /// It could not fetch.
    NotFetched {
        /// What it said.
        reason: String,
    },
    /// Anything else.
    Refused {
        /// What it said.
        reason: String,
    },
}
