//! Root-relative paths: one spelling for each, and none that leaves the root.

use setout_design::SourceError;

/// `path` with `.`, `..` and doubled slashes worked out, `""` for the root itself.
///
/// This is done on the text, before any folder is looked at, so that a revision and a work tree
/// agree about it: `a/../b` is `b` even where `a` is a symbolic link.
pub(crate) fn inside(path: &str) -> Result<String, SourceError> {
    let refuse = |reason: &str| Err(unsafe_path(path, reason));
    if path.starts_with('/') || has_drive(path) {
        return refuse("a path in a design is relative");
    }
    if path.contains('\\') {
        return refuse("the parts of a path are separated by /, not by a backslash");
    }
    if path.contains('\0') {
        return refuse("it holds a NUL character");
    }
    let mut parts: Vec<&str> = Vec::new();
    for part in path.split('/') {
        match part {
            "" | "." => {}
            ".." if parts.pop().is_none() => return refuse("it leaves the root of the design"),
            ".." => {}
            part => parts.push(part),
        }
    }
    if parts.iter().any(|part| is_git_dir(part)) {
        return refuse(GIT_DIR);
    }
    Ok(parts.join("/"))
}

/// Why nothing below a `.git` is read or written: what stands there (hooks, configuration) is
/// run by git.
pub(crate) const GIT_DIR: &str = "it lies in git's own folder";

/// Whether some file system takes this name for `.git`: several fold the case, some drop dots
/// and blanks at the end, one knows it by its short name.
pub(crate) fn is_git_dir(part: &str) -> bool {
    let stem = part.split(':').next().unwrap_or(part).trim_end_matches(['.', ' ']);
    stem.eq_ignore_ascii_case(".git") || stem.eq_ignore_ascii_case("git~1")
}

/// `C:` and the like. A colon further on is an ordinary character in a name.
fn has_drive(path: &str) -> bool {
    matches!(path.as_bytes(), [letter, b':', ..] if letter.is_ascii_alphabetic())
}

/// The folder part of a path, `""` for a file directly in the root.
pub(crate) fn folder_of(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// The last part of a path.
pub(crate) fn name_of(path: &str) -> &str {
    path.rsplit_once('/').map_or(path, |(_, name)| name)
}

/// `folder/name`, where the folder may be the root.
pub(crate) fn join(folder: &str, name: &str) -> String {
    if folder.is_empty() { name.to_owned() } else { format!("{folder}/{name}") }
}

/// Whether a path is `folder/name`.
pub(crate) fn is_joined(path: &str, folder: &str, name: &[u8]) -> bool {
    let in_folder = match folder {
        "" => Some(path),
        folder => path.strip_prefix(folder).and_then(|rest| rest.strip_prefix('/')),
    };
    in_folder.is_some_and(|rest| rest.as_bytes() == name)
}

pub(crate) fn unsafe_path(path: &str, reason: &str) -> SourceError {
    SourceError::Unsafe { path: path.to_owned(), reason: reason.to_owned() }
}

/// The name of a file in a folder, or the fault of one that is not UTF-8. `None` for dot-files,
/// which are no part of a design.
pub(crate) fn listed(folder: &str, name: &[u8]) -> Option<Result<String, SourceError>> {
    if name.starts_with(b".") {
        return None;
    }
    Some(match std::str::from_utf8(name) {
        Ok(name) => Ok(join(folder, name)),
        Err(_) => {
            let shown = join(folder, &String::from_utf8_lossy(name));
            Err(unsafe_path(&shown, "its name is not UTF-8"))
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_has_one_spelling() {
        for (path, clean) in [
            ("params/jaw.yaml", "params/jaw.yaml"),
            ("./params//jaw.yaml", "params/jaw.yaml"),
            ("params/../examples/a:b.scad", "examples/a:b.scad"),
            ("params/..", ""),
            ("", ""),
            ("Ohr_ö.yaml", "Ohr_ö.yaml"),
            (".gitignore", ".gitignore"),
        ] {
            assert_eq!(inside(path).as_deref(), Ok(clean), "{path}");
        }
    }

    #[test]
    fn what_is_joined_is_known_again() {
        for (folder, name) in [("", "jaw.yaml"), ("params", "jaw.yaml"), ("a/b", "ö")] {
            let path = join(folder, name);
            assert!(is_joined(&path, folder, name.as_bytes()), "{path}");
            for (folder, name) in [("", "aw.yaml"), ("param", "jaw.yaml"), ("a", "ö"), ("b", "ö")]
            {
                assert!(!is_joined(&path, folder, name.as_bytes()), "{path}");
            }
        }
    }

    #[test]
    fn a_path_that_leaves_is_refused() {
        for path in [
            "/etc/passwd",
            "..",
            "a/../../b",
            "C:/x",
            "c:x",
            "a\\b",
            "\\\\host\\x",
            "a\0b",
            ".git/config",
            "a/.GIT/hooks/post-merge",
            ".git./config",
            "GIT~1/config",
            ".git::$INDEX_ALLOCATION/config",
        ] {
            assert!(matches!(inside(path), Err(SourceError::Unsafe { .. })), "{path}");
        }
    }
}
