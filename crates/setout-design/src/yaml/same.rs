//! Whether two trees are the same but for some scalars, and names that stand twice.

use std::collections::{HashMap, HashSet};

use super::problem::Faults;
use super::{Entry, Node, Problem, Scalar, Slug, quote};

/// Whether two trees have the same shape and texts, but for the scalars of `before` that begin at
/// these bytes, in order of the bytes: they must exist, and have these values in `after`.
#[must_use]
pub fn same_except(before: Option<&Node>, after: Option<&Node>, new: &[(usize, &str)]) -> bool {
    let (before, after) = match (before, after) {
        (Some(before), Some(after)) => (before, after),
        (None, None) => return new.is_empty(),
        _ => return false,
    };
    let mut met = 0;
    let mut scalars = |before: &Scalar, after: &Scalar| {
        let Ok(i) = new.binary_search_by_key(&before.span.start, |(start, _)| *start) else {
            return before.value == after.value && before.style == after.style;
        };
        met += 1;
        new.get(i).is_some_and(|(_, value)| *value == after.value)
    };
    let mut pairs = vec![(before, after)];
    while let Some(pair) = pairs.pop() {
        let same = match pair {
            (Node::Scalar(before), Node::Scalar(after)) => scalars(before, after),
            (Node::Empty(before), Node::Empty(after)) => before.is_empty() == after.is_empty(),
            (Node::List(before), Node::List(after)) => {
                pairs.extend(before.items.iter().zip(&after.items));
                before.items.len() == after.items.len() && before.flow == after.flow
            }
            (Node::Map(before), Node::Map(after)) => {
                let entries = || before.entries.iter().zip(&after.entries);
                pairs.extend(entries().map(|(before, after)| (&before.value, &after.value)));
                before.entries.len() == after.entries.len()
                    && before.flow == after.flow
                    && entries().all(|(before, after)| scalars(&before.key, &after.key))
            }
            _ => false,
        };
        if !same {
            return false;
        }
    }
    met == new.len()
}

/// Whether all names differ. Most maps are small, and then looking is the quickest way to know.
fn are_distinct(entries: &[Entry]) -> bool {
    const FEW: usize = 16;
    if entries.len() > FEW {
        let mut seen = HashSet::with_capacity(entries.len());
        return entries.iter().all(|entry| seen.insert(&*entry.key.value));
    }
    let stood_before = |(at, entry): (usize, &Entry)| {
        entries[..at].iter().any(|before| before.key.value == entry.key.value)
    };
    !entries.iter().enumerate().any(stood_before)
}

/// Takes out the entries whose name stood before, and names them.
pub(super) fn take_doubles(
    entries: &mut Vec<Entry>,
    mut line_of: impl FnMut(usize) -> usize,
    faults: &mut Faults,
) {
    if are_distinct(entries) {
        return;
    }
    let mut first: HashMap<&str, usize> = HashMap::with_capacity(entries.len());
    let mut doubles = Vec::new();
    for (i, Entry { key, value }) in entries.iter().enumerate() {
        let start = *first.entry(&key.value).or_insert(key.span.start);
        if start == key.span.start {
            continue;
        }
        doubles.push(i);
        let message =
            format!("{} already stands in line {}", quote::shown(&key.value), line_of(start));
        let help = match value {
            Node::Map(_) | Node::List(_) => {
                "put what stands below both below one of them, or give one another name"
            }
            _ => "give one of the two another name, or delete it",
        };
        let help = help.into();
        faults.push(Problem { slug: Slug::DuplicateName, span: key.span.clone(), message, help });
    }
    let mut doubles = doubles.into_iter().peekable();
    let mut i = 0;
    entries.retain(|_| {
        i += 1;
        doubles.next_if_eq(&(i - 1)).is_none()
    });
}
