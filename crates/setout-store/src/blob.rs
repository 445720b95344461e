//! One file of a revision, symbolic links followed inside the revision only.

use git2::{Oid, Repository, Tree};
use setout_design::SourceError;

use crate::folder::LINKED_TABLE;
use crate::path::{folder_of, unsafe_path};
use crate::place::check_size;
use crate::tree::{Entry, entry_kind};

/// How many links are followed on the way to one file, as Linux has it.
const MOST_LINKS: usize = 40;
/// The longest target of a link, in bytes, as Linux has it.
const LONGEST_LINK: usize = 4096;

/// Why a lookup failed: in the design, or in the repository.
pub(crate) enum Lookup {
    Refused(SourceError),
    Repository(git2::Error),
}

impl From<git2::Error> for Lookup {
    fn from(error: git2::Error) -> Self {
        Self::Repository(error)
    }
}

/// The blob of an ordinary file of the tree `root`, for a design in the folder `design`.
pub(crate) fn find(repo: &Repository, root: Oid, clean: &str, design: &str) -> Result<Oid, Lookup> {
    let mut walk = Walk {
        repo,
        clean,
        is_table: folder_of(clean) == design,
        above: vec![repo.find_tree(root)?],
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
pub(crate) fn bytes(repo: &Repository, blob: Oid, clean: &str) -> Result<Vec<u8>, Lookup> {
    // The header tells the size before anything is unpacked.
    let (size, _) = repo.odb()?.read_header(blob)?;
    check_size(clean, size as u64).map_err(Lookup::Refused)?;
    Ok(repo.find_blob(blob)?.content().to_vec())
}

/// The way down to a file.
struct Walk<'r, 'p> {
    repo: &'r Repository,
    clean: &'p str,
    /// Whether the file lies directly in the design's folder.
    is_table: bool,
    /// The folders passed, the root first.
    above: Vec<Tree<'r>>,
    /// What is still to go, the next part last.
    ahead: Vec<String>,
    /// How many links were followed.
    links: usize,
}

impl Walk<'_, '_> {
    /// Goes on by one part; gives the blob on arrival.
    fn step(&mut self, part: &str) -> Result<Option<Oid>, Lookup> {
        if part == ".." {
            return self.up();
        }
        let found = self.above.last().and_then(|tree| tree.get_name(part).map(|e| e.to_owned()));
        let Some(entry) = found else { return Err(self.absent()) };
        match entry_kind(&entry) {
            Entry::File if self.ahead.is_empty() => return Ok(Some(entry.id())),
            Entry::File => return Err(self.absent()),
            Entry::Submodule => return Err(self.refuse("it lies in a submodule")),
            Entry::Folder => self.above.push(self.repo.find_tree(entry.id())?),
            Entry::Link => self.follow(entry.id())?,
        }
        Ok(None)
    }

    /// Only the target of a link can have a part that leads up.
    fn up(&mut self) -> Result<Option<Oid>, Lookup> {
        self.above.pop();
        if self.above.is_empty() {
            return Err(self.refuse("a symbolic link in it leads out of the root of the design"));
        }
        Ok(None)
    }

    fn follow(&mut self, link: Oid) -> Result<(), Lookup> {
        if self.is_table && self.ahead.is_empty() && self.links == 0 {
            return Err(self.refuse(LINKED_TABLE));
        }
        self.links += 1;
        match target(self.repo, link)? {
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
fn target(repo: &Repository, link: Oid) -> Result<Option<String>, git2::Error> {
    let (size, _) = repo.odb()?.read_header(link)?;
    if size > LONGEST_LINK {
        return Ok(None);
    }
    let blob = repo.find_blob(link)?;
    let target = std::str::from_utf8(blob.content()).ok();
    Ok(target.filter(|target| !target.starts_with('/')).map(str::to_owned))
}
