//! How much a design may hold. Every limit gives `too-large`, never a hang.

use crate::yaml::Node;

pub use crate::source::LARGEST_FILE;
pub use crate::yaml::DEEPEST;

/// The most bytes that design.yaml and all tables of a design have together. What is read takes up
/// to some hundreds of times as much memory as its text.
pub const LARGEST_DESIGN: u64 = 160 << 20;
/// The most tables of a design.
pub const MOST_TABLES: usize = 10_000;
/// The most entries of all tables together: whatever stands behind a name or in a list.
pub const MOST_ENTRIES: usize = 10_000_000;
/// The most values (dimensions, cells, costs) of a design.
pub const MOST_VALUES: usize = 4_000_000;
/// The most rows of a schedule.
pub const MOST_ROWS: usize = 100_000;
/// The most files that a design exports.
pub const MOST_EXPORTS: usize = 100;
/// The longest name.
pub const LONGEST_NAME: usize = 64;
/// How many files a part's model may include, one through the other.
pub const MOST_INCLUDES: usize = 256;
/// The most bytes of all models of parts together, with what they include.
pub const LARGEST_MODELS: u64 = 512 << 20;

/// For how many names that stand for nothing it is guessed what was meant, where a guess looks at so
/// many names. Where there are more, the reason is another one anyway; where each of them looks at
/// many, to compare them all would take longer than everything else.
pub(crate) fn most_guesses(names: usize) -> usize {
    const MOST: usize = 100;
    const FEWEST: usize = 3;
    const MOST_COMPARED: usize = 100_000;
    (MOST_COMPARED / names.max(1)).clamp(FEWEST, MOST)
}

/// Of tables that follow one another, which are beyond [`MOST_ENTRIES`]: the first of them, if any.
/// `trees` reads one of the texts, and is asked only where the signs in them leave it open.
pub(crate) fn beyond_entries<'a>(
    texts: impl Iterator<Item = &'a str> + Clone,
    most: usize,
    tree: impl Fn(usize) -> Option<Node>,
) -> Option<usize> {
    let at_most: usize = texts.clone().map(signs).sum();
    if at_most <= most {
        return None;
    }
    let mut before = 0;
    texts.enumerate().find_map(|(index, _)| {
        before += tree(index).as_ref().map_or(0, entries);
        (before > most).then_some(index)
    })
}

/// No fewer than the entries of a text: each stands behind one of these signs.
fn signs(text: &str) -> usize {
    text.bytes().filter(|byte| matches!(byte, b':' | b',' | b'[' | b'-')).count()
}

/// How much stands behind a name or in a list. A tree has a bounded depth.
fn entries(node: &Node) -> usize {
    match node {
        Node::Scalar(_) | Node::Empty(_) => 0,
        Node::Map(map) => map.entries.iter().map(|entry| 1 + entries(&entry.value)).sum(),
        Node::List(list) => list.items.iter().map(|item| 1 + entries(item)).sum(),
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "a test stops where it fails")]
mod tests {
    use super::*;
    use crate::yaml;

    const TABLES: [&str; 3] = [
        "dimensions:\n  a: 1 mm\n  b: { value: 2 mm, note: 'x, y: z' }\n",
        "dimensions: { a: 1 mm }\n",
        "parts: { p: { uses: [a, b, c] } }\n",
    ];

    fn beyond(most: usize) -> Option<usize> {
        let tree = |index: usize| yaml::read(TABLES[index]).0;
        beyond_entries(TABLES.into_iter(), most, tree)
    }

    #[test]
    fn entries_are_counted_over_all_tables() {
        let each: Vec<usize> =
            TABLES.iter().map(|text| entries(&yaml::read(text).0.unwrap())).collect();
        assert_eq!(each, [5, 2, 6]);
        assert!(TABLES.iter().zip(&each).all(|(text, entries)| signs(text) >= *entries));
        assert_eq!(
            [13, 12, 7, 6, 5, 4].map(beyond),
            [None, Some(2), Some(2), Some(1), Some(1), Some(0)]
        );
    }

    #[test]
    fn no_tree_is_read_where_the_signs_say_enough() {
        let tree = |_: usize| -> Option<Node> { panic!("not needed") };
        assert_eq!(beyond_entries(TABLES.into_iter(), 20, tree), None);
    }

    #[test]
    fn guesses_become_fewer_where_each_looks_at_more() {
        let names = [0, 1_000, 2_000, 50_000, 4_000_000];
        assert_eq!(names.map(most_guesses), [100, 100, 50, 3, 3]);
    }
}
