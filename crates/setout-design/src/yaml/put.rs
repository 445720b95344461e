//! An entry taken out of one text put into another, in the way in which that one is written.
//!
//! Its lines move as they are, but for their indentation. Only what stood in lines and comes to
//! stand in braces is written anew.

mod braces;
mod lines;

use super::take::{Taken, map_at_mut, position, same_faults};
use super::words::break_of;
use super::{Entry, Lines, Map, Node, Scalar, Span, SpliceError, Style};
use super::{read, same_except};

/// Where an entry is to stand.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Section<'s> {
    /// The key of the map it is put into; the map is made if there is none.
    pub(crate) key: &'s str,
    /// The keys of a table in their usual order.
    pub(crate) order: &'s [&'s str],
    /// The text that the entry comes from, whose manners count where this text has none.
    pub(crate) from: &'s str,
}

/// A text with an entry put in.
#[derive(Clone, Debug)]
pub(crate) struct Put {
    /// The whole text.
    pub(crate) text: String,
    /// The first line of the entry, with its comments.
    pub(crate) line: usize,
    /// How many lines these are.
    pub(crate) count: usize,
}

/// The text with an entry as the last of a section.
pub(crate) fn put(text: &str, section: Section<'_>, taken: &Taken) -> Result<Put, SpliceError> {
    let (tree, problems) = read(text);
    let piece = Piece { text, section, taken, eol: eol(text, section.from) };
    let candidates = match &tree {
        None | Some(Node::Empty(_)) => vec![piece.as_only_section()],
        Some(Node::Map(root)) => piece.in_root(root),
        _ => Vec::new(),
    };
    let key = taken.entry.key.value.as_str();
    let said = tree.as_ref().filter(|tree| !matches!(tree, Node::Empty(_)));
    let is_good = |(result, _): &Placed| {
        let (Some(mut after), new_problems) = read(result) else { return false };
        let found = withdraw(&mut after, section.key, key, said);
        // Without it, all is as it was before.
        found.is_some_and(|found| alike(&found.value, &taken.entry.value))
            && same_except(said, Some(&after).filter(|_| said.is_some()), &[])
            && same_faults(&problems, &new_problems)
    };
    let fault = SpliceError::Inseparable { at: 0, key: key.to_owned() };
    let (text, own) = candidates.into_iter().find(is_good).ok_or(fault)?;
    let line_of = |byte| Lines::new(&text).line(byte);
    let (line, last) = (line_of(own.start), line_of(own.end));
    Ok(Put { text, line, count: last + 1 - line })
}

fn eol<'t>(text: &'t str, from: &'t str) -> &'t str {
    break_of(text).or(break_of(from)).unwrap_or("\n")
}

/// Takes the new entry out of the tree again, and its section if that was not there before.
fn withdraw(after: &mut Node, section: &str, key: &str, before: Option<&Node>) -> Option<Entry> {
    let map = map_at_mut(after, &[section])?;
    let index = position(map, key)?;
    let entry = map.entries.remove(index);
    let known = before.and_then(|tree| tree.as_map()?.get(section));
    let emptied = map.entries.is_empty();
    let root = map_at_mut(after, &[])?;
    match known {
        None if emptied => root.entries.retain(|of| of.key.value != section),
        Some(Node::Empty(_)) if emptied => {
            let of = root.entries.iter_mut().find(|of| of.key.value == section)?;
            of.value = known?.clone();
        }
        _ => {}
    }
    Some(entry)
}

/// Whether two values say the same, however they are written.
fn alike(a: &Node, b: &Node) -> bool {
    match (a, b) {
        (Node::Scalar(a), Node::Scalar(b)) => content(a) == content(b),
        (Node::List(a), Node::List(b)) => {
            a.items.len() == b.items.len() && a.items.iter().zip(&b.items).all(|(a, b)| alike(a, b))
        }
        (Node::Map(a), Node::Map(b)) => {
            let same =
                |(a, b): (&Entry, &Entry)| a.key.value == b.key.value && alike(&a.value, &b.value);
            a.entries.len() == b.entries.len() && a.entries.iter().zip(&b.entries).all(same)
        }
        (Node::Empty(a), Node::Empty(b)) => a.is_empty() == b.is_empty(),
        _ => false,
    }
}

/// The value without the line ends that only a block has.
fn content(scalar: &Scalar) -> &str {
    match scalar.style {
        Style::Literal | Style::Folded => scalar.value.trim_end_matches('\n'),
        _ => &scalar.value,
    }
}

/// A text, and the bytes of the entry's own lines in it.
type Placed = (String, Span);

struct Piece<'t> {
    text: &'t str,
    section: Section<'t>,
    taken: &'t Taken,
    eol: &'t str,
}

impl Piece<'_> {
    /// The text with something put in.
    fn inserted(&self, at: usize, lead: &str, own: &str, tail: &str) -> Option<Placed> {
        let (before, behind) = (self.text.get(..at)?, self.text.get(at..)?);
        let start = at + lead.len();
        Some((format!("{before}{lead}{own}{tail}{behind}"), start..start + own.len()))
    }

    /// At the end of a text that says nothing yet.
    fn as_only_section(&self) -> Placed {
        let (text, eol) = (self.text, self.eol);
        let ended = text.is_empty() || text == "\u{feff}" || text.ends_with(['\n', '\r']);
        let gap = if ended { "" } else { eol };
        let lead = format!("{text}{gap}{}:{eol}", self.section.key);
        let own = self.in_lines(2);
        (format!("{lead}{own}{eol}"), lead.len()..lead.len() + own.len())
    }

    fn in_root(&self, root: &Map) -> Vec<Placed> {
        match root.get(self.section.key) {
            Some(Node::Map(map)) if map.flow => self.in_braces(map),
            Some(Node::Map(map)) => self.behind_lines(root, map),
            Some(Node::Empty(_)) if !root.flow => self.below_key(root).into_iter().collect(),
            None if root.flow => self.in_root_of_braces(root),
            None => self.as_new_section(root),
            _ => Vec::new(),
        }
    }
}
