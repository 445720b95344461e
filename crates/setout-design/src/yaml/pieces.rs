//! A text cut into the lines of its entries, so that they can be put together anew.

use super::row::Row;
use super::words::{column, line_end, line_start, skip_break};
use super::{Entry, List, Map, Node, Span};

/// The lines of a map, or of a list of maps, that is written in lines: every byte of them belongs
/// to the head, to one piece, or to the tail.
#[derive(Clone, Debug)]
pub(crate) struct Block<'n> {
    /// The line of the key that it stands behind; nothing for the whole text.
    pub(crate) head: Span,
    pub(crate) pieces: Vec<Piece<'n>>,
    /// What stands behind the last piece.
    pub(crate) tail: Span,
}

/// An entry with its lines.
#[derive(Clone, Debug)]
pub(crate) struct Piece<'n> {
    pub(crate) key: String,
    /// The lines above its first one that belong to nothing else: comments and blank lines.
    pub(crate) lead: Span,
    /// From its key's line to its last one, with the comments below that are indented deeper.
    pub(crate) body: Span,
    /// How far its key is indented.
    pub(crate) column: usize,
    pub(crate) node: &'n Node,
    /// The pieces of its value, if that is written in lines too.
    pub(crate) inner: Option<Block<'n>>,
}

/// The whole text as pieces. None where an entry shares a line with something else.
pub(crate) fn pieces<'n>(text: &str, tree: &'n Node) -> Option<Block<'n>> {
    let start = line_start(text, text.find(|c| c != '\u{feff}').unwrap_or(text.len()));
    block(text, tree, start..start, start, text.len(), None)
}

fn block<'n>(
    text: &str,
    node: &'n Node,
    head: Span,
    start: usize,
    end: usize,
    floor: Option<usize>,
) -> Option<Block<'n>> {
    let keys = keys(node)?;
    let row = Row::of(text, node, floor)?;
    let mut pieces = Vec::with_capacity(keys.len());
    let mut done = start;
    for (index, (key, value)) in keys.into_iter().enumerate() {
        let body = row.own_lines(index).filter(|body| body.start >= done && body.end <= end)?;
        let inner = match node {
            Node::Map(map) => inner(text, &map.entries[index], &body),
            _ => None,
        };
        let column = column(text, row.span(index).start);
        pieces.push(Piece {
            key,
            lead: done..body.start,
            body: body.clone(),
            column,
            node: value,
            inner,
        });
        done = body.end;
    }
    Some(Block { head, pieces, tail: done..end })
}

/// The keys of what is written in lines: those of a map, the `file` of every item of a list.
fn keys(node: &Node) -> Option<Vec<(String, &Node)>> {
    match node {
        Node::Map(Map { entries, flow: false, .. }) => {
            Some(entries.iter().map(|entry| (entry.key.value.to_string(), &entry.value)).collect())
        }
        Node::List(List { items, flow: false, .. }) => {
            let keyed: Option<Vec<_>> =
                items.iter().map(|item| Some((file_of(item)?, item))).collect();
            let keyed = keyed?;
            let mut names: Vec<&String> = keyed.iter().map(|(key, _)| key).collect();
            names.sort_unstable();
            let unique = names.windows(2).all(|two| two[0] != two[1]);
            (unique && !keyed.is_empty()).then_some(keyed)
        }
        _ => None,
    }
}

/// What tells one item of a list of maps from the others.
pub(crate) fn file_of(item: &Node) -> Option<String> {
    Some(item.as_map()?.get("file")?.as_scalar()?.value.trim().to_owned())
}

fn inner<'n>(text: &str, entry: &'n Entry, body: &Span) -> Option<Block<'n>> {
    let key = &entry.key.span;
    let head = body.start..skip_break(text, line_end(text, key.end));
    let below = entry.value.span().start >= head.end;
    let filled = match &entry.value {
        Node::Map(map) => !map.entries.is_empty(),
        Node::List(list) => !list.items.is_empty(),
        _ => false,
    };
    if !below || !filled {
        return None;
    }
    block(text, &entry.value, head.clone(), head.end, body.end, Some(key.end))
}
