//! Help for a revision that is not there: names like it, and the fetch that would bring it.

use crate::objects::Objects;
use crate::refusal::RevisionError;

/// How many names are offered.
const OFFERED: usize = 3;

/// Branches and tags with nearly the name that `spec` begins with, the nearest first.
pub(crate) fn names(objects: &dyn Objects, spec: &str) -> Vec<String> {
    let (wanted, _) = split(spec);
    let mut near: Vec<(usize, String)> = objects
        .references()
        .iter()
        .map(|full| shorthand(full).to_owned())
        .filter(|name| name != spec && !name.ends_with("/HEAD") && name != "stash")
        .map(|name| (distance(wanted, &name), name))
        .filter(|(distance, _)| *distance <= (wanted.chars().count() / 3).max(1))
        .collect();
    near.sort();
    near.dedup();
    near.into_iter().take(OFFERED).map(|(_, name)| name).collect()
}

/// A reference as people call it.
fn shorthand(full: &str) -> &str {
    let customary = ["refs/heads/", "refs/tags/", "refs/remotes/", "refs/"];
    customary.iter().find_map(|prefix| full.strip_prefix(prefix)).unwrap_or(full)
}

/// How far a name is from the wanted one. The same name under a remote is as good as equal.
fn distance(wanted: &str, name: &str) -> usize {
    let whole = strsim::osa_distance(wanted, name);
    match name.split_once('/') {
        Some((_, branch)) => whole.min(strsim::osa_distance(wanted, branch)),
        None => whole,
    }
}

/// The refusal for a revision that a shallow clone does not hold.
pub(crate) fn beyond_depth(objects: &dyn Objects, spec: &str) -> RevisionError {
    let remote = remote(objects);
    let (name, steps) = split(spec);
    let fetch = if !is_plain(name) || is_abbreviation(name) {
        format!("git fetch --unshallow {remote}")
    } else if objects.resolve(name).is_ok() {
        match steps {
            Some(steps) => format!("git fetch --deepen={steps} {remote}"),
            None => format!("git fetch --unshallow {remote}"),
        }
    } else if let Some(branch) = name.strip_prefix(&format!("{remote}/")) {
        format!("git fetch {remote} +refs/heads/{branch}:refs/remotes/{name}")
    } else {
        format!("git fetch {remote} {name}:{name}")
    };
    RevisionError::Shallow {
        wanted: format!("the revision '{spec}'"),
        fetch,
        nearest: names(objects, spec),
    }
}

/// The refusal for a common ancestor that a shallow clone does not hold.
pub(crate) fn base_beyond_depth(objects: &dyn Objects, one: &str, other: &str) -> RevisionError {
    RevisionError::Shallow {
        wanted: format!("the common ancestor of '{one}' and '{other}'"),
        fetch: format!("git fetch --unshallow {}", remote(objects)),
        nearest: Vec::new(),
    }
}

/// The command that fetches what a shallow clone left out.
pub(crate) fn unshallow(objects: &dyn Objects) -> String {
    format!("git fetch --unshallow {}", remote(objects))
}

/// The remote to fetch from: `origin`, or the only other one.
fn remote(objects: &dyn Objects) -> String {
    match objects.remotes().as_slice() {
        [only] if is_plain(only) => only.clone(),
        _ => "origin".to_owned(),
    }
}

/// A spec's name, and how many steps towards the past `~3` or `^^` after it take; `None` where
/// that is not a plain count.
fn split(spec: &str) -> (&str, Option<usize>) {
    let at = spec.find(['~', '^', '@', ':']).filter(|at| *at > 0).unwrap_or(spec.len());
    let (name, path) = spec.split_at(at);
    (name, steps(path))
}

fn steps(path: &str) -> Option<usize> {
    let mut total = 0usize;
    let mut rest = path;
    while let Some(sign) = rest.chars().next() {
        let after = &rest[sign.len_utf8()..];
        let end = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
        let (digits, further) = after.split_at(end);
        let count = match sign {
            '^' => 1,
            '~' if digits.is_empty() => 1,
            '~' => digits.parse().ok()?,
            _ => return None,
        };
        total = total.checked_add(count)?;
        rest = further;
    }
    (total > 0).then_some(total)
}

/// Whether the text can stand in a command that somebody may copy into a shell.
fn is_plain(text: &str) -> bool {
    !text.is_empty()
        && !text.starts_with('-')
        && text.chars().all(|c| c.is_ascii_alphanumeric() || "._/-".contains(c))
}

fn is_abbreviation(name: &str) -> bool {
    name.len() >= 4 && name.len() <= 64 && name.bytes().all(|byte| byte.is_ascii_hexdigit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_into_the_past_are_counted() {
        for (spec, name, steps) in [
            ("HEAD~3", "HEAD", Some(3)),
            ("HEAD^", "HEAD", Some(1)),
            ("main~2^2~", "main", Some(4)),
            ("main", "main", None),
            ("HEAD@{1}", "HEAD", None),
            ("HEAD^{/words}", "HEAD", None),
        ] {
            assert_eq!(split(spec), (name, steps), "{spec}");
        }
    }
}
