//! The installed git: where it is, and which version.

use std::env;
use std::ffi::{OsStr, OsString};
use std::fs::Metadata;
use std::path::{Path, PathBuf};

use crate::refusal::GitError;

/// Where git is installed.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Program {
    pub(super) git: PathBuf,
    /// The folders of `PATH` that git may look for its own helpers in.
    pub(super) path: OsString,
}

impl Program {
    /// The first git on `PATH` that `place` cannot have put there.
    pub(super) fn find(place: &Path) -> Result<Self, GitError> {
        Self::among(&env::var_os("PATH").unwrap_or_default(), place).ok_or(GitError::Absent)
    }

    /// A folder that is given relative to the current one may be of a repository that somebody
    /// else wrote, and so may one inside `place`. Windows looks into the current folder first
    /// for a program without a path, so git is never started by its name alone.
    fn among(path: &OsStr, place: &Path) -> Option<Self> {
        let is_whole_disk = place.parent().is_none();
        let is_inside = |folder: &Path| {
            let real = folder.canonicalize();
            !is_whole_disk && real.is_ok_and(|folder| folder.starts_with(place))
        };
        let folders: Vec<PathBuf> = env::split_paths(path)
            .filter(|folder| folder.is_absolute() && !is_inside(folder))
            .collect();
        let name = if cfg!(windows) { "git.exe" } else { "git" };
        let git = folders.iter().map(|folder| folder.join(name)).find(|file| is_program(file))?;
        Some(Self { git, path: env::join_paths(folders).ok()? })
    }
}

/// Whether there is a file that can be run.
pub(crate) fn is_program(file: &Path) -> bool {
    file.metadata().is_ok_and(|meta| meta.is_file() && is_executable(&meta))
}

#[cfg(unix)]
fn is_executable(meta: &Metadata) -> bool {
    std::os::unix::fs::PermissionsExt::mode(&meta.permissions()) & 0o111 != 0
}

#[cfg(not(unix))]
fn is_executable(_: &Metadata) -> bool {
    true
}

/// A version of git's.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Version(pub(super) u32, pub(super) u32, pub(super) u32);

impl Version {
    /// From what `git version` prints, as in `git version 2.45.1.windows.1`.
    pub(super) fn read(text: &str) -> Option<Self> {
        let words = text.strip_prefix("git version ")?.split_ascii_whitespace().next()?;
        let mut numbers = words.split('.').map_while(|word| word.parse().ok());
        Some(Self(numbers.next()?, numbers.next()?, numbers.next().unwrap_or(0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_are_read_as_they_are_printed() {
        for (text, version) in [
            ("git version 2.47.3", Some(Version(2, 47, 3))),
            ("git version 2.45.1.windows.1\n", Some(Version(2, 45, 1))),
            ("git version 2.39.5 (Apple Git-154)", Some(Version(2, 39, 5))),
            ("git version 3.0.rc1", Some(Version(3, 0, 0))),
            ("git version unknown", None),
            ("", None),
        ] {
            assert_eq!(Version::read(text), version, "{text}");
        }
        assert!(Version(2, 9, 9) < Version(2, 36, 0));
    }

    #[cfg(unix)]
    mod on_unix {
        use super::*;
        use std::fs;
        use std::os::unix::fs::PermissionsExt;

        /// Folders with a git each, of which `plain` has one that cannot be run.
        fn folders() -> (tempfile::TempDir, PathBuf) {
            let dir = tempfile::tempdir().expect("a folder");
            let root = dir.path().canonicalize().expect("it exists");
            for (name, mode) in [("plain", 0o644), ("bin", 0o755), ("project/bin", 0o755)] {
                let folder = root.join(name);
                fs::create_dir_all(&folder).expect("made");
                fs::write(folder.join("git"), "").expect("written");
                fs::set_permissions(folder.join("git"), fs::Permissions::from_mode(mode))
                    .expect("set");
            }
            std::os::unix::fs::symlink(root.join("project/bin"), root.join("linked"))
                .expect("made");
            (dir, root)
        }

        #[test]
        fn git_is_taken_from_neither_the_repository_nor_the_current_folder() {
            let (_dir, root) = folders();
            let project = root.join("project");
            let found = |names: &[&str]| {
                let path = env::join_paths(names.iter().map(|name| match *name {
                    "" | "." | "crates" => PathBuf::from(name),
                    name => root.join(name),
                }));
                let program = Program::among(&path.expect("a path"), &project);
                program.map(|program| (program.git, env::split_paths(&program.path).collect()))
            };
            let bin: (PathBuf, Vec<PathBuf>) = (root.join("bin/git"), vec![root.join("bin")]);
            assert_eq!(found(&["project/bin", "", ".", "linked", "bin"]), Some(bin));
            assert_eq!(found(&["plain", "crates", "nothing"]), None);
            assert_eq!(found(&[]), None);
            let elsewhere = Program::among(root.join("project/bin").as_os_str(), &root.join("bin"));
            assert!(
                elsewhere.is_some(),
                "it is only inside its own repository that it is not taken"
            );
        }
    }
}
