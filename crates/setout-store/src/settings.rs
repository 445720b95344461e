//! What git is told of a repository's files: its own configuration, and the attributes of paths.

use crate::folder::Folder;
use crate::objects::Installed;
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

    /// What the repository's own configuration says, if it says it.
    ///
    /// # Errors
    /// When git cannot read it.
    pub fn get(&self, key: &str) -> Result<Option<String>, GitError> {
        self.git.answer(&["config", "--local", "--get", key])
    }

    /// Sets it. Git writes the whole of its file anew and renames it into place.
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
        let words = [&["check-attr", "-z"], names, &["--"], paths].concat();
        let told = self.git.text(&words)?;
        let words: Vec<&str> = told.split('\0').collect();
        Ok(words.chunks_exact(3).map(|three| [0, 1, 2].map(|at| three[at].to_owned())).collect())
    }

    /// Whether the last commit, or what is staged for the next, has a file.
    ///
    /// # Errors
    /// When git cannot tell.
    pub fn is_tracked(&self, path: &str) -> Result<bool, GitError> {
        Ok(!self.git.text(&["ls-files", "--", path])?.is_empty())
    }
}
