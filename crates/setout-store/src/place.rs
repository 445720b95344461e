//! From a root-relative path to a place on disk, following symbolic links only inside the root.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use setout_design::{LARGEST_FILE, SourceError};

use crate::path::{GIT_DIR, is_git_dir, unsafe_path};

/// Where a path leads on disk.
#[derive(Debug)]
pub(crate) struct Place {
    /// The canonical path, as far as it exists; what is missing is appended as written.
    pub(crate) full: PathBuf,
    /// Whether the whole path exists.
    pub(crate) exists: bool,
    /// Whether the last part of the path is a symbolic link.
    pub(crate) linked: bool,
}

/// Walks `clean` (see [`crate::path::inside`]) down from `root`, which is canonical.
///
/// A link that leads out is refused before what lies behind it is looked at, so that a design
/// cannot learn which files exist elsewhere. A folder that is exchanged for a link while this
/// runs is looked for again where the place is used, see [`exchanged`].
pub(crate) fn locate(root: &Path, clean: &str) -> Result<Place, SourceError> {
    let mut place = Place { full: root.to_owned(), exists: true, linked: false };
    for part in clean.split('/').filter(|part| !part.is_empty()) {
        let next = place.full.join(part);
        if !place.exists {
            place.full = next;
            continue;
        }
        match fs::symlink_metadata(&next) {
            Ok(meta) if meta.is_symlink() => {
                place = Place { full: follow(root, &next, clean)?, exists: true, linked: true };
            }
            Ok(_) => place = Place { full: next, exists: true, linked: false },
            Err(error) if is_absent(&error) => {
                place = Place { full: next, exists: false, linked: false };
            }
            Err(error) => return Err(io_error(clean, &error)),
        }
    }
    Ok(place)
}

/// Whether a folder above a place that [`locate`] gave, or what stands there itself, has become a link
/// since: the place has none. Between this look and the use a moment is left, to those who can
/// change the folders.
pub(crate) fn exchanged(full: &Path) -> bool {
    let is_link = |at: &Path| at.symlink_metadata().is_ok_and(|meta| meta.is_symlink());
    full.ancestors().any(is_link)
}

/// What is said then, as half a sentence.
pub(crate) const EXCHANGED: &str = "a folder above it was exchanged for a link meanwhile";

/// The target of a link. One that leads out and one that leads nowhere are refused alike.
fn follow(root: &Path, link: &Path, clean: &str) -> Result<PathBuf, SourceError> {
    let target = link.canonicalize().ok();
    let Some(target) = target.filter(|target| target.starts_with(root)) else {
        let reason = "a symbolic link in it leads out of the root of the design, or nowhere";
        return Err(unsafe_path(clean, reason));
    };
    let below = target.strip_prefix(root).unwrap_or(&target);
    if below.iter().any(|part| part.to_str().is_some_and(is_git_dir)) {
        return Err(unsafe_path(clean, GIT_DIR));
    }
    Ok(target)
}

/// Nothing of this name: no such entry, or a file where a folder would have to be.
pub(crate) fn is_absent(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory)
}

pub(crate) fn io_error(path: &str, error: &io::Error) -> SourceError {
    SourceError::Io { path: path.to_owned(), reason: error.to_string() }
}

/// Why the file is none that is read or replaced, if it is not an ordinary one.
pub(crate) fn not_ordinary(meta: &fs::Metadata) -> Option<&'static str> {
    if meta.is_file() {
        None
    } else if meta.is_dir() {
        Some("it is a folder")
    } else {
        Some("it is a device, a pipe or a socket, not an ordinary file")
    }
}

/// The bytes of an ordinary file of bounded size.
///
/// What it is is asked before it is opened, for to open a pipe waits for its other end, and
/// the number of bytes read is bounded too, for a file may grow meanwhile.
pub(crate) fn read_ordinary(full: &Path, clean: &str) -> Result<Vec<u8>, SourceError> {
    let meta = fs::metadata(full).map_err(|error| io_error(clean, &error))?;
    if let Some(reason) = not_ordinary(&meta) {
        return Err(unsafe_path(clean, reason));
    }
    check_size(clean, meta.len())?;
    let file = fs::File::open(full).map_err(|error| io_error(clean, &error))?;
    if exchanged(full) {
        return Err(unsafe_path(clean, EXCHANGED));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(meta.len()).unwrap_or(0));
    file.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(|error| io_error(clean, &error))?;
    check_size(clean, bytes.len() as u64)?;
    Ok(bytes)
}

/// Refuses what is larger than a design's file may be.
pub(crate) fn check_size(path: &str, bytes: u64) -> Result<(), SourceError> {
    if bytes <= LARGEST_FILE {
        return Ok(());
    }
    Err(SourceError::TooLarge { path: path.to_owned(), bytes, limit: LARGEST_FILE })
}
