//! A design on disk.

use std::fs;
use std::path::{Path, PathBuf};

use setout_design::{Source, SourceError};

use crate::path::{self, unsafe_path};
use crate::place::{io_error, locate, read_ordinary};

/// A design on disk, and the root that it may read and write below.
///
/// The root is the git work tree that holds the design, or without git the parent of a folder
/// called `params`, else the design's own folder. Nothing is held open: every call reads what
/// is there then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Folder {
    pub(crate) root: PathBuf,
    pub(crate) design_dir: PathBuf,
    pub(crate) folder: String,
}

impl Folder {
    /// The canonical folder below which everything that the design names must lie.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The canonical folder that holds `design.yaml`.
    pub fn design_dir(&self) -> &Path {
        &self.design_dir
    }

    /// The design's folder as seen from the root, with `/` between its parts; `""` when it is
    /// the root itself.
    pub fn folder(&self) -> &str {
        &self.folder
    }

    /// The bytes of a file that may not be there yet, such as an export.
    ///
    /// # Errors
    /// When it is there and must not or cannot be read.
    pub fn read_existing(&self, path: &str) -> Result<Option<Vec<u8>>, SourceError> {
        match self.read(path) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(SourceError::NotFound { .. }) => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// The root-relative paths of the files directly in any folder below the root, sorted and
    /// without dot-files; none where there is no such folder.
    ///
    /// # Errors
    /// When the path is no safe one, or the folder cannot be read.
    pub fn files_in(&self, folder: &str) -> Result<Vec<String>, SourceError> {
        let clean = path::inside(folder)?;
        let place = locate(&self.root, &clean)?;
        if place.exists { list(&place.full, &clean) } else { Ok(Vec::new()) }
    }

    /// Whether a root-relative path lies directly in the design's folder, as a table does.
    fn is_table(&self, clean: &str) -> bool {
        path::folder_of(clean) == self.folder
    }
}

impl Source for Folder {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        if let Some(unfinished) = self.unfinished()? {
            return Err(unfinished.into());
        }
        list(&self.design_dir, &self.folder)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        let clean = path::inside(path)?;
        let place = locate(&self.root, &clean)?;
        if place.linked && self.is_table(&clean) {
            return Err(unsafe_path(&clean, LINKED_TABLE));
        }
        if !place.exists {
            return Err(SourceError::NotFound { path: clean });
        }
        read_ordinary(&place.full, &clean)
    }
}

/// The files directly in the folder at `place`, which is `folder` as seen from the root.
fn list(place: &Path, folder: &str) -> Result<Vec<String>, SourceError> {
    let shown = if folder.is_empty() { "." } else { folder };
    let failed = |error: std::io::Error| io_error(shown, &error);
    let mut paths = Vec::new();
    for entry in fs::read_dir(place).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        if entry.file_type().map_err(failed)?.is_dir() {
            continue;
        }
        paths.extend(path::listed(folder, entry.file_name().as_encoded_bytes()).transpose()?);
    }
    paths.sort_unstable();
    Ok(paths)
}

/// A linked table could show one text here and another in a review.
pub(crate) const LINKED_TABLE: &str = "a file of the design's folder must not be a symbolic link";
