//! Why files were not written, and what mends it.

use std::fmt;

use setout_design::SourceError;

/// Why nothing was written.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum WriteError {
    /// The path leaves the root, or leads to something that is not an ordinary file.
    Unsafe {
        /// The path that was asked for.
        path: String,
        /// What is wrong with it, as half a sentence.
        reason: String,
    },
    /// The file is marked as read-only.
    ReadOnly {
        /// The root-relative path.
        path: String,
    },
    /// Somebody else changed the file since it was read.
    Changed {
        /// The root-relative path.
        path: String,
    },
    /// A file that was to get this path cannot, since there is one.
    Exists {
        /// The root-relative path.
        path: String,
    },
    /// An earlier writing of the design was cut short, or another one is going on.
    Unfinished {
        /// What is known of it, as a clause.
        reason: String,
        /// What would finish it.
        help: String,
    },
    /// One call names the same file twice.
    Twice {
        /// The root-relative path.
        path: String,
    },
    /// The system refused; all files are as they were.
    Io {
        /// The root-relative path.
        path: String,
        /// What the system said.
        reason: String,
    },
    /// The system refused one file, and then to put back others already replaced.
    HalfDone {
        /// The root-relative path that could not be written.
        path: String,
        /// What the system said.
        reason: String,
        /// The files that hold their new text, each of them whole.
        replaced: Vec<String>,
    },
}

impl fmt::Display for WriteError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unsafe { path, reason } => write!(f, "{path} is not written: {reason}"),
            Self::ReadOnly { path } => write!(f, "{path} is not written: it is read-only"),
            Self::Changed { path } => {
                write!(f, "{path} is not written: it was changed by somebody else meanwhile")
            }
            Self::Exists { path } => write!(f, "{path} is not written: it is there already"),
            Self::Unfinished { reason, .. } => f.write_str(reason),
            Self::Twice { path } => write!(f, "{path} would be written twice"),
            Self::Io { path, reason } => write!(f, "{path} cannot be written: {reason}"),
            Self::HalfDone { path, reason, replaced } => write!(
                f,
                "{path} cannot be written: {reason}; already replaced, and not put back: {}",
                replaced.join(", ")
            ),
        }
    }
}

impl std::error::Error for WriteError {}

impl WriteError {
    /// What would mend it, as a sentence without its full stop.
    pub fn help(&self) -> String {
        match self {
            Self::Unsafe { .. } => "name an ordinary file below the root of the design",
            Self::ReadOnly { .. } => "make the file writable, if it is meant to be changed",
            Self::Changed { .. } => "look at the file, then do it again",
            Self::Exists { .. } => "name another one, or put that file away first",
            Self::Unfinished { help, .. } => help,
            Self::Twice { .. } => "give each file a path of its own",
            Self::Io { .. } => "nothing was changed: make room or give access, then do it again",
            Self::HalfDone { .. } => {
                "compare these files with their last revision before anything else"
            }
        }
        .to_owned()
    }

    pub(crate) fn io(path: &str, reason: &impl ToString) -> Self {
        Self::Io { path: path.to_owned(), reason: reason.to_string() }
    }

    /// The same refusal as for reading `path`.
    pub(crate) fn as_read(path: &str, error: SourceError) -> Self {
        match error {
            SourceError::Unsafe { path, reason } => Self::Unsafe { path, reason },
            SourceError::Io { path, reason } => Self::Io { path, reason },
            other => Self::io(path, &other),
        }
    }
}
