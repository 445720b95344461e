//! Writing files of a design: whole or not at all.

use std::collections::BTreeSet;
use std::path::PathBuf;

use crate::folder::Folder;
use crate::lock;
use crate::note;
use crate::path;
use crate::place::{locate, not_ordinary};
use crate::stage::{self, Staged, Target};
use crate::unwritten::WriteError;

/// One file to be replaced by [`Folder::write_all_if_unchanged`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Replacement<'a> {
    /// The root-relative path.
    pub path: &'a str,
    /// The path under which the file stands until now, where that is another one. There must be
    /// nothing under `path` then, and nothing is left under this one.
    pub from: Option<&'a str>,
    /// What the file must still hold; `None` when it must not exist.
    pub before: Option<&'a [u8]>,
    /// What it shall hold.
    pub after: &'a [u8],
}

impl Folder {
    /// Replaces one file, or makes it and the folders above it.
    ///
    /// Whoever reads the file meanwhile, or after this was killed, finds the old bytes or the
    /// new ones. Its permissions stay; a hard link to it keeps the old bytes. A symbolic link in
    /// place of the file is refused: to replace it would cut the link, to follow it would change
    /// a file that nobody named.
    ///
    /// # Errors
    /// When the path is none to be written, or the system refuses; nothing has changed then.
    pub fn write(&self, path: &str, bytes: &[u8]) -> Result<(), WriteError> {
        self.write_all(&[(path, bytes)])
    }

    /// Replaces several files. Each is written out in full beside its target before the first
    /// one is renamed into place; if a later one cannot be, those before it are put back.
    ///
    /// A process that is killed between two of these renames leaves some files old and some new,
    /// each of them whole. Where several of them are the design's own, that is noted beside them
    /// until the last is in place, and a design that is half written is not read.
    ///
    /// # Errors
    /// As for [`Folder::write`], and [`WriteError::HalfDone`] when putting back failed too.
    pub fn write_all(&self, files: &[(&str, &[u8])]) -> Result<(), WriteError> {
        let wanted =
            files.iter().map(|&(path, after)| Wanted { path, from: None, after, before: None });
        self.replace(wanted)
    }

    /// Replaces a file that was read before, unless it holds something else by now.
    ///
    /// It is compared when all is ready and only the rename is left to do, and Setout's own writers
    /// take turns.
    ///
    /// # Errors
    /// [`WriteError::Changed`] when it was changed or removed, else as for [`Folder::write`].
    pub fn write_if_unchanged(
        &self,
        path: &str,
        before: &[u8],
        after: &[u8],
    ) -> Result<(), WriteError> {
        self.write_all_if_unchanged(&[Replacement {
            path,
            from: None,
            before: Some(before),
            after,
        }])
    }

    /// Replaces several files that were read before, unless one of them holds something else. A
    /// file can get another path along with it.
    ///
    /// # Errors
    /// As for [`Folder::write_if_unchanged`] and [`Folder::write_all`].
    pub fn write_all_if_unchanged(&self, files: &[Replacement<'_>]) -> Result<(), WriteError> {
        self.replace(files.iter().map(|file| Wanted {
            path: file.path,
            from: file.from,
            after: file.after,
            before: Some(file.before),
        }))
    }

    fn replace<'a>(&self, files: impl Iterator<Item = Wanted<'a>>) -> Result<(), WriteError> {
        let files: Vec<Wanted<'_>> = files.collect();
        let _lock = lock::hold(self.design_dir());
        self.check_finished()?;
        let targets = self.targets(&files)?;
        let mut made = Vec::new();
        let outcome = targets
            .into_iter()
            .zip(&files)
            .map(|(target, file)| Staged::new(target, file.after, file.before, &mut made))
            .collect::<Result<Vec<_>, _>>()
            .and_then(|staged| stage::commit(staged, self.design_dir()));
        if outcome.is_err() {
            stage::remove_empty(&made);
        }
        outcome
    }

    /// Nothing is written over a design that is half written.
    fn check_finished(&self) -> Result<(), WriteError> {
        match self.unfinished().map_err(|error| WriteError::as_read(note::NAME, error))? {
            None => Ok(()),
            Some(unfinished) => Err(WriteError::Unfinished {
                reason: unfinished.to_string(),
                help: unfinished.help(),
            }),
        }
    }

    /// Where each file goes, none of them twice. Nothing is touched before all of this holds.
    fn targets(&self, files: &[Wanted<'_>]) -> Result<Vec<Target>, WriteError> {
        let mut seen = BTreeSet::new();
        files
            .iter()
            .map(|file| {
                let target = self.target(file)?;
                let places = [Some(&target.full), target.from.as_ref()];
                if places.into_iter().flatten().all(|place| seen.insert(place.clone())) {
                    Ok(target)
                } else {
                    Err(WriteError::Twice { path: target.path })
                }
            })
            .collect()
    }

    fn target(&self, file: &Wanted<'_>) -> Result<Target, WriteError> {
        let (path, full, exists) = self.ordinary(file.path)?;
        let Some(from) = file.from else { return Ok(Target { path, full, from: None }) };
        if exists {
            return Err(WriteError::Exists { path });
        }
        let (_, from, _) = self.ordinary(from)?;
        Ok(Target { path, full, from: Some(from) })
    }

    /// The place of an ordinary file that may be replaced, and whether it is there.
    fn ordinary(&self, path: &str) -> Result<(String, PathBuf, bool), WriteError> {
        let as_read = |error| WriteError::as_read(path, error);
        let clean = path::inside(path).map_err(as_read)?;
        let refuse = |reason: &str| {
            Err(WriteError::Unsafe { path: clean.clone(), reason: reason.to_owned() })
        };
        let place = locate(self.root(), &clean).map_err(as_read)?;
        if place.linked {
            return refuse("it is a symbolic link");
        }
        if place.exists {
            let meta = place.full.metadata().map_err(|error| WriteError::io(&clean, &error))?;
            if let Some(reason) = not_ordinary(&meta) {
                return refuse(reason);
            }
            if meta.permissions().readonly() {
                return Err(WriteError::ReadOnly { path: clean });
            }
        }
        Ok((clean, place.full, place.exists))
    }
}

/// One file as asked for. `before` is `None` when it does not matter what was there.
struct Wanted<'a> {
    path: &'a str,
    from: Option<&'a str>,
    after: &'a [u8],
    before: Option<Option<&'a [u8]>>,
}
