//! Files written beside their targets, and then renamed into place.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::note::Note;
use crate::place::{EXCHANGED, exchanged, is_absent};
use crate::unwritten::WriteError;

/// How the names of half-written files begin. A leading dot keeps them out of the design when
/// a killed process leaves one behind.
const TEMPORARY: &str = ".setout-";

/// Where a file goes.
pub(crate) struct Target {
    /// The root-relative path.
    pub(crate) path: String,
    /// The place on disk that it stands for.
    pub(crate) full: PathBuf,
    /// Where the file stands until now, if that is elsewhere.
    pub(crate) from: Option<PathBuf>,
}

/// A file whose new text stands ready beside it.
pub(crate) struct Staged<'a> {
    target: Target,
    ready: NamedTempFile,
    before: Option<Option<&'a [u8]>>,
}

impl<'a> Staged<'a> {
    /// Writes `after` beside `target`, making the folders above it; those are noted in `made`.
    pub(crate) fn new(
        target: Target,
        after: &[u8],
        before: Option<Option<&'a [u8]>>,
        made: &mut Vec<PathBuf>,
    ) -> Result<Self, WriteError> {
        let like = target.from.as_deref().unwrap_or(&target.full);
        match prepare(&target.full, like, after, made) {
            Ok(ready) => Ok(Self { target, ready, before }),
            Err(error) => Err(WriteError::io(&target.path, &error)),
        }
    }

    fn check_unchanged(&self) -> Result<(), WriteError> {
        let Target { path, full, from } = &self.target;
        if exchanged(full) {
            let reason = EXCHANGED.to_owned();
            return Err(WriteError::Unsafe { path: path.clone(), reason });
        }
        let read = |place| existing(place).map_err(|error| WriteError::io(path, &error));
        if from.is_some() && read(full)?.is_some() {
            return Err(WriteError::Exists { path: path.clone() });
        }
        let Some(before) = self.before else { return Ok(()) };
        let now = read(from.as_ref().unwrap_or(full))?;
        if now.as_deref() == before {
            Ok(())
        } else {
            Err(WriteError::Changed { path: path.clone() })
        }
    }

    /// The renames that bring it into place. Where it gets another path, the old file goes there
    /// first: at no time are there two of it, and at none is there no file.
    fn steps(&self) -> Vec<[PathBuf; 2]> {
        let Target { full, from, .. } = &self.target;
        let moved = from.as_ref().map(|from| [from.clone(), full.clone()]);
        moved.into_iter().chain([[self.ready.path().to_owned(), full.clone()]]).collect()
    }
}

/// A file that has been replaced, and what it held.
struct Replaced {
    target: Target,
    old: Option<Vec<u8>>,
}

/// Renames all files into place, or leaves all of them as they were. What is to be done is noted
/// in the design's folder while several of its files are replaced.
pub(crate) fn commit(files: Vec<Staged<'_>>, design_dir: &Path) -> Result<(), WriteError> {
    files.iter().try_for_each(Staged::check_unchanged)?;
    let steps: Vec<[PathBuf; 2]> = files.iter().flat_map(Staged::steps).collect();
    let note = Note::write(design_dir, &steps)?;
    let done = rename_all(files);
    note.remove();
    done
}

fn rename_all(files: Vec<Staged<'_>>) -> Result<(), WriteError> {
    // The old text is only needed to put one file back when a later one fails.
    let keep_old = files.len() > 1;
    let mut done: Vec<Replaced> = Vec::new();
    for file in files {
        match rename(file, keep_old) {
            Ok(replaced) => done.push(replaced),
            Err((path, error)) => return Err(put_back(&done, path, error)),
        }
    }
    done.iter().for_each(|file| sync_folder(&file.target.full));
    Ok(())
}

fn rename(file: Staged<'_>, keep_old: bool) -> Result<Replaced, (String, io::Error)> {
    let Staged { target, ready, .. } = file;
    let steps = || {
        let old = match &target.from {
            Some(from) => {
                let old = existing(from)?;
                fs::rename(from, &target.full)?;
                old
            }
            None if keep_old => existing(&target.full)?,
            None => None,
        };
        let Err(error) = ready.persist(&target.full) else { return Ok(old) };
        if let Some(from) = &target.from {
            fs::rename(&target.full, from)?;
        }
        Err(error.error)
    };
    match steps() {
        Ok(old) => Ok(Replaced { target, old }),
        Err(error) => Err((target.path, error)),
    }
}

/// Undoes `done`, last first, and says what could not be undone.
fn put_back(done: &[Replaced], path: String, error: io::Error) -> WriteError {
    let failed = done.iter().rev().filter(|file| restore(file).is_err());
    let mut replaced: Vec<String> = failed.map(|file| file.target.path.clone()).collect();
    replaced.reverse();
    let reason = error.to_string();
    if replaced.is_empty() {
        WriteError::Io { path, reason }
    } else {
        WriteError::HalfDone { path, reason, replaced }
    }
}

fn restore(file: &Replaced) -> io::Result<()> {
    let full = &file.target.full;
    match &file.old {
        None => fs::remove_file(full),
        Some(old) => {
            let ready = prepare(full, full, old, &mut Vec::new())?;
            ready.persist(full).map_err(|error| error.error)?;
            file.target.from.as_ref().map_or(Ok(()), |from| fs::rename(full, from))
        }
    }
}

/// A temporary file in the target's folder, so that the rename stays within a file system,
/// with its bytes on the disk and the permissions that `like` has, or that a new file would get.
fn prepare(
    target: &Path,
    like: &Path,
    bytes: &[u8],
    made: &mut Vec<PathBuf>,
) -> io::Result<NamedTempFile> {
    let folder = target.parent().ok_or(io::ErrorKind::InvalidInput)?;
    make_folders(folder, made)?;
    if exchanged(folder) {
        return Err(io::Error::other(EXCHANGED));
    }
    let mut ready = builder().tempfile_in(folder)?;
    ready.write_all(bytes)?;
    if let Ok(meta) = fs::metadata(like) {
        ready.as_file().set_permissions(meta.permissions())?;
    }
    ready.as_file().sync_all()?;
    Ok(ready)
}

/// Replaces a file of any place, whole or not at all; its permissions stay.
///
/// # Errors
/// When the system refuses; the file is as it was then.
pub fn replace_file(target: &Path, bytes: &[u8]) -> io::Result<()> {
    let ready = prepare(target, target, bytes, &mut Vec::new())?;
    ready.persist(target).map_err(|error| error.error)?;
    sync_folder(target);
    Ok(())
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
pub(crate) fn sync_folder(target: &Path) {
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

    fn target(dir: &Path, name: &str, from: Option<&str>) -> Target {
        let dir = dir.canonicalize().unwrap_or_else(|_| dir.to_owned());
        let from = from.map(|from| dir.join(from));
        Target { path: name.to_owned(), full: dir.join(name), from }
    }

    fn staged<'a>(dir: &Path, name: &str, after: &str) -> Result<Staged<'a>, WriteError> {
        Staged::new(target(dir, name, None), after.as_bytes(), None, &mut Vec::new())
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
        let Err(WriteError::Io { path, .. }) = commit(files?, dir.path()) else {
            return Err("written".into());
        };
        assert_eq!(path, "lip.yaml");
        assert_eq!(fs::read(dir.path().join("jaw.yaml"))?, b"old");
        assert!(!dir.path().join("new.csv").exists());
        assert_eq!(fs::read_dir(dir.path())?.count(), 2, "nothing temporary stays");
        Ok(())
    }

    #[test]
    fn a_file_under_another_path_goes_back_to_its_own() -> Outcome {
        let dir = tempfile::tempdir()?;
        fs::write(dir.path().join("jaw.yaml"), "old")?;
        let moved = target(dir.path(), "mouth.yaml", Some("jaw.yaml"));
        let moved = Staged::new(moved, b"new", Some(Some(b"old")), &mut Vec::new())?;
        let blocked = staged(dir.path(), "lip.yaml", "new")?;
        fs::create_dir(dir.path().join("lip.yaml"))?;
        assert!(commit(vec![moved, blocked], dir.path()).is_err());
        assert_eq!(fs::read(dir.path().join("jaw.yaml"))?, b"old");
        assert_eq!(fs::read_dir(dir.path())?.count(), 2, "neither a note nor a new file stays");
        Ok(())
    }

    #[test]
    fn what_cannot_be_put_back_is_named() -> Outcome {
        let dir = tempfile::tempdir()?;
        let done = Replaced { target: target(dir.path(), "gone/a.csv", None), old: None };
        let error = put_back(&[done], "b.csv".into(), io::ErrorKind::StorageFull.into());
        let WriteError::HalfDone { replaced, .. } = error else { return Err("not said".into()) };
        assert_eq!(replaced, ["gone/a.csv"]);
        Ok(())
    }
}

#[cfg(all(test, unix))]
mod exchanged_folders {
    use super::*;

    type Outcome = Result<(), Box<dyn std::error::Error>>;

    /// A root with a folder `out` below it, and a folder beside the root.
    struct Bench {
        _place: tempfile::TempDir,
        root: PathBuf,
        beside: PathBuf,
    }

    impl Bench {
        fn new() -> Result<Self, io::Error> {
            let place = tempfile::tempdir()?;
            let at = place.path().canonicalize()?;
            let (root, beside) = (at.join("root"), at.join("beside"));
            fs::create_dir_all(root.join("out"))?;
            fs::create_dir(&beside)?;
            Ok(Self { _place: place, root, beside })
        }

        fn stage(&self) -> Result<Staged<'static>, WriteError> {
            let full = self.root.join("out/x.csv");
            let target = Target { path: "out/x.csv".into(), full, from: None };
            Staged::new(target, b"new", None, &mut Vec::new())
        }

        fn exchange(&self) -> io::Result<()> {
            fs::rename(self.root.join("out"), self.root.join("aside"))?;
            std::os::unix::fs::symlink(&self.beside, self.root.join("out"))
        }

        fn beside_is_empty(&self) -> io::Result<bool> {
            Ok(fs::read_dir(&self.beside)?.next().is_none())
        }
    }

    #[test]
    fn one_that_becomes_a_link_before_the_file_is_made_ready_is_not_followed() -> Outcome {
        let bench = Bench::new()?;
        bench.exchange()?;
        let refused = bench.stage().err().map(|error| error.to_string());
        assert!(refused.is_some_and(|error| error.contains(EXCHANGED)));
        assert!(bench.beside_is_empty()?);
        Ok(())
    }

    #[test]
    fn nor_is_one_that_becomes_a_link_before_the_file_is_put_into_place() -> Outcome {
        let bench = Bench::new()?;
        let ready = bench.stage()?;
        bench.exchange()?;
        let refused = commit(vec![ready], &bench.root);
        assert!(matches!(refused, Err(WriteError::Unsafe { .. })), "{refused:?}");
        assert!(bench.beside_is_empty()?);
        Ok(())
    }
}
