//! How git is called: in one place, for one repository, and with everything that a
//! configuration could run switched off.

use std::env;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use super::complaints::told;
use super::fetching;
use super::program::{Program, Version};
use crate::refusal::{GitError, OLDEST_GIT};

/// Settings that go before those of the repository: no program at the start, and no upkeep
/// after a fetch.
const SETTINGS: [&str; 6] = [
    "core.fsmonitor=false",
    "core.hooksPath=/dev/null",
    "core.alternateRefsCommand=true",
    "credential.interactive=false",
    "gc.auto=0",
    "maintenance.auto=false",
];

/// Variables that make git take another repository, or parts of one, than the one in its folder,
/// as they are set for hooks. With `GIT_DIR` it would not ask to whom the repository belongs.
const OF_REPOSITORIES: [&str; 12] = [
    "GIT_ALTERNATE_OBJECT_DIRECTORIES",
    "GIT_COMMON_DIR",
    "GIT_CONFIG",
    "GIT_DIR",
    "GIT_GRAFT_FILE",
    "GIT_IMPLICIT_WORK_TREE",
    "GIT_INDEX_FILE",
    "GIT_OBJECT_DIRECTORY",
    "GIT_PREFIX",
    "GIT_QUARANTINE_PATH",
    "GIT_SHALLOW_FILE",
    "GIT_WORK_TREE",
];

/// The installed git, for one repository.
pub(crate) struct Call {
    program: Program,
    place: PathBuf,
    pub(super) version: Version,
}

impl Call {
    pub(crate) fn new(place: &Path) -> Result<Self, GitError> {
        let place = place.canonicalize().map_err(|error| refused(error.to_string()))?;
        let program = Program::find(&place)?;
        let mut call = Self { program, place, version: Version(0, 0, 0) };
        let text = call.text(&["version"])?;
        match Version::read(&text) {
            Some(version) if [version.0, version.1] >= OLDEST_GIT => call.version = version,
            Some(Version(major, minor, patch)) => {
                return Err(GitError::TooOld { version: format!("{major}.{minor}.{patch}") });
            }
            None => return Err(refused(format!("its version is '{text}'"))),
        }
        Ok(call)
    }

    /// A call of git in the repository, without words yet. It fetches nothing.
    pub(super) fn git(&self) -> Command {
        let mut git = Command::new(&self.program.git);
        // No name of a program or a configuration is looked up in the folder it runs in.
        git.arg("-C").arg(plain_path(&self.place));
        git.args(["--no-pager", "--no-replace-objects"]);
        git.args(SETTINGS.iter().flat_map(|setting| ["-c", setting]));
        git.stdin(Stdio::null());
        for name in OF_REPOSITORIES {
            git.env_remove(name);
        }
        git.env("PATH", &self.program.path)
            .env("GIT_CEILING_DIRECTORIES", self.ceiling())
            .env("GIT_OPTIONAL_LOCKS", "0")
            .env("GIT_TERMINAL_PROMPT", "0")
            .env("GCM_INTERACTIVE", "never")
            // Its messages are read.
            .env("LC_ALL", "C")
            .env("GIT_NO_LAZY_FETCH", "1")
            .env("GIT_ALLOW_PROTOCOL", fetching::NONE);
        git
    }

    /// The same, but that it may fetch what is missing, by these protocols.
    pub(super) fn fetching(&self, protocols: &str) -> Command {
        let mut git = self.git();
        git.env_remove("GIT_NO_LAZY_FETCH").env("GIT_ALLOW_PROTOCOL", protocols);
        git
    }

    /// What git prints.
    pub(crate) fn output(&self, words: &[&str]) -> Result<Vec<u8>, GitError> {
        let output = self.run(words)?;
        if output.status.success() { Ok(output.stdout) } else { Err(refusal(&output)) }
    }

    /// What git prints, without the end of its line; `None` where it says no by status 1.
    pub(crate) fn answer(&self, words: &[&str]) -> Result<Option<String>, GitError> {
        let output = self.run(words)?;
        match output.status.code() {
            Some(0) => Ok(Some(String::from_utf8_lossy(&output.stdout).trim_end().to_owned())),
            Some(1) => Ok(None),
            _ => Err(refusal(&output)),
        }
    }

    /// The folder that all work trees of the repository share, if git finds the repository
    /// that is meant, `own`, and none around it.
    pub(super) fn common_dir(&self, own: &Path) -> Result<PathBuf, GitError> {
        let found = self.output(&["rev-parse", "--absolute-git-dir", "--git-common-dir"])?;
        let mut lines = found.split(|byte| *byte == b'\n').map(path_of);
        let (Some(found), Some(common)) = (lines.next(), lines.next()) else {
            return Err(refused("it does not say where the repository is".to_owned()));
        };
        let (meant, taken) = (own.canonicalize(), found.canonicalize());
        if meant.is_err() || meant.ok() != taken.ok() {
            return Err(refused(format!("it takes {} for the repository", found.display())));
        }
        Ok(self.place.join(common))
    }

    /// What git prints, without the end of its line.
    pub(crate) fn text(&self, words: &[&str]) -> Result<String, GitError> {
        self.answer(words).map(Option::unwrap_or_default)
    }

    fn run(&self, words: &[&str]) -> Result<Output, GitError> {
        self.git().args(words).output().map_err(|error| refused(error.to_string()))
    }

    /// Above the repository's folder nothing is looked for. A folder whose name separates
    /// several cannot be given; `common_dir` looks at what was found in any case.
    fn ceiling(&self) -> OsString {
        let above = self.place.parent().map(plain_path);
        above.and_then(|above| env::join_paths([above]).ok()).unwrap_or_default()
    }
}

fn refused(reason: String) -> GitError {
    GitError::Refused { reason }
}

fn refusal(output: &Output) -> GitError {
    let reason = told(&output.stderr).unwrap_or_else(|| format!("it ended with {}", output.status));
    // The first is of versions up to 2.36.
    let is_owner = ["unsafe repository", "detected dubious ownership"];
    if is_owner.iter().any(|words| reason.starts_with(words)) {
        return GitError::Owner;
    }
    refused(reason)
}

#[cfg(unix)]
fn path_of(bytes: &[u8]) -> PathBuf {
    use std::os::unix::ffi::OsStrExt;
    std::ffi::OsStr::from_bytes(bytes).into()
}

#[cfg(not(unix))]
fn path_of(bytes: &[u8]) -> PathBuf {
    String::from_utf8_lossy(bytes).trim_end().into()
}

/// A canonical path of Windows begins with `\\?\`, which git does not read.
fn plain_path(path: &Path) -> PathBuf {
    let text = path.to_str().and_then(|text| text.strip_prefix(r"\\?\"));
    match text {
        Some(text) if text.as_bytes().get(1) == Some(&b':') => text.into(),
        _ => path.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnose::own_git_dir;

    fn taken_for(folder: &str) -> Result<PathBuf, String> {
        let outer = tempfile::tempdir().expect("a folder");
        let place = outer.path().join(folder);
        std::fs::create_dir_all(&place).expect("made");
        let call = |place: &Path| Call::new(place).expect("git is installed");
        call(outer.path()).output(&["init", "--quiet"]).expect("made");
        call(&place).common_dir(&own_git_dir(&place)).map_err(|error| error.to_string())
    }

    #[test]
    fn a_repository_around_the_place_is_not_taken_for_it() {
        assert!(taken_for("").is_ok());
        let said = taken_for("inner").expect_err("none there");
        assert!(said.contains("not a git repository"), "{said}");
    }

    /// Git is given the folder above which it may not look in a list separated by colons.
    #[cfg(unix)]
    #[test]
    fn nor_where_git_cannot_be_told_to_stop() {
        let said = taken_for("a:b/inner").expect_err("none there");
        assert!(said.contains("for the repository"), "{said}");
    }
}
