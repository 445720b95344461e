//! Folders of a revision, and the design among them.

use git2::{ErrorCode, ObjectType, Oid, Repository, Tree, TreeEntry};

use crate::find::DESIGN_FILE;
use crate::path::{join, name_of};

/// How many folders are searched for a design that has moved. Trees can share their parts, so
/// that a few small objects unfold to more folders than could ever be checked out.
pub(crate) const MOST_FOLDERS: usize = 50_000;

/// What an entry of a tree is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Entry {
    File,
    Link,
    Folder,
    Submodule,
}

pub(crate) fn entry_kind(entry: &TreeEntry<'_>) -> Entry {
    match (entry.filemode(), entry.kind()) {
        (0o120_000, _) => Entry::Link,
        (_, Some(ObjectType::Blob)) => Entry::File,
        (_, Some(ObjectType::Tree)) => Entry::Folder,
        _ => Entry::Submodule,
    }
}

/// The tree of `folder`, without following links; `None` where there is no such folder.
pub(crate) fn folder<'r>(
    repo: &'r Repository,
    root: Oid,
    folder: &str,
) -> Result<Option<Tree<'r>>, git2::Error> {
    let mut tree = repo.find_tree(root)?;
    for part in folder.split('/').filter(|part| !part.is_empty()) {
        let id = match tree.get_name(part) {
            Some(entry) if entry_kind(&entry) == Entry::Folder => entry.id(),
            _ => return Ok(None),
        };
        tree = repo.find_tree(id)?;
    }
    Ok(Some(tree))
}

/// Whether the tree holds a `design.yaml`. A linked one counts: reading it says what is wrong.
pub(crate) fn holds_design(tree: &Tree<'_>) -> bool {
    tree.get_name(DESIGN_FILE)
        .is_some_and(|entry| matches!(entry_kind(&entry), Entry::File | Entry::Link))
}

/// All folders with a design, sorted; `None` when there are too many folders to tell.
pub(crate) fn designs(repo: &Repository, root: Oid) -> Result<Option<Vec<String>>, git2::Error> {
    let mut found = Vec::new();
    let mut waiting = vec![(String::new(), root)];
    let mut seen = 0;
    while let Some((folder, id)) = waiting.pop() {
        seen += 1;
        if seen > MOST_FOLDERS {
            return Ok(None);
        }
        let tree = repo.find_tree(id)?;
        for entry in tree.iter().filter(|entry| entry_kind(entry) == Entry::Folder) {
            match entry.name() {
                Ok(name) if !name.starts_with('.') => {
                    waiting.push((join(&folder, name), entry.id()));
                }
                _ => {}
            }
        }
        if holds_design(&tree) {
            found.push(folder);
        }
    }
    found.sort_unstable();
    Ok(Some(found))
}

/// Of the folders with a design the one that `wanted` has become: of the same last name, or
/// the only one.
pub(crate) fn moved<'a>(designs: &'a [String], wanted: &str) -> Option<&'a String> {
    let mut named = designs.iter().filter(|folder| name_of(folder) == name_of(wanted));
    match (named.next(), named.next(), designs) {
        (Some(one), None, _) | (None, _, [one]) => Some(one),
        _ => None,
    }
}

/// Whether the error says that an object is not there.
pub(crate) fn is_missing(error: &git2::Error) -> bool {
    error.code() == ErrorCode::NotFound
}
