//! Where the texts of a design come from and go to: a folder on disk, or a revision in git.
//!
//! Both are a [`Source`](setout_design::Source), so that everything else reads last year's
//! revision and today's files in the same way:
//!
//! ```
//! use setout_design::Source;
//! use setout_store::Folder;
//!
//! # let bench = tempfile::tempdir()?;
//! # let project = bench.path();
//! # std::fs::create_dir(project.join("params"))?;
//! # std::fs::write(project.join("params/design.yaml"), "setout: 1\nname: a lid\n")?;
//! // Found from anywhere in the project, as git finds its repository.
//! let folder = Folder::find(&project.join("params"))?;
//! folder.write("params/lid.yaml", b"dimensions: { width: 62 mm }\n")?;
//! assert_eq!(folder.list()?, ["params/design.yaml", "params/lid.yaml"]);
//!
//! // A change that is lost on nobody: only if the file is still what it was.
//! let before = folder.read("params/lid.yaml")?;
//! folder.write_if_unchanged("params/lid.yaml", &before, b"dimensions: { width: 64 mm }\n")?;
//! assert!(folder.write_if_unchanged("params/lid.yaml", &before, b"").is_err());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! | to | use |
//! | --- | --- |
//! | find a design on disk | [`Folder::find`] |
//! | write files, whole or not at all | [`Folder::write`], [`Folder::write_all`] |
//! | change a file that was read before | [`Folder::write_if_unchanged`] |
//! | read it at a revision | [`Revision::open`], or [`Revisions`] for several |
//! | tell git how tables are merged and shown | [`GitSettings`] |
//! | go back through history | [`Revisions::walk`] |
//! | read `A..B` and open both sides | [`spec_pair`], [`Revisions::sides`] |
//!
//! # What is kept out
//! A design may come from a stranger. Neither source reads outside its root: a path with `..`, an
//! absolute one, a symbolic link that leads out, and a `.git` on the way are
//! [`Unsafe`](setout_design::SourceError::Unsafe), as are pipes and devices, which could hang the
//! reader. Files have a largest size.
//!
//! Repositories are read by a library that runs no program, whatever their configuration says, and
//! that refuses those of other users, as git does. What it cannot read (SHA-256 objects, reftable,
//! what a partial clone left out, a repository of another user that git was told to trust) is read
//! through the git on `PATH`, with everything switched off that a configuration can run. Only in a
//! partial clone may git fetch, by no program that the repository names, and only if
//! `GIT_NO_LAZY_FETCH` does not forbid it. Where neither can read, one error holds both reasons.
//!
//! # Why so
//! One library stands behind each module: git2 behind `objects`, tempfile behind `stage`. No error
//! of theirs goes out as it is; each has a sentence that says what it means for the design, and
//! [`help`](RevisionError::help) that names the mend.

mod blob;
mod diagnose;
mod find;
mod folder;
pub mod limits;
mod lock;
mod nearest;
mod note;
mod objects;
mod pair;
mod path;
mod place;
mod refusal;
mod revision;
mod revisions;
mod settings;
mod stage;
mod tree;
mod unwritten;
mod walk;
mod wording;
mod write;

pub use find::FindError;
pub use folder::Folder;
pub use note::Unfinished;
pub use pair::{Pair, spec_pair};
pub use refusal::{GitError, RevisionError, Storage};
pub use revision::{Date, Revision};
pub use revisions::{Revisions, Sides};
pub use settings::{GitSettings, ProgramFound, installed};
pub use stage::replace_file;
pub use unwritten::WriteError;
pub use walk::{MOST_REVISIONS, Point, Walk};
pub use write::Replacement;
