//! Whether git may fetch what a partial clone left out.
//!
//! To fetch means to start other programs, some of them named by the configuration. The user's
//! own may name any. A repository's own may come from a stranger with the files, so where it
//! names one, nothing is fetched.

use std::ffi::OsString;
use std::io::Write;
use std::process::{Command, Stdio};

use super::complaints::Complaints;
use super::config::Config;
use super::program::Version;
use crate::objects::Id;
use crate::refusal::GitError;

/// The protocols that start no program but git's and ssh. All others are helpers by that name.
const PROTOCOLS: [&str; 5] = ["file", "git", "http", "https", "ssh"];

/// The first versions, one a series, in which the other side of a fetch from a folder fetches
/// nothing itself, by what the configuration of that folder says. Source: the versions in which
/// the manual page of `git upload-pack` first says so.
const SAFE_FOR_FILES: [Version; 7] = [
    Version(2, 39, 4),
    Version(2, 40, 2),
    Version(2, 41, 1),
    Version(2, 42, 2),
    Version(2, 43, 4),
    Version(2, 44, 1),
    Version(2, 45, 1),
];

/// A value that is no protocol, for none at all.
pub(super) const NONE: &str = "none";

/// The protocols by which git may fetch, in the form of `GIT_ALLOW_PROTOCOL`.
pub(super) fn protocols(
    config: &Config,
    version: Version,
    environment: impl Fn(&str) -> Option<OsString>,
) -> Result<String, GitError> {
    if environment("GIT_NO_LAZY_FETCH").is_some_and(|value| is_true(&value.to_string_lossy())) {
        return Err(GitError::Forbidden);
    }
    if let Some(key) = config.fetches_by() {
        return Err(GitError::Withheld { key: key.to_owned() });
    }
    let users = environment("GIT_ALLOW_PROTOCOL").map(|list| list.to_string_lossy().into_owned());
    let is_allowed = |protocol: &str| match &users {
        Some(list) => list.split(':').any(|allowed| allowed == protocol),
        None => !config.forbids(protocol),
    };
    let allowed: Vec<&str> = PROTOCOLS
        .into_iter()
        .filter(|protocol| *protocol != "file" || is_safe_for_files(version))
        .filter(|protocol| is_allowed(protocol))
        .collect();
    Ok(if allowed.is_empty() { NONE.to_owned() } else { allowed.join(":") })
}

fn is_safe_for_files(version: Version) -> bool {
    let series = |version: Version| (version.0, version.1);
    let safe = SAFE_FOR_FILES.iter().find(|safe| series(**safe) == series(version));
    version >= *safe.unwrap_or(&Version(2, 46, 0))
}

/// Fetches objects in one go, with the words by which git does it for one. A failure comes in
/// git's words.
pub(super) fn fetch(mut git: Command, remote: &str, ids: &[Id]) -> Result<(), String> {
    git.args([
        "-c",
        "fetch.negotiationAlgorithm=noop",
        "fetch",
        "--quiet",
        "--no-tags",
        "--no-prune",
    ]);
    git.args(["--no-write-fetch-head", "--recurse-submodules=no", "--filter=blob:none"]);
    git.args(["--stdin", "--", remote]);
    let pipes = git.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped());
    let mut child = pipes.spawn().map_err(|error| error.to_string())?;
    let complaints = child.stderr.take().map(Complaints::of);
    let names: String = ids.iter().map(|id| format!("{id}\n")).collect();
    // Git reads all of it before it does anything; if it ends earlier, its status says so.
    let written = child.stdin.take().map(|mut stdin| stdin.write_all(names.as_bytes()));
    let status = child.wait().map_err(|error| error.to_string())?;
    if status.success() && written.is_some_and(|written| written.is_ok()) {
        return Ok(());
    }
    let told = complaints.and_then(|complaints| complaints.told());
    Err(told.unwrap_or_else(|| format!("it ended with {status}")))
}

/// As git reads a yes or no from the environment.
fn is_true(value: &str) -> bool {
    !["", "0", "no", "off", "false"].contains(&value.to_ascii_lowercase().as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    const NEW: Version = Version(2, 47, 0);

    fn of(
        config: &str,
        version: Version,
        environment: &[(&str, &str)],
    ) -> Result<String, GitError> {
        let lookup = |name: &str| {
            environment.iter().find(|(key, _)| *key == name).map(|(_, value)| value.into())
        };
        protocols(&Config::read(config.as_bytes()), version, lookup)
    }

    #[test]
    fn what_runs_no_program_of_the_repositorys_is_allowed() {
        assert_eq!(of("", NEW, &[]).as_deref(), Ok("file:git:http:https:ssh"));
        for old in [Version(2, 36, 0), Version(2, 39, 3), Version(2, 40, 1), Version(2, 45, 0)] {
            assert_eq!(of("", old, &[]).as_deref(), Ok("git:http:https:ssh"), "{old:?}");
        }
        for new in [Version(2, 39, 5), Version(2, 45, 1), Version(2, 46, 0), Version(3, 0, 0)] {
            assert!(of("", new, &[]).is_ok_and(|list| list.starts_with("file:")), "{new:?}");
        }
        let ext = "local\0protocol.ext.allow\nalways\0";
        assert_eq!(of(ext, NEW, &[]).as_deref(), Ok("file:git:http:https:ssh"));
    }

    #[test]
    fn the_users_word_narrows_it() {
        let allow = |list| [("GIT_ALLOW_PROTOCOL", list)];
        assert_eq!(of("", NEW, &allow("https:ext")).as_deref(), Ok("https"));
        assert_eq!(of("", NEW, &allow("")).as_deref(), Ok(NONE));
        let never = "global\0protocol.file.allow\nnever\0";
        assert_eq!(of(never, NEW, &[]).as_deref(), Ok("git:http:https:ssh"));
        for value in ["1", "true", "YES"] {
            assert_eq!(of("", NEW, &[("GIT_NO_LAZY_FETCH", value)]), Err(GitError::Forbidden));
        }
        assert!(of("", NEW, &[("GIT_NO_LAZY_FETCH", "0")]).is_ok());
    }

    #[test]
    fn a_program_named_by_the_repository_forbids_it() {
        let key = "core.sshcommand".to_owned();
        let config = "local\0core.sshcommand\ntouch sprung\0";
        assert_eq!(of(config, NEW, &[]), Err(GitError::Withheld { key }));
    }
}
