//! What was probably meant by a name that no revision has.

use std::collections::{BTreeSet, HashSet};

use setout_design::names_in;
use setout_quantity::nearest;
use setout_store::Walk;

use super::HistoryError;

/// So many different texts are searched for names.
const MOST_TEXTS: usize = 50_000;
/// So many names are offered.
const OFFERED: usize = 3;

/// The refusal of a name that no revision has.
pub(super) fn unknown(walk: &Walk, name: &str) -> HistoryError {
    let known = all(walk);
    let last = |name: &str| name.rsplit('.').next().unwrap_or(name).to_owned();
    let inside = format!("{name}.");
    let is_close = |other: &&String| other.starts_with(&inside) || last(other) == last(name);
    let mut offered: Vec<String> = known.iter().filter(is_close).take(OFFERED).cloned().collect();
    let near = nearest(name, known.iter().map(String::as_str));
    offered.extend(near.filter(|near| !offered.contains(near)));
    if offered.is_empty() {
        let wanted = last(name);
        let locals: BTreeSet<String> = known.iter().map(|name| last(name)).collect();
        let near = nearest(&wanted, locals.iter().map(String::as_str));
        let of = |other: &&String| near.as_ref().is_some_and(|near| last(other) == *near);
        offered.extend(known.iter().filter(of).take(OFFERED).cloned());
    }
    offered.truncate(OFFERED);
    let fetch = walk.fetch().map(str::to_owned);
    HistoryError::Unknown { name: name.to_owned(), nearest: offered, fetch }
}

/// The names that any revision has.
fn all(walk: &Walk) -> BTreeSet<String> {
    let mut seen = HashSet::new();
    let mut found = BTreeSet::new();
    for number in 0..walk.len() {
        if seen.len() > MOST_TEXTS {
            break;
        }
        names_in(walk.point(number), &mut seen, &mut found);
    }
    found
}
