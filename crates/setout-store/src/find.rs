//! Finding the design that somebody means by standing somewhere.

use std::fs;
use std::path::{Path, PathBuf};

use crate::folder::Folder;
use crate::note::Unfinished;
use crate::place::is_absent;

/// The file that makes a folder a design.
pub(crate) const DESIGN_FILE: &str = "design.yaml";
/// The folder in which a project usually keeps it.
const USUAL_FOLDER: &str = "params";

/// Why no design was found.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum FindError {
    /// The folder to start from cannot be entered.
    Start {
        /// The folder as it was given.
        start: PathBuf,
        /// What the system said.
        reason: String,
    },
    /// Neither the folder nor any above it holds a design.
    NoDesign {
        /// The folder from which the search went up.
        start: PathBuf,
    },
    /// The search ended in a bare repository, which has no working tree.
    Bare {
        /// The repository.
        repository: PathBuf,
    },
    /// `params` is a symbolic link, so the design might lie outside of its root.
    Linked {
        /// The link.
        link: PathBuf,
    },
    /// The way from the root to the design is not UTF-8.
    NotUtf8 {
        /// The design's folder.
        folder: PathBuf,
    },
    /// Only some of the design's files hold what was last written.
    Unfinished(Unfinished),
    /// The system refused to say whether there is a design.
    Io {
        /// Where it was looked for.
        place: PathBuf,
        /// What the system said.
        reason: String,
    },
}

impl std::fmt::Display for FindError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Start { start, reason } => {
                write!(f, "the folder {} cannot be entered: {reason}", start.display())
            }
            Self::NoDesign { start } => {
                write!(f, "no design in {} or any folder above it", start.display())
            }
            Self::Bare { repository } => {
                let shown = repository.display();
                write!(f, "{shown} is a bare repository: it has revisions but no working tree")
            }
            Self::Linked { link } => {
                write!(f, "{} is a symbolic link, and a design is not linked", link.display())
            }
            Self::NotUtf8 { folder } => {
                write!(f, "the name of the folder {} is not UTF-8", folder.display())
            }
            Self::Unfinished(unfinished) => unfinished.fmt(f),
            Self::Io { place, reason } => {
                write!(f, "{} cannot be looked at: {reason}", place.display())
            }
        }
    }
}

impl std::error::Error for FindError {}

impl FindError {
    /// What would mend it, as a sentence without its full stop.
    pub fn help(&self) -> String {
        match self {
            Self::Start { .. } | Self::Io { .. } => "name a folder that exists and can be read",
            Self::NoDesign { .. } => {
                "a design is a folder with a design.yaml: begin one with setout new, or name the \
                 folder of one with -C"
            }
            Self::Bare { .. } => "compare two of its revisions, as in A..B, or clone it",
            Self::Linked { .. } => "enter the folder that the link leads to, or name it with -C",
            Self::NotUtf8 { .. } => "rename the folder",
            Self::Unfinished(unfinished) => return unfinished.help(),
        }
        .to_owned()
    }
}

impl Folder {
    /// The design that is meant by standing in `start`: there, in its `params`, or the same in
    /// the nearest folder above.
    ///
    /// # Errors
    /// When there is none, it lies where a design must not lie, or it is half written.
    pub fn find(start: &Path) -> Result<Self, FindError> {
        let start = start.canonicalize().map_err(|error| FindError::Start {
            start: start.to_owned(),
            reason: error.to_string(),
        })?;
        for above in start.ancestors() {
            if holds_design(above)? {
                return Self::at(above.to_owned());
            }
            let usual = above.join(USUAL_FOLDER);
            if holds_design(&usual)? {
                return if usual.is_symlink() {
                    Err(FindError::Linked { link: usual })
                } else {
                    Self::at(usual)
                };
            }
        }
        Err(match start.ancestors().find(|above| is_bare(above)) {
            Some(repository) => FindError::Bare { repository: repository.to_owned() },
            None => FindError::NoDesign { start },
        })
    }

    /// The design in this very folder, which is canonical.
    fn at(design_dir: PathBuf) -> Result<Self, FindError> {
        let root = root_of(&design_dir);
        let below = design_dir.strip_prefix(&root).unwrap_or(Path::new(""));
        let parts: Option<Vec<&str>> = below.iter().map(|part| part.to_str()).collect();
        match parts {
            Some(parts) => Self { folder: parts.join("/"), root, design_dir }.finished(),
            None => Err(FindError::NotUtf8 { folder: design_dir }),
        }
    }

    /// The folder, unless its design is half written.
    fn finished(self) -> Result<Self, FindError> {
        match self.unfinished() {
            Ok(None) => Ok(self),
            Ok(Some(unfinished)) => Err(FindError::Unfinished(unfinished)),
            Err(error) => {
                let place = self.design_dir;
                Err(FindError::Io { place, reason: error.to_string() })
            }
        }
    }
}

/// Whether `folder` holds a `design.yaml`. A linked one counts: reading it says what is wrong.
fn holds_design(folder: &Path) -> Result<bool, FindError> {
    let file = folder.join(DESIGN_FILE);
    match fs::symlink_metadata(&file) {
        Ok(meta) => Ok(!meta.is_dir()),
        Err(error) if is_absent(&error) => Ok(false),
        Err(error) => Err(FindError::Io { place: file, reason: error.to_string() }),
    }
}

/// The work tree that holds the design; without one the parent of `params`, or the folder.
fn root_of(design_dir: &Path) -> PathBuf {
    if let Some(tree) = design_dir.ancestors().find(|above| above.join(".git").exists()) {
        return tree.to_owned();
    }
    match design_dir.parent() {
        Some(parent) if design_dir.ends_with(USUAL_FOLDER) => parent.to_owned(),
        _ => design_dir.to_owned(),
    }
}

/// Whether this looks like a repository without a work tree round it.
pub(crate) fn is_bare(folder: &Path) -> bool {
    folder.join("HEAD").is_file()
        && folder.join("objects").is_dir()
        && folder.join("refs").is_dir()
        && !folder.ends_with(".git")
}
