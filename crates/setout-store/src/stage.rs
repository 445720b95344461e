//! Files written beside their targets, and then renamed into place.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::place::is_absent;
use crate::unwritten::WriteError;

/// How the names of half-written files begin. A leading dot keeps them out of the design when
/// a killed process leaves one behind.
const TEMPORARY: &str = ".setout-";

/// A file whose new text stands ready beside it.
pub(crate) struct Staged<'a> {
    path: String,
    target: PathBuf,
    ready: NamedTempFile,
    before: Option<Option<&'a [u8]>>,
}

impl<'a> Staged<'a> {
    /// Writes `after` beside `target`, making the folders above it; those are noted in `made`.
    pub(crate) fn new(
        path: String,
        target: PathBuf,
        after: &[u8],
        before: Option<Option<&'a [u8]>>,
        made: &mut Vec<PathBuf>,
    ) -> Result<Self, WriteError> {
        match prepare(&target, after, made) {
            Ok(ready) => Ok(Self { path, target, ready, before }),
            Err(error) => Err(WriteError::io(&path, &error)),
        }
    }

    fn check_unchanged(&self) -> Result<(), WriteError> {
        let Some(before) = self.before else { return Ok(()) };
        let now = existing(&self.target).map_err(|error| WriteError::io(&self.path, &error))?;
        if now.as_deref() == before {
            Ok(())
        } else {
            Err(WriteError::Changed { path: self.path.clone() })
        }
    }
}

/// A file that has been replaced, and what it held.
struct Replaced {
    path: String,
    target: PathBuf,
    old: Option<Vec<u8>>,
}

/// Renames all files into place, or leaves all of them as they were.
pub(crate) fn commit(files: Vec<Staged<'_>>) -> Result<(), WriteError> {
    files.iter().try_for_each(Staged::check_unchanged)?;
    // The old text is only needed to put one file back when a later one fails.
    let keep_old = files.len() > 1;
    let mut done: Vec<Replaced> = Vec::new();
    for file in files {
        match rename(file, keep_old) {
            Ok(replaced) => done.push(replaced),
            Err((path, error)) => return Err(put_back(&done, path, error)),
        }
    }
    done.iter().for_each(|file| sync_folder(&file.target));
    Ok(())
}

fn rename(file: Staged<'_>, keep_old: bool) -> Result<Replaced, (String, io::Error)> {
    let Staged { path, target, ready, .. } = file;
    let old = if keep_old { existing(&target) } else { Ok(None) };
    match old.and_then(|old| ready.persist(&target).map(|_| old).map_err(|e| e.error)) {
        Ok(old) => Ok(Replaced { path, target, old }),
        Err(error) => Err((path, error)),
    }
}

/// Undoes `done`, last first, and says what could not be undone.
fn put_back(done: &[Replaced], path: String, error: io::Error) -> WriteError {
    let failed = done.iter().rev().filter(|file| restore(file).is_err());
    let mut replaced: Vec<String> = failed.map(|file| file.path.clone()).collect();
    replaced.reverse();
    let reason = error.to_string();
    if replaced.is_empty() {
        WriteError::Io { path, reason }
    } else {
        WriteError::HalfDone { path, reason, replaced }
    }
}

fn restore(file: &Replaced) -> io::Result<()> {
    match &file.old {
        None => fs::remove_file(&file.target),
        Some(old) => {
            let ready = prepare(&file.target, old, &mut Vec::new())?;
            ready.persist(&file.target).map(drop).map_err(|error| error.error)
        }
    }
}

/// A temporary file in the target's folder, so that the rename stays within a file system,
/// with its bytes on the disk and the permissions that the target has or would get.
fn prepare(target: &Path, bytes: &[u8], made: &mut Vec<PathBuf>) -> io::Result<NamedTempFile> {
    let folder = target.parent().ok_or(io::ErrorKind::InvalidInput)?;
    make_folders(folder, made)?;
    let mut ready = builder().tempfile_in(folder)?;
    ready.write_all(bytes)?;
    if let Ok(meta) = fs::metadata(target) {
        ready.as_file().set_permissions(meta.permissions())?;
    }
    ready.as_file().sync_all()?;
    Ok(ready)
}

fn builder() -> tempfile::Builder<'static, 'static> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(TEMPORARY).suffix(".tmp");
    // A temporary file is its owner's alone; a file of a design is whatever the umask says.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder
}

/// Makes a folder and those above it, and notes those that were not there.
fn make_folders(folder: &Path, made: &mut Vec<PathBuf>) -> io::Result<()> {
    let missing: Vec<&Path> = folder.ancestors().take_while(|above| !above.exists()).collect();
    made.extend(missing.into_iter().rev().map(Path::to_owned));
    fs::create_dir_all(folder)
}

/// Takes away the folders that a failed write has made, as far as they are empty.
pub(crate) fn remove_empty(made: &[PathBuf]) {
    for folder in made.iter().rev() {
        fs::remove_dir(folder).ok();
    }
}

fn existing(target: &Path) -> io::Result<Option<Vec<u8>>> {
    match fs::read(target) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if is_absent(&error) => Ok(None),
        Err(error) => Err(error),
    }
}

/// Makes the rename last through a loss of power. The bytes are on the disk already and either
/// name is whole, so a system that cannot do this is no reason to fail.
fn sync_folder(target: &Path) {
    if let Some(folder) = target.parent()
        && let Ok(folder) = fs::File::open(folder)
    {
        folder.sync_all().ok();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    type Outcome = Result<(), Box<dyn std::error::Error>>;

    fn staged<'a>(dir: &Path, name: &str, after: &str) -> Result<Staged<'a>, WriteError> {
        let target = dir.join(name);
        Staged::new(name.to_owned(), target, after.as_bytes(), None, &mut Vec::new())
    }

    #[test]
    fn a_rename_that_fails_undoes_those_before_it() -> Outcome {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join("jaw.yaml"), "old")?;
        let files = ["jaw.yaml", "new.csv", "lip.yaml"];
        let files: Result<Vec<_>, _> =
            files.map(|name| staged(dir.path(), name, "new")).into_iter().collect();
        // A folder that appears after the files were made ready.
        fs::create_dir(dir.path().join("lip.yaml"))?;
        let Err(WriteError::Io { path, .. }) = commit(files?) else { return Err("written".into()) };
        assert_eq!(path, "lip.yaml");
        assert_eq!(fs::read(dir.path().join("jaw.yaml"))?, b"old");
        assert!(!dir.path().join("new.csv").exists());
        assert_eq!(fs::read_dir(dir.path())?.count(), 2, "nothing temporary stays");
        Ok(())
    }

    #[test]
    fn what_cannot_be_put_back_is_named() -> Outcome {
        let dir = tempfile::tempdir()?;
        let gone = dir.path().join("gone");
        let done = Replaced { path: "gone/a.csv".into(), target: gone.join("a.csv"), old: None };
        let error = put_back(&[done], "b.csv".into(), io::ErrorKind::StorageFull.into());
        let WriteError::HalfDone { replaced, .. } = error else { return Err("not said".into()) };
        assert_eq!(replaced, ["gone/a.csv"]);
        Ok(())
    }
}
