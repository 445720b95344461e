//! A folder of a revision.

use super::id::Id;

/// A folder of a revision: its entries, in the order in which git keeps them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Tree {
    /// `MODE NAME\0HASH` again and again, all of it well-formed.
    bytes: Vec<u8>,
    hash: usize,
}

/// One entry of a tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Entry<'t> {
    /// Any bytes but NUL.
    pub(crate) name: &'t [u8],
    pub(crate) mode: u32,
    pub(crate) id: Id,
}

/// What an entry of a tree is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum EntryKind {
    File,
    Link,
    Folder,
    Submodule,
}

impl Tree {
    /// Takes the bytes of a tree, if they are one; `id` tells how long the hashes in it are.
    pub(crate) fn read(id: Id, bytes: Vec<u8>) -> Option<Self> {
        let hash = id.as_bytes().len();
        let mut rest = bytes.as_slice();
        while !rest.is_empty() {
            rest = behind_first(rest, hash)?;
        }
        Some(Self { bytes, hash })
    }

    /// How large it is.
    pub(super) fn bytes(&self) -> usize {
        self.bytes.len()
    }

    pub(crate) fn entries(&self) -> impl Iterator<Item = Entry<'_>> {
        let mut rest = self.bytes.as_slice();
        std::iter::from_fn(move || {
            let (entry, after) = first(rest, self.hash)?;
            rest = after;
            Some(entry)
        })
    }

    pub(crate) fn entry(&self, name: &str) -> Option<Entry<'_>> {
        self.entries().find(|entry| entry.name == name.as_bytes())
    }
}

impl Entry<'_> {
    pub(crate) fn kind(&self) -> EntryKind {
        match self.mode & 0o170_000 {
            0o040_000 => EntryKind::Folder,
            0o120_000 => EntryKind::Link,
            0o160_000 => EntryKind::Submodule,
            _ => EntryKind::File,
        }
    }
}

/// What comes after the first entry, if that is one.
fn behind_first(bytes: &[u8], hash: usize) -> Option<&[u8]> {
    let blank = bytes.iter().take(8).position(|byte| *byte == b' ')?;
    octal(&bytes[..blank])?;
    let rest = &bytes[blank + 1..];
    let end = rest.iter().position(|byte| *byte == 0).filter(|end| *end > 0)?;
    rest.get(end + 1 + hash..)
}

/// The first entry, and what comes after it.
fn first(bytes: &[u8], hash: usize) -> Option<(Entry<'_>, &[u8])> {
    let blank = bytes.iter().take(8).position(|byte| *byte == b' ')?;
    let (mode, rest) = (octal(&bytes[..blank])?, &bytes[blank + 1..]);
    let end = rest.iter().position(|byte| *byte == 0)?;
    let (name, rest) = (&rest[..end], &rest[end + 1..]);
    let (id, after) = rest.split_at_checked(hash)?;
    (!name.is_empty()).then_some(())?;
    Some((Entry { name, mode, id: Id::from_bytes(id)? }, after))
}

fn octal(digits: &[u8]) -> Option<u32> {
    (!digits.is_empty()).then_some(())?;
    digits.iter().try_fold(0, |mode, digit| match digit {
        b'0'..=b'7' => Some(mode << 3 | u32::from(digit - b'0')),
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bytes(entries: &[(&str, &str, Id)]) -> Vec<u8> {
        let one = |(mode, name, id): &(&str, &str, Id)| {
            [format!("{mode} {name}\0").as_bytes(), id.as_bytes()].concat()
        };
        entries.iter().flat_map(one).collect()
    }

    #[test]
    fn entries_are_read_with_hashes_of_either_length() {
        // A hash may hold any byte, those that end a name and a mode too.
        for id in [Id::Sha1([0; 20]), Id::Sha1([b' '; 20]), Id::Sha256([0; 32])] {
            let modes = [("100644", "a b"), ("120000", "link"), ("40000", "ö"), ("160000", "sub")];
            let bytes = bytes(&modes.map(|(mode, name)| (mode, name, id)));
            let tree = Tree::read(id, bytes).expect("a tree");
            let kinds: Vec<_> = tree.entries().map(|entry| entry.kind()).collect();
            use EntryKind::{File, Folder, Link, Submodule};
            assert_eq!(kinds, [File, Link, Folder, Submodule]);
            let entry = tree.entry("ö").expect("it is there");
            assert_eq!((entry.mode, entry.id), (0o40_000, id));
            assert_eq!(tree.entry("a"), None);
        }
    }

    #[test]
    fn what_is_cut_off_anywhere_is_no_tree() {
        let id = Id::Sha1([7; 20]);
        let whole = bytes(&[("100644", "jaw.yaml", id)]);
        assert!(Tree::read(id, Vec::new()).is_some());
        for end in 1..whole.len() {
            assert_eq!(Tree::read(id, whole[..end].to_vec()), None, "{end}");
        }
        for text in ["100648 a\0", " a\0", "x a\0", "100644 \0", "1000000000644 a\0"] {
            let bytes = [text.as_bytes(), id.as_bytes()].concat();
            assert_eq!(Tree::read(id, bytes), None, "{text}");
        }
    }
}
