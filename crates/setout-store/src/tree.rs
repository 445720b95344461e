//! Folders of a revision, and the design among them.

use std::sync::Arc;

use crate::find::DESIGN_FILE;
use crate::objects::{EntryKind, Id, ObjectError, Objects, Tree};
use crate::path::{join, name_of};

/// How many folders are searched for a design that has moved. Trees can share their parts, so
/// that a few small objects unfold to more folders than could ever be checked out.
pub const MOST_FOLDERS: usize = 50_000;

/// The tree of `folder`, without following links; `None` where there is no such folder.
pub(crate) fn folder(
    objects: &dyn Objects,
    root: Id,
    folder: &str,
) -> Result<Option<Arc<Tree>>, ObjectError> {
    let mut tree = objects.tree(root)?;
    for part in folder.split('/').filter(|part| !part.is_empty()) {
        let id = match tree.entry(part) {
            Some(entry) if entry.kind() == EntryKind::Folder => entry.id,
            _ => return Ok(None),
        };
        tree = objects.tree(id)?;
    }
    Ok(Some(tree))
}

/// Whether the tree holds a `design.yaml`. A linked one counts: reading it says what is wrong.
pub(crate) fn holds_design(tree: &Tree) -> bool {
    tree.entry(DESIGN_FILE)
        .is_some_and(|entry| matches!(entry.kind(), EntryKind::File | EntryKind::Link))
}

/// All folders with a design, sorted; `None` when there are too many folders to tell.
pub(crate) fn designs(objects: &dyn Objects, root: Id) -> Result<Option<Vec<String>>, ObjectError> {
    let mut found = Vec::new();
    let mut waiting = vec![(String::new(), root)];
    let mut seen = 0;
    while let Some((folder, id)) = waiting.pop() {
        seen += 1;
        if seen > MOST_FOLDERS {
            return Ok(None);
        }
        let tree = objects.tree(id)?;
        for entry in tree.entries().filter(|entry| entry.kind() == EntryKind::Folder) {
            match std::str::from_utf8(entry.name) {
                Ok(name) if !name.starts_with('.') => {
                    waiting.push((join(&folder, name), entry.id));
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
