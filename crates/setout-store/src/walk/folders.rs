//! Where the design lies at each revision.

use std::collections::HashMap;
use std::sync::Arc;

use crate::objects::{EntryKind, Id, ObjectError, Objects, Tree};
use crate::path::join;
use crate::tree::{self, MOST_FOLDERS};

/// What was found of the design at a revision.
#[derive(Clone, Debug)]
pub(super) enum Found {
    /// It lies in this folder, which has this tree.
    Design { folder: Arc<str>, tree: Arc<Tree> },
    /// There is none.
    Nothing,
    /// There are several, and none where this one is.
    Several(Vec<String>),
    /// It is elsewhere, and there are too many folders to search, or too deep ones.
    TooMany,
}

/// Finds it, and remembers which trees hold none.
pub(super) struct Finder<'o> {
    objects: &'o dyn Objects,
    /// Where it is now.
    usual: Arc<str>,
    /// The last tree read, with its id: most revisions change something else.
    last: Option<(Id, Arc<Tree>)>,
    /// What is below trees, as seen from them.
    below: HashMap<Id, Arc<Vec<String>>>,
    visited: usize,
}

/// How deep folders are searched.
const DEEPEST: usize = 200;

/// The search was given up.
enum GiveUp {
    TooMany,
    Unread(ObjectError),
}

impl From<ObjectError> for GiveUp {
    fn from(error: ObjectError) -> Self {
        Self::Unread(error)
    }
}

impl<'o> Finder<'o> {
    pub(super) fn new(objects: &'o dyn Objects, usual: &str) -> Self {
        let (last, below) = (None, HashMap::new());
        Self { objects, usual: usual.into(), last, below, visited: 0 }
    }

    /// The design at a revision: where the revision after it has it, else where it seems to have
    /// been moved from.
    pub(super) fn find(
        &mut self,
        root: Id,
        wanted: Option<&Arc<str>>,
    ) -> Result<Found, ObjectError> {
        let wanted = Arc::clone(wanted.unwrap_or(&self.usual));
        if let Some(tree) = self.folder(root, &wanted)? {
            return Ok(Found::Design { folder: wanted, tree });
        }
        self.visited = 0;
        let folders = match self.designs(root, DEEPEST) {
            Ok(folders) => folders,
            Err(GiveUp::TooMany) => return Ok(Found::TooMany),
            Err(GiveUp::Unread(error)) => return Err(error),
        };
        let Some(folder) = tree::moved(&folders, &wanted) else {
            let none = folders.is_empty();
            return Ok(if none { Found::Nothing } else { Found::Several(folders.to_vec()) });
        };
        let tree = self.folder(root, folder)?.ok_or(ObjectError::Missing)?;
        Ok(Found::Design { folder: folder.as_str().into(), tree })
    }

    /// The tree of a folder with a design in it.
    fn folder(&mut self, root: Id, folder: &str) -> Result<Option<Arc<Tree>>, ObjectError> {
        let mut id = root;
        for part in folder.split('/').filter(|part| !part.is_empty()) {
            match self.objects.tree(id)?.entry(part) {
                Some(entry) if entry.kind() == EntryKind::Folder => id = entry.id,
                _ => return Ok(None),
            }
        }
        if let Some((_, tree)) = self.last.as_ref().filter(|(last, _)| *last == id) {
            return Ok(Some(Arc::clone(tree)));
        }
        let tree = self.objects.tree(id)?;
        if !tree::holds_design(&tree) {
            return Ok(None);
        }
        self.last = Some((id, Arc::clone(&tree)));
        Ok(Some(tree))
    }

    /// All folders with a design below a tree, sorted. Trees can share their parts, so that what
    /// they unfold to is counted, not only what is read.
    fn designs(&mut self, id: Id, deep: usize) -> Result<Arc<Vec<String>>, GiveUp> {
        if let Some(known) = self.below.get(&id) {
            return Ok(Arc::clone(known));
        }
        self.visited += 1;
        if deep == 0 || self.visited > MOST_FOLDERS {
            return Err(GiveUp::TooMany);
        }
        let tree = self.objects.tree(id)?;
        let mut found = Vec::new();
        if tree::holds_design(&tree) {
            found.push(String::new());
        }
        for entry in tree.entries().filter(|entry| entry.kind() == EntryKind::Folder) {
            let Ok(name) = std::str::from_utf8(entry.name) else { continue };
            if name.starts_with('.') {
                continue;
            }
            let inside = self.designs(entry.id, deep - 1)?;
            let inner = inside.iter().map(|inner| match inner.as_str() {
                "" => name.to_owned(),
                inner => join(name, inner),
            });
            found.extend(inner);
            if found.len() > MOST_FOLDERS {
                return Err(GiveUp::TooMany);
            }
        }
        found.sort_unstable();
        let found = Arc::new(found);
        self.below.insert(id, Arc::clone(&found));
        Ok(found)
    }
}
