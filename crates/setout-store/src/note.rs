//! A note beside the design of what a writing of several files has still to do.
//!
//! One rename is whole or not at all; two are not. Between them the design on disk is neither the
//! old one nor the new one, and reads as one all the same. So the renames are written down before
//! the first of them and the note is removed after the last. Whoever finds it, and files that
//! wait to be renamed, knows that the design is half written, and what would finish it.

use std::fmt;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use setout_design::SourceError;

use crate::folder::Folder;
use crate::path::join;
use crate::place::is_absent;
use crate::stage::sync_folder;
use crate::unwritten::WriteError;

/// The name of the note. The leading dot keeps it out of the design.
pub(crate) const NAME: &str = ".setout-unfinished";

const HEAD: &str = "# Setout replaces several files here. If none is at work, it was cut short.\n\
    # Each line below moves one file over another. Carry out those whose first file is still\n\
    # there, in this order, then delete this note.\n";

/// What stands between the two names of a line; no name of a table holds one.
const BETWEEN: char = '\t';

/// A note that has been written, if there was need of one.
pub(crate) struct Note(Option<PathBuf>);

impl Note {
    /// Notes the renames into the design's folder, if there are several.
    pub(crate) fn write(design_dir: &Path, steps: &[[PathBuf; 2]]) -> Result<Self, WriteError> {
        let own = steps.iter().filter_map(|[from, to]| {
            let name = |path: &Path| {
                let inside = path.parent() == Some(design_dir);
                let name = inside.then(|| path.file_name()?.to_str())??;
                Some(name.to_owned()).filter(|name| is_plain(name))
            };
            Some(format!("{}{BETWEEN}{}\n", name(from)?, name(to)?))
        });
        let own: Vec<String> = own.collect();
        if own.len() < 2 {
            return Ok(Self(None));
        }
        let place = design_dir.join(NAME);
        let written = fs::File::create(&place).and_then(|mut file| {
            file.write_all(format!("{HEAD}{}", own.concat()).as_bytes())?;
            file.sync_all()
        });
        match written {
            Ok(()) => {
                sync_folder(&place);
                Ok(Self(Some(place)))
            }
            Err(error) => {
                fs::remove_file(&place).ok();
                Err(WriteError::io(NAME, &error))
            }
        }
    }

    /// All is in place, or back in it. A note that cannot be removed says nothing any more: none
    /// of its files is left.
    pub(crate) fn remove(self) {
        if let Some(place) = self.0 {
            fs::remove_file(place).ok();
        }
    }
}

/// A design of which only some files hold what was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unfinished {
    /// The design's folder, as seen from the root.
    folder: String,
    /// What is still to be renamed, and over which file.
    pub left: Vec<[String; 2]>,
}

impl Folder {
    /// What a writing of several of the design's files has left to do, if one was cut short or is
    /// going on.
    ///
    /// # Errors
    /// When the note of it is there and cannot be read.
    pub fn unfinished(&self) -> Result<Option<Unfinished>, SourceError> {
        let place = self.design_dir().join(NAME);
        let note = match fs::symlink_metadata(&place) {
            Ok(meta) if !meta.is_file() => return Ok(None),
            Ok(_) => fs::read(&place),
            Err(error) => Err(error),
        };
        let note = match note {
            Ok(note) => note,
            Err(error) if is_absent(&error) => return Ok(None),
            Err(error) => return Err(self.unreadable(&error)),
        };
        let note = String::from_utf8_lossy(&note);
        let all = note.lines().filter_map(|line| line.split_once(BETWEEN));
        let (left, done): (Vec<_>, Vec<_>) = all.partition(|(from, to)| self.is_left(from, to));
        // Before the first rename all is as it was, behind the last all is as it shall be.
        if left.is_empty() || done.is_empty() {
            return Ok(None);
        }
        let full = |(from, to): (&str, &str)| [from, to].map(|name| join(self.folder(), name));
        let left = left.into_iter().map(full).collect();
        Ok(Some(Unfinished { folder: self.folder().to_owned(), left }))
    }

    fn unreadable(&self, error: &io::Error) -> SourceError {
        SourceError::Io { path: join(self.folder(), NAME), reason: error.to_string() }
    }

    /// Whether a line of the note is still to be carried out: its first file is there.
    fn is_left(&self, from: &str, to: &str) -> bool {
        // A file of a design is no hidden one.
        let is_of_design = is_plain(to) && !to.starts_with('.');
        is_plain(from) && is_of_design && self.design_dir().join(from).is_file()
    }
}

/// Whether a name can stand in a command as it is. A note may come from a stranger, and others are
/// not repeated.
fn is_plain(name: &str) -> bool {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"._-".contains(&byte);
    !name.is_empty() && !name.starts_with(['-']) && name != ".." && name.bytes().all(plain)
}

impl Unfinished {
    /// What would finish it, as a sentence without its full stop.
    pub fn help(&self) -> String {
        /// More commands than these are left to the note to tell.
        const MOST: usize = 3;
        let note = join(&self.folder, NAME);
        // What a shell would read otherwise is not put into a command.
        let bare = self.folder.split('/').all(|part| part.is_empty() || is_plain(part));
        if self.left.len() > MOST || !bare {
            return format!("if no setout is at work, {note} tells what to move where");
        }
        let moves = self.left.iter().map(|[from, to]| format!("mv {from} {to} && "));
        let moves: String = moves.collect();
        format!("if no setout is at work, finish it: {moves}rm {note}")
    }
}

impl fmt::Display for Unfinished {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut files: Vec<&str> = self.left.iter().map(|[_, to]| to.as_str()).collect();
        files.dedup();
        let more = files.len().saturating_sub(2);
        let shown = files[..files.len().min(2)].join(" and ");
        write!(f, "the design is half written: {shown}")?;
        if more > 0 {
            write!(f, " and {more} more")?;
        }
        f.write_str(if files.len() > 1 {
            " are to be replaced yet"
        } else {
            " is to be replaced yet"
        })
    }
}

impl From<Unfinished> for SourceError {
    fn from(unfinished: Unfinished) -> Self {
        let path = join(&unfinished.folder, NAME);
        Self::Unfinished { path, reason: unfinished.to_string(), help: unfinished.help() }
    }
}
