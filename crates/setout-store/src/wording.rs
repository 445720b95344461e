//! The sentences for [`RevisionError`], and what would mend each.

use std::fmt;

use setout_design::SourceError;

use crate::refusal::{GitError, OLDEST_GIT, RevisionError, Storage};

impl fmt::Display for Storage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sha256 => f.write_str("names its objects by SHA-256"),
            Self::Reftable => f.write_str("keeps its references in the reftable format"),
            Self::PartialClone => f.write_str("is a partial clone"),
            Self::Extension(name) => write!(f, "uses the extension {name}"),
        }
    }
}

impl fmt::Display for RevisionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotARepository { place } => {
                write!(f, "{} is not in a git repository", place.display())
            }
            Self::NoRevisionYet { branch } => {
                write!(f, "there is no revision yet on the branch {branch}")
            }
            Self::BadSpec { spec } => write!(f, "'{}' does not name a revision", plain(spec)),
            Self::UnknownRevision { spec, .. } => {
                write!(f, "there is no revision '{}'", plain(spec))
            }
            Self::Ambiguous { spec } => {
                write!(f, "'{}' could be more than one revision", plain(spec))
            }
            Self::NotACommit { spec } => {
                write!(f, "'{}' is a file or a folder, not a revision", plain(spec))
            }
            Self::Shallow { wanted, .. } => {
                write!(f, "this clone is shallow and does not hold {}", plain(wanted))
            }
            Self::NoMergeBase { one, other } => {
                write!(f, "'{}' and '{}' have no common ancestor", plain(one), plain(other))
            }
            Self::NoDesign { revision, .. } => write!(f, "revision {revision} holds no design"),
            Self::SeveralDesigns { revision, folders } => write!(
                f,
                "revision {revision} holds several designs and none where this one is: {}",
                folders.iter().map(|folder| shown(folder)).collect::<Vec<_>>().join(", ")
            ),
            Self::TooManyFolders { revision, limit } => write!(
                f,
                "revision {revision} has its design elsewhere, and more than {limit} folders"
            ),
            Self::TooManyRevisions { limit } => {
                write!(f, "more than {limit} revisions lead here")
            }
            Self::Owner { place, git: None } => write!(
                f,
                "the repository {} belongs to another user, and git refuses those",
                place.display()
            ),
            Self::Owner { place, git: Some(git) } => write!(
                f,
                "the repository {} belongs to another user, and only git can tell whether you \
                 trust it: {git}",
                place.display()
            ),
            Self::Unsupported { place, storage, git } => {
                write!(f, "the repository {} {storage}, which only git reads", place.display())?;
                and(f, git.as_ref())
            }
            Self::Missing { wanted, partial: true, git, .. } => {
                write!(f, "this partial clone does not hold {}", plain(wanted))?;
                and(f, git.as_ref())
            }
            Self::Missing { wanted, partial: false, .. } => {
                write!(f, "the repository is damaged: it does not hold {}", plain(wanted))
            }
            Self::Repository { attempt, reason } => {
                write!(f, "the repository could not {attempt}: {reason}")
            }
        }
    }
}

impl std::error::Error for RevisionError {}

/// The second reason of two.
fn and(f: &mut fmt::Formatter<'_>, git: Option<&GitError>) -> fmt::Result {
    git.map_or(Ok(()), |git| write!(f, ", and {git}"))
}

impl fmt::Display for GitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Absent => f.write_str("there is no git on the PATH"),
            Self::TooOld { version } => write!(f, "git {version} is too old to be asked"),
            Self::Owner => f.write_str("git refuses the repository of another user"),
            Self::Forbidden => f.write_str("GIT_NO_LAZY_FETCH forbids git to fetch it"),
            Self::Withheld { key } => write!(
                f,
                "git is not let fetch it, because the repository's own configuration sets {}",
                plain(key)
            ),
            Self::NotFetched { reason } => write!(f, "git could not fetch it: {}", plain(reason)),
            Self::Refused { reason } => write!(f, "git says: {}", plain(reason)),
        }
    }
}

impl std::error::Error for GitError {}

impl RevisionError {
    /// What would mend it, as a sentence without its full stop.
    pub fn help(&self) -> String {
        match self {
            Self::NotARepository { .. } => {
                "revisions are kept by git: git init, then git add and git commit".into()
            }
            Self::NoRevisionYet { .. } => "commit the design once: git add, then git commit".into(),
            Self::BadSpec { .. } => {
                "name a branch, a tag, a commit, or one before it as in HEAD~2".into()
            }
            Self::UnknownRevision { nearest, .. } => did_you_mean(nearest)
                .unwrap_or_else(|| "git log --oneline --all lists the revisions".into()),
            Self::Ambiguous { .. } => "give more of its digits".into(),
            Self::NotACommit { .. } => "name the revision alone, without a path".into(),
            Self::Shallow { fetch, nearest, .. } => match did_you_mean(nearest) {
                Some(question) => format!("{fetch} brings it; {question}"),
                None => format!("{fetch} brings it"),
            },
            Self::NoMergeBase { .. } => "compare the two themselves, as in A..B".into(),
            Self::NoDesign { folder, .. } => {
                format!("{} had no design.yaml then: name a later revision", shown(folder))
            }
            Self::SeveralDesigns { .. } => {
                "enter the folder of the one that is meant, or name it with -C".into()
            }
            Self::TooManyRevisions { .. } => "name a revision with --since".into(),
            Self::TooManyFolders { .. } => "name a revision since the design was moved".into(),
            Self::Owner { git: Some(GitError::Absent | GitError::TooOld { .. }), .. }
            | Self::Unsupported { git: Some(GitError::Absent | GitError::TooOld { .. }), .. }
            | Self::Missing { git: Some(GitError::Absent | GitError::TooOld { .. }), .. } => {
                let [major, minor] = OLDEST_GIT;
                format!("install git {major}.{minor} or later")
            }
            Self::Owner { place, .. } => format!(
                "if you trust it: git config --global --add safe.directory {}",
                place.display()
            ),
            Self::Unsupported { .. } => {
                "a newer git may read it: git --version tells which one is installed".into()
            }
            Self::Missing { git: Some(GitError::Forbidden), .. } => {
                "unset GIT_NO_LAZY_FETCH, or set it to 0".into()
            }
            Self::Missing { git: Some(GitError::Owner), .. } => {
                "git status tells how to trust the repository".into()
            }
            Self::Missing { partial: true, revision, git, .. } => {
                let fetch = format!("git archive --format=tar --output=/dev/null {revision}");
                match git {
                    Some(GitError::Withheld { .. }) => {
                        format!("if you trust the repository, let git fetch it: {fetch}")
                    }
                    _ => format!("give git access to its remote, then let it fetch: {fetch}"),
                }
            }
            Self::Missing { partial: false, .. } => "git fsck says more; clone it anew".into(),
            Self::Repository { .. } => "git status and git fsck say more".into(),
        }
    }
}

impl From<RevisionError> for SourceError {
    fn from(error: RevisionError) -> Self {
        Self::Repository { reason: error.to_string(), help: error.help() }
    }
}

fn did_you_mean(nearest: &[String]) -> Option<String> {
    let names = nearest.join(", ");
    (!nearest.is_empty()).then(|| format!("did you mean {names}?"))
}

/// A folder for reading.
fn shown(folder: &str) -> String {
    if folder.is_empty() { "the root".to_owned() } else { plain(folder) }
}

/// Text of strangers without what a terminal would obey: control characters and the marks that
/// turn the direction of writing.
pub(crate) fn plain(text: &str) -> String {
    let obeyed =
        |c: char| c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    text.chars().map(|c| if obeyed(c) { char::REPLACEMENT_CHARACTER } else { c }).collect()
}
