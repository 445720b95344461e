//! Where the texts of a design come from is the caller's affair: a folder, a git revision or
//! memory all look like a [`Source`].

use std::collections::BTreeMap;
use std::fmt;

/// A set of texts under one root, read by root-relative paths with `/` between the parts.
///
/// Implementations must not read outside their root: a path that would leave it, through `..`
/// or through a symbolic link, is [`SourceError::Unsafe`].
pub trait Source: Send + Sync {
    /// The root-relative paths of all files directly in the design's folder, sorted, among them
    /// the one that ends in `design.yaml`. Files of other folders are not listed but can be read.
    ///
    /// # Errors
    /// When the folder cannot be listed.
    fn list(&self) -> Result<Vec<String>, SourceError>;

    /// The bytes of one file, named by its root-relative path.
    ///
    /// # Errors
    /// [`SourceError::NotFound`] when there is no such file, the other variants when it is there
    /// and must not or cannot be read.
    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError>;

    /// Whether one file is known to hold just these bytes without being read, as where its hash is
    /// known. `false` says nothing: then it is to be read.
    fn holds(&self, _path: &str, _bytes: &[u8]) -> bool {
        false
    }
}

impl<S: Source + ?Sized> Source for &S {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        (**self).list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        (**self).read(path)
    }

    fn holds(&self, path: &str, bytes: &[u8]) -> bool {
        (**self).holds(path, bytes)
    }
}

/// Why a text could not be had.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum SourceError {
    /// There is no file of this name.
    NotFound {
        /// The root-relative path that was asked for.
        path: String,
    },
    /// The path leaves the root, or names something that is not an ordinary file.
    Unsafe {
        /// The path that was asked for.
        path: String,
        /// What is wrong with it, as half a sentence.
        reason: String,
    },
    /// The file is larger than a design's file may be.
    TooLarge {
        /// The root-relative path.
        path: String,
        /// How large it is, in bytes.
        bytes: u64,
        /// How large it may be, in bytes.
        limit: u64,
    },
    /// With this file there is more of something than a design may have.
    Beyond {
        /// The root-relative path.
        path: String,
        /// What there is too much of, as a clause.
        reason: String,
    },
    /// The system refused.
    Io {
        /// The root-relative path.
        path: String,
        /// What the system said.
        reason: String,
    },
    /// Only some of the files hold what was last written.
    Unfinished {
        /// The file that tells of it.
        path: String,
        /// What is known of it, as a clause.
        reason: String,
        /// What would finish it.
        help: String,
    },
    /// The repository could not give the revision or the file.
    Repository {
        /// What is wrong, as a sentence without its full stop.
        reason: String,
        /// What would mend it.
        help: String,
    },
}

impl fmt::Display for SourceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFound { path } => write!(f, "there is no file {path}"),
            Self::Unsafe { path, reason } => write!(f, "{path} is not read: {reason}"),
            Self::TooLarge { path, bytes, limit } => {
                write!(f, "{path} has {bytes} bytes; a file may have {limit}")
            }
            Self::Io { path, reason } => write!(f, "{path} cannot be read: {reason}"),
            Self::Beyond { reason, .. }
            | Self::Unfinished { reason, .. }
            | Self::Repository { reason, .. } => f.write_str(reason),
        }
    }
}

impl std::error::Error for SourceError {}

/// The largest file that is read as part of a design, in bytes: a table, a model, an export. What is
/// larger is none of these.
pub const LARGEST_FILE: u64 = 256 * 1024 * 1024;

/// Texts held in memory, for tests, for editors and for programs that make designs.
///
/// ```
/// use setout_design::{Memory, Source};
/// let texts = Memory::new([
///     ("params/design.yaml", "setout: 1\nname: a lid\n"),
///     ("params/lid.yaml", "dimensions: { width: 62 mm }\n"),
/// ]);
/// assert_eq!(texts.list()?, ["params/design.yaml", "params/lid.yaml"]);
/// # Ok::<(), setout_design::SourceError>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Memory {
    files: BTreeMap<String, Vec<u8>>,
}

impl Memory {
    /// Texts by root-relative path. The design's folder is the one that holds `design.yaml`.
    pub fn new<P: Into<String>, T: Into<Vec<u8>>>(files: impl IntoIterator<Item = (P, T)>) -> Self {
        Self { files: files.into_iter().map(|(path, text)| (path.into(), text.into())).collect() }
    }

    /// Adds a file or replaces its text.
    pub fn insert(&mut self, path: impl Into<String>, text: impl Into<Vec<u8>>) {
        self.files.insert(path.into(), text.into());
    }

    /// Takes a file out, if there is one of this path.
    pub fn remove(&mut self, path: &str) {
        self.files.remove(path);
    }

    /// The folder of the design, `""` when it is the root itself.
    fn folder(&self) -> Option<&str> {
        self.files.keys().find_map(|path| match apart(path) {
            (folder, "design.yaml") => folder,
            _ => None,
        })
    }
}

/// The folder of a path and the file in it. What begins with a `/` lies in no folder of the root.
fn apart(path: &str) -> (Option<&str>, &str) {
    match path.rsplit_once('/') {
        Some((folder, file)) => (Some(folder).filter(|folder| !folder.is_empty()), file),
        None => (Some(""), path),
    }
}

impl Source for Memory {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        let Some(folder) = self.folder() else {
            return Err(SourceError::NotFound { path: "design.yaml".into() });
        };
        let directly_in = |path: &&String| apart(path).0 == Some(folder);
        Ok(self.files.keys().filter(directly_in).cloned().collect())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        self.files.get(path).cloned().ok_or_else(|| SourceError::NotFound { path: path.into() })
    }
}

/// A source with some texts replaced.
pub(crate) struct Over<'a> {
    pub(crate) source: &'a dyn Source,
    pub(crate) edited: &'a Memory,
    /// The path of a file that is none any more, since its text has another path now.
    pub(crate) gone: Option<&'a str>,
}

impl Source for Over<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        let mut paths = self.source.list()?;
        if let Some(gone) = self.gone {
            paths.retain(|path| path != gone);
            paths.extend(self.edited.files.keys().cloned());
            paths.sort_unstable();
            paths.dedup();
        }
        Ok(paths)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        if self.gone == Some(path) {
            return Err(SourceError::NotFound { path: path.into() });
        }
        self.edited.read(path).or_else(|_| self.source.read(path))
    }

    fn holds(&self, path: &str, bytes: &[u8]) -> bool {
        match self.edited.files.get(path) {
            Some(text) => text == bytes,
            None => self.gone != Some(path) && self.source.holds(path, bytes),
        }
    }
}
