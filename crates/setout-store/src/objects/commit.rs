//! A commit, taken apart.

use super::id::Id;
use crate::revision::Date;
use crate::wording::plain;

/// A commit. Who made it, when and why is worked out when it is asked for: a walk through
/// history asks for few of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Commit {
    pub(crate) id: Id,
    pub(crate) tree: Id,
    /// None where a shallow clone ends.
    pub(crate) parents: Vec<Id>,
    /// Whether it has parents that a shallow clone left out.
    pub(crate) is_cut: bool,
    bytes: Vec<u8>,
}

impl Commit {
    /// Takes the bytes of a commit, if they are one.
    pub(crate) fn read(id: Id, bytes: Vec<u8>, is_cut: bool) -> Option<Self> {
        let (mut tree, mut parents) = (None, Vec::new());
        for line in header(&bytes) {
            if let Some(hex) = line.strip_prefix(b"parent ") {
                parents.push(Id::from_hex(hex)?);
            } else if let (None, Some(hex)) = (tree, line.strip_prefix(b"tree ")) {
                tree = Some(Id::from_hex(hex)?);
            } else {
                break;
            }
        }
        let is_cut = is_cut && !parents.is_empty();
        if is_cut {
            parents.clear();
        }
        Some(Self { id, tree: tree?, parents, is_cut, bytes })
    }

    /// Who made it, without control characters.
    pub(crate) fn author_name(&self) -> String {
        let author = self.author();
        let end = author.iter().position(|byte| *byte == b'<').unwrap_or(author.len());
        plain(&String::from_utf8_lossy(author[..end].trim_ascii()))
    }

    /// When its author made it; the beginning of 1970 where that is not said.
    pub(crate) fn date(&self) -> Date {
        when(self.author())
    }

    /// When it was committed, in seconds since the beginning of 1970.
    pub(crate) fn committed(&self) -> i64 {
        let committer = header(&self.bytes)
            .find_map(|line| line.strip_prefix(b"committer "))
            .unwrap_or_default();
        when(committer).seconds
    }

    /// The first paragraph of the message, in one line, without control characters.
    pub(crate) fn summary(&self) -> String {
        let lines = self.message().split(|byte| *byte == b'\n').map(<[u8]>::trim_ascii);
        let paragraph =
            lines.skip_while(|line| line.is_empty()).take_while(|line| !line.is_empty());
        let words: Vec<&[u8]> = paragraph.collect();
        plain(&String::from_utf8_lossy(&words.join(&b' ')))
    }

    /// All of the message, as it was written.
    pub(crate) fn message(&self) -> &[u8] {
        let blank_line = self.bytes.windows(2).position(|pair| pair == b"\n\n");
        blank_line.map_or(&[], |at| &self.bytes[at + 2..])
    }

    fn author(&self) -> &[u8] {
        header(&self.bytes).find_map(|line| line.strip_prefix(b"author ")).unwrap_or_default()
    }
}

/// When somebody did it: what stands behind the address.
fn when(who: &[u8]) -> Date {
    let begin = who.iter().rposition(|byte| *byte == b'>').map_or(0, |at| at + 1);
    let text = std::str::from_utf8(&who[begin..]).unwrap_or_default();
    let mut words = text.split_ascii_whitespace();
    let seconds = words.next().and_then(|word| word.parse().ok()).unwrap_or(0);
    let offset_minutes = words.next().and_then(minutes).unwrap_or(0);
    Date { seconds, offset_minutes }
}

/// The lines before the message.
fn header(bytes: &[u8]) -> impl Iterator<Item = &[u8]> {
    bytes.split(|byte| *byte == b'\n').take_while(|line| !line.is_empty())
}

/// What `+0130` is in minutes.
fn minutes(zone: &str) -> Option<i32> {
    let (sign, digits) = match zone.split_at_checked(1)? {
        ("+", digits) => (1, digits),
        ("-", digits) => (-1, digits),
        _ => return None,
    };
    let number: i32 = digits.parse().ok().filter(|number| (0..=1459).contains(number))?;
    let (hours, minutes) = (number / 100, number % 100);
    (minutes < 60).then_some(sign * (hours * 60 + minutes))
}

#[cfg(test)]
mod tests {
    use super::*;

    const ID: Id = Id::Sha1([1; 20]);

    fn commit(rest: &str) -> Commit {
        let bytes = format!("tree {ID}\n{rest}").into_bytes();
        Commit::read(ID, bytes, false).expect("a commit")
    }

    #[test]
    fn everything_stands_where_git_writes_it() {
        let (one, other) = (Id::Sha1([2; 20]), Id::Sha1([3; 20]));
        let commit = commit(&format!(
            "parent {one}\nparent {other}\nauthor Ada L. <ada@example.org> 1700000000 -0230\n\
             committer G <g@example.org> 1700000100 +0000\ngpgsig -----BEGIN\n x\n \n y\n\n\
             \n  Wider\njaw  \n\nbody\n"
        ));
        assert_eq!((commit.tree, commit.parents.as_slice()), (ID, [one, other].as_slice()));
        assert_eq!(commit.author_name(), "Ada L.");
        let date = Date { seconds: 1_700_000_000, offset_minutes: -150 };
        assert_eq!(commit.date(), date);
        assert_eq!(commit.summary(), "Wider jaw");
        assert_eq!(commit.message(), b"\n  Wider\njaw  \n\nbody\n");
    }

    #[test]
    fn what_is_odd_or_left_out_is_not_guessed() {
        let start = Date { seconds: 0, offset_minutes: 0 };
        for author in ["", "author \n", "author Ada\n", "author Ada <a@b>\n", "author <> x y\n"] {
            assert_eq!(commit(author).date(), start, "{author}");
        }
        assert_eq!(commit("author Ada\n").author_name(), "Ada");
        assert_eq!(commit("author <a> 5 +9900\n").date(), Date { seconds: 5, ..start });
        assert_eq!(commit("author A<b <c> d> 7 +0200\n").date().seconds, 7);
        assert_eq!(
            (commit("").summary(), commit("\n\n \n").summary()),
            (String::new(), String::new())
        );
    }

    #[test]
    fn other_bytes_are_no_commit() {
        for text in ["", "\n", "parent 11\n", "tree 12\n\n", "author A <a> 1 +0000\n"] {
            assert_eq!(Commit::read(ID, text.into(), false), None, "{text}");
        }
        let bytes = format!("tree {ID}\nparent 12\n").into_bytes();
        assert_eq!(Commit::read(ID, bytes, false), None);
    }

    #[test]
    fn where_a_shallow_clone_ends_there_are_no_parents() {
        let text = format!("tree {ID}\nparent {ID}\n\n");
        let cut = Commit::read(ID, text.into_bytes(), true).expect("a commit");
        assert!(cut.is_cut && cut.parents.is_empty());
        let root = Commit::read(ID, format!("tree {ID}\n\n").into_bytes(), true).expect("one");
        assert!(!root.is_cut, "a first commit has no parents to leave out");
    }
}
