//! One writer at a time.

use std::fs::{File, TryLockError};
use std::path::Path;
use std::time::Duration;

/// How long it is waited for another writer, in steps of [`STEP`]: five seconds.
const MOST_STEPS: u32 = 500;
const STEP: Duration = Duration::from_millis(10);

/// Locks a design's folder until what is given back is dropped. It is the system's own lock on the
/// open folder, and goes with the process that holds it, however that ends.
///
/// Where there is none (the file system knows no locks, the system does not open folders, a stopped
/// process holds it for ever) writing goes on without: files are compared before they are replaced
/// in any case.
pub(crate) fn hold(folder: &Path) -> Option<File> {
    let folder = File::open(folder).ok()?;
    for _ in 0..MOST_STEPS {
        match folder.try_lock() {
            Ok(()) => return Some(folder),
            Err(TryLockError::WouldBlock) => std::thread::sleep(STEP),
            Err(TryLockError::Error(_)) => return None,
        }
    }
    None
}
