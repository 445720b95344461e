//! The folders of revisions that were read last: every file of a design is looked up through the
//! same few of them.

use std::cell::RefCell;
use std::sync::Arc;

use super::{Id, ObjectError, Tree};

/// Folders by their names, the one that was asked for last at the end.
#[derive(Default)]
pub(crate) struct Recent(RefCell<Vec<(Id, Arc<Tree>)>>);

/// How many are kept: enough for a design some folders deep, its models elsewhere, at two revisions.
const KEPT: usize = 16;
/// The largest that is kept, in bytes.
const LARGEST_KEPT: usize = 64 << 10;

impl Recent {
    /// The folder of this name, read if it is none of these.
    pub(super) fn tree(
        &self,
        id: Id,
        read: impl FnOnce() -> Result<Tree, ObjectError>,
    ) -> Result<Arc<Tree>, ObjectError> {
        let mut kept = self.0.borrow_mut();
        if let Some(at) = kept.iter().rposition(|(name, _)| *name == id) {
            kept[at..].rotate_left(1);
        } else {
            // What reads asks for no folder in turn.
            let tree = Arc::new(read()?);
            if tree.bytes() > LARGEST_KEPT {
                return Ok(tree);
            }
            if kept.len() == KEPT {
                kept.remove(0);
            }
            kept.push((id, tree));
        }
        Ok(kept.last().map(|(_, tree)| Arc::clone(tree)).expect("it was put there just now"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(number: u8) -> Id {
        Id::Sha1([number; 20])
    }

    fn tree(id: Id, entries: usize) -> Tree {
        let entry = [b"100644 name\0".as_slice(), id.as_bytes()].concat();
        Tree::read(id, entry.repeat(entries)).expect("it is well-formed")
    }

    /// How many reads it takes to ask for these one after the other.
    fn reads(recent: &Recent, numbers: &[u8], entries: usize) -> usize {
        let mut reads = 0;
        for number in numbers {
            let found = recent.tree(id(*number), || {
                reads += 1;
                Ok(tree(id(*number), entries))
            });
            let found = found.unwrap_or_else(|_| panic!("{number} is read"));
            assert_eq!(*found, tree(id(*number), entries), "{number}");
        }
        reads
    }

    #[test]
    fn what_was_asked_for_lately_is_read_once() {
        let recent = Recent::default();
        assert_eq!(reads(&recent, &[1, 2, 1, 3, 2, 1, 1], 1), 3);
    }

    #[test]
    fn what_was_not_asked_for_longest_is_forgotten() {
        let recent = Recent::default();
        let many: Vec<u8> = (0..KEPT as u8).collect();
        assert_eq!(reads(&recent, &many, 1), KEPT);
        assert_eq!(reads(&recent, &[0, 99, 0, 2], 1), 1);
        assert_eq!(reads(&recent, &[1], 1), 1);
        assert!(recent.0.borrow().len() == KEPT);
    }

    #[test]
    fn a_large_one_is_not_kept() {
        let recent = Recent::default();
        assert_eq!(reads(&recent, &[7, 7], LARGEST_KEPT / 32 + 1), 2);
        assert!(recent.0.borrow().is_empty());
    }

    #[test]
    fn one_that_cannot_be_read_is_asked_for_again() {
        let recent = Recent::default();
        assert!(recent.tree(id(1), || Err(ObjectError::Missing)).is_err());
        assert_eq!(reads(&recent, &[1], 1), 1);
    }
}
