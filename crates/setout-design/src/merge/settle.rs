//! What three tables come to, decided on what they say alone.

use std::collections::{BTreeSet, HashMap, HashSet};

use super::meaning::{Meaning, is_container};

/// A side of a merge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Ours,
    Theirs,
}

/// What was found where, or that it is not there.
pub(super) type Three<'a> = [Option<&'a Meaning>; 3];

/// What base, ours and theirs come to at a path, and which of the places below are in conflict. At
/// those, and at the places in `marked`, the result is what `pick` has.
pub(super) fn settle(
    path: &mut Vec<String>,
    [base, ours, theirs]: Three<'_>,
    pick: Side,
    marked: &BTreeSet<Vec<String>>,
    conflicts: &mut Vec<Vec<String>>,
) -> Option<Meaning> {
    let picked = || if pick == Side::Ours { ours } else { theirs }.cloned();
    if marked.contains(path.as_slice()) {
        return picked();
    }
    // Below a mark nothing is the same on both sides any more.
    let has_marks = marked.range(path.clone()..).next().is_some_and(|next| next.starts_with(path));
    if !has_marks {
        match () {
            () if ours == theirs || theirs == base => return ours.cloned(),
            () if ours == base => return theirs.cloned(),
            () => {}
        }
    }
    if let (Some(o @ Meaning::Map(_)), Some(t @ Meaning::Map(_))) = (ours, theirs)
        && (matches!(base, Some(Meaning::Map(_))) || base.is_none() && is_container(path))
    {
        let keys = in_order(&keys(o), &keys(t));
        let mut entries = Vec::with_capacity(keys.len());
        for key in keys {
            let at = |side: Option<&'_ Meaning>| -> Option<Meaning> { side?.get(&key).cloned() };
            let three = [at(base), at(ours), at(theirs)];
            path.push(key.clone());
            let found = settle(path, three.each_ref().map(Option::as_ref), pick, marked, conflicts);
            path.pop();
            entries.extend(found.map(|found| (key, found)));
        }
        return Some(Meaning::Map(entries.into_iter().collect()));
    }
    conflicts.push(path.clone());
    picked()
}

fn keys(of: &Meaning) -> Vec<&str> {
    of.entries().iter().map(|(key, _)| key.as_str()).collect()
}

/// The order of what both sides have: that of ours, and what only theirs has behind what it stood
/// behind there.
pub(super) fn in_order(ours: &[&str], theirs: &[&str]) -> Vec<String> {
    let own: HashSet<&str> = ours.iter().copied().collect();
    let mut behind: HashMap<Option<&str>, Vec<&str>> = HashMap::new();
    let mut before = None;
    for key in theirs {
        match own.contains(key) {
            true => before = Some(*key),
            false => behind.entry(before).or_default().push(key),
        }
    }
    let first = behind.get(&None).into_iter().flatten();
    let others = ours
        .iter()
        .flat_map(|key| std::iter::once(key).chain(behind.get(&Some(*key)).into_iter().flatten()));
    first.chain(others).map(|key| (*key).to_owned()).collect()
}
