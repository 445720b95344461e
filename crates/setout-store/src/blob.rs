//! One file of a revision, symbolic links followed inside the revision only.

use std::sync::Arc;

use setout_design::{LARGEST_FILE, SourceError};

use crate::folder::LINKED_TABLE;
use crate::objects::{EntryKind, Id, ObjectError, Objects, Tree};
use crate::path::{folder_of, unsafe_path};
use crate::place::check_size;

/// How many links are followed on the way to one file, as Linux has it.
pub const MOST_LINKS: usize = 40;
/// The longest target of a link, in bytes, as Linux has it.
const LONGEST_LINK: u64 = 4096;

/// Why a lookup failed: in the design, or in the repository.
pub(crate) enum Lookup {
    Refused(SourceError),
    Repository(ObjectError),
}

impl From<ObjectError> for Lookup {
    fn from(error: ObjectError) -> Self {
        Self::Repository(error)
    }
}

/// The blob of an ordinary file of the tree `root`, for a design in the folder `design`.
pub(crate) fn find(
    objects: &dyn Objects,
    root: Id,
    clean: &str,
    design: &str,
) -> Result<Id, Lookup> {
    let mut walk = Walk {
        objects,
        clean,
        is_table: folder_of(clean) == design,
        above: vec![objects.tree(root)?],
        ahead: reversed(clean),
        links: 0,
    };
    while let Some(part) = walk.ahead.pop() {
        if let Some(blob) = walk.step(&part)? {
            return Ok(blob);
        }
    }
    Err(walk.refuse("it is a folder"))
}

/// The bytes of a blob, unless there are too many of them.
pub(crate) fn bytes(objects: &dyn Objects, blob: Id, clean: &str) -> Result<Vec<u8>, Lookup> {
    objects.blob(blob, LARGEST_FILE).map_err(|error| match error {
        ObjectError::TooLarge { bytes } => {
            check_size(clean, bytes).err().map_or(error.into(), Lookup::Refused)
        }
        error => error.into(),
    })
}

/// The way down to a file.
struct Walk<'w> {
    objects: &'w dyn Objects,
    clean: &'w str,
    /// Whether the file lies directly in the design's folder.
    is_table: bool,
    /// The folders passed, the root first.
    above: Vec<Arc<Tree>>,
    /// What is still to go, the next part last.
    ahead: Vec<String>,
    /// How many links were followed.
    links: usize,
}

impl Walk<'_> {
    /// Goes on by one part; gives the blob on arrival.
    fn step(&mut self, part: &str) -> Result<Option<Id>, Lookup> {
        if part == ".." {
            return self.up();
        }
        let Some(entry) = self.above.last().and_then(|tree| tree.entry(part)) else {
            return Err(self.absent());
        };
        let id = entry.id;
        match entry.kind() {
            EntryKind::File if self.ahead.is_empty() => return Ok(Some(id)),
            EntryKind::File => return Err(self.absent()),
            EntryKind::Submodule => return Err(self.refuse("it lies in a submodule")),
            EntryKind::Folder => self.above.push(self.objects.tree(id)?),
            EntryKind::Link => self.follow(id)?,
        }
        Ok(None)
    }

    /// Only the target of a link can have a part that leads up.
    fn up(&mut self) -> Result<Option<Id>, Lookup> {
        self.above.pop();
        if self.above.is_empty() {
            return Err(self.refuse("a symbolic link in it leads out of the root of the design"));
        }
        Ok(None)
    }

    fn follow(&mut self, link: Id) -> Result<(), Lookup> {
        if self.is_table && self.ahead.is_empty() && self.links == 0 {
            return Err(self.refuse(LINKED_TABLE));
        }
        self.links += 1;
        match target(self.objects, link)? {
            Some(target) if self.links <= MOST_LINKS => self.ahead.extend(reversed(&target)),
            _ => return Err(self.absent()),
        }
        Ok(())
    }

    /// Nothing there. Behind a link it is the link that is at fault.
    fn absent(&self) -> Lookup {
        if self.links > 0 {
            return self.refuse("a symbolic link in it leads nowhere in the revision");
        }
        Lookup::Refused(SourceError::NotFound { path: self.clean.to_owned() })
    }

    fn refuse(&self, reason: &str) -> Lookup {
        Lookup::Refused(unsafe_path(self.clean, reason))
    }
}

fn reversed(path: &str) -> Vec<String> {
    path.split('/').rev().filter(|part| !matches!(*part, "" | ".")).map(str::to_owned).collect()
}

/// Where a link leads, if that can be inside the tree: an absolute target is of one machine.
fn target(objects: &dyn Objects, link: Id) -> Result<Option<String>, ObjectError> {
    let bytes = match objects.blob(link, LONGEST_LINK) {
        Err(ObjectError::TooLarge { .. }) => return Ok(None),
        bytes => bytes?,
    };
    let target = String::from_utf8(bytes).ok();
    Ok(target.filter(|target| !target.starts_with('/')))
}
