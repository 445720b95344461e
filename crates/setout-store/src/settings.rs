//! What git is told of a repository's files: its own configuration, and the attributes of paths.

use std::env;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use crate::folder::Folder;
use crate::objects::{Installed, is_program};
use crate::refusal::GitError;

/// The settings of a design's repository, by the installed git.
pub struct GitSettings {
    git: Installed,
}

impl GitSettings {
    /// Those of the repository whose work tree is the root of `folder`.
    ///
    /// # Errors
    /// When there is no git, or it does not read the repository.
    pub fn of(folder: &Folder) -> Result<Self, GitError> {
        let git = Installed::new(folder.root())?;
        let settings = Self { git };
        settings.git.text(&["rev-parse", "--git-dir"])?;
        Ok(settings)
    }

    /// What holds in the repository, whichever configuration says it: its own, that of the work
    /// tree or of the user.
    ///
    /// # Errors
    /// When git cannot read it.
    pub fn get(&self, key: &str) -> Result<Option<String>, GitError> {
        self.git.answer(&["config", "--get", key])
    }

    /// Sets it in the repository's own configuration. Git writes the whole of its file anew and renames it into place.
    ///
    /// # Errors
    /// When git cannot write it.
    pub fn set(&self, key: &str, value: &str) -> Result<(), GitError> {
        self.git.text(&["config", "--local", "--replace-all", key, value]).map(drop)
    }

    /// The values of some attributes of root-relative paths: a path, an attribute and its value
    /// each.
    ///
    /// # Errors
    /// When git cannot tell.
    pub fn attributes(&self, names: &[&str], paths: &[&str]) -> Result<Vec<[String; 3]>, GitError> {
        let mut found = Vec::new();
        for some in paths.chunks(MOST_PATHS) {
            let words = [&["check-attr", "-z"], names, &["--"], some].concat();
            let told = self.git.text(&words)?;
            let words: Vec<&str> = told.split('\0').collect();
            let three = |three: &[&str]| [0, 1, 2].map(|at| three[at].to_owned());
            found.extend(words.chunks_exact(3).map(three));
        }
        Ok(found)
    }

    /// What a file held at the last commit; nothing where there is no commit, or no such file.
    ///
    /// # Errors
    /// When git cannot tell.
    pub fn committed(&self, path: &str) -> Result<Option<Vec<u8>>, GitError> {
        let name = format!("HEAD:{path}");
        match self.git.answer(&["rev-parse", "--quiet", "--verify", &name])? {
            Some(_) => self.git.output(&["cat-file", "blob", &name]).map(Some),
            None => Ok(None),
        }
    }
}

/// So many paths are asked about in one call: a call may only be so long.
const MOST_PATHS: usize = 500;

/// What is found under a name on the `PATH`.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ProgramFound {
    /// Nothing that can be run.
    Nothing,
    /// A program that does not tell its version.
    Fails {
        /// Where it is.
        file: PathBuf,
        /// What happened.
        reason: String,
    },
    /// A program, and what it says to `--version`.
    Says(String),
}

/// Asks the first program of a name on the `PATH` for its version. Folders that are given
/// relative to the current one are passed over: what stands there may be anybody's.
pub fn installed(name: &str) -> ProgramFound {
    let path = env::var_os("PATH").unwrap_or_default();
    let name = format!("{name}{}", env::consts::EXE_SUFFIX);
    let folders = env::split_paths(&path).filter(|folder| folder.is_absolute());
    let Some(file) = folders.map(|folder| folder.join(&name)).find(|file| is_program(file)) else {
        return ProgramFound::Nothing;
    };
    match Command::new(&file).arg("--version").stdin(Stdio::null()).output() {
        Ok(output) if output.status.success() => {
            ProgramFound::Says(String::from_utf8_lossy(&output.stdout).trim_end().to_owned())
        }
        Ok(output) => {
            ProgramFound::Fails { file, reason: format!("it ended with {}", output.status) }
        }
        Err(error) => ProgramFound::Fails { file, reason: error.to_string() },
    }
}
