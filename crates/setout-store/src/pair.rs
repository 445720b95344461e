//! What two states a comparison is about.

use crate::refusal::RevisionError;

/// The two states that somebody asks to compare.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Pair {
    /// A revision and the files as they stand: `A`, or nothing for `HEAD`.
    Working {
        /// The earlier state.
        before: String,
    },
    /// Two revisions: `A..B`. An end left out is `HEAD`, as in git.
    Revisions {
        /// The earlier state.
        before: String,
        /// The later state.
        after: String,
    },
    /// What `after` did since it left `other`: `A...B`, from their common ancestor on.
    SinceFork {
        /// The line of work that it left.
        other: String,
        /// The later state.
        after: String,
    },
}

/// Reads `A..B`, `A...B`, `A` or nothing. Whether there are such revisions is asked later, by
/// [`Revisions::sides`](crate::Revisions::sides).
///
/// ```
/// use setout_store::{Pair, spec_pair};
/// assert_eq!(
///     spec_pair("v1..")?,
///     Pair::Revisions { before: "v1".into(), after: "HEAD".into() },
/// );
/// assert_eq!(spec_pair("")?, Pair::Working { before: "HEAD".into() });
/// # Ok::<(), setout_store::RevisionError>(())
/// ```
///
/// # Errors
/// [`RevisionError::BadSpec`] when the text holds dots but is neither form.
pub fn spec_pair(text: &str) -> Result<Pair, RevisionError> {
    let text = text.trim();
    let Some((before, after)) = text.split_once("..") else {
        return Ok(Pair::Working { before: end(text)? });
    };
    match after.strip_prefix('.') {
        Some(after) => Ok(Pair::SinceFork { other: end(before)?, after: end(after)? }),
        None => Ok(Pair::Revisions { before: end(before)?, after: end(after)? }),
    }
}

/// One end of a pair. No name of git's holds two dots in a row or begins with a dash or a dot.
fn end(text: &str) -> Result<String, RevisionError> {
    if text.is_empty() {
        return Ok("HEAD".to_owned());
    }
    if text.contains("..") || text.starts_with(['-', '.']) || text.contains(char::is_control) {
        return Err(RevisionError::BadSpec { spec: text.to_owned() });
    }
    Ok(text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two(before: &str, after: &str) -> Pair {
        Pair::Revisions { before: before.into(), after: after.into() }
    }

    #[test]
    fn every_form_is_read() {
        let forked =
            |other: &str, after: &str| Pair::SinceFork { other: other.into(), after: after.into() };
        for (text, pair) in [
            ("", Pair::Working { before: "HEAD".into() }),
            ("HEAD~2", Pair::Working { before: "HEAD~2".into() }),
            ("v1.0", Pair::Working { before: "v1.0".into() }),
            ("v1.0..v1.1", two("v1.0", "v1.1")),
            ("..topic", two("HEAD", "topic")),
            ("origin/main..", two("origin/main", "HEAD")),
            ("main...topic", forked("main", "topic")),
            ("main...", forked("main", "HEAD")),
        ] {
            assert_eq!(spec_pair(text).as_ref(), Ok(&pair), "{text}");
        }
    }

    #[test]
    fn what_is_no_form_is_refused() {
        for text in ["a....b", "a..b..c", "-x", "a..-b", "a\u{1b}"] {
            assert!(matches!(spec_pair(text), Err(RevisionError::BadSpec { .. })), "{text}");
        }
    }
}
