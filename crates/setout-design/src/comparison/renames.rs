//! Things that are the same under another name.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};

use crate::Design;

use super::edits::{Edited, What};
use super::same::Same;
use super::things::{Sort, Thing, Things, things};

/// Names before, and what they are called after.
#[derive(Clone, Debug, Default)]
pub(crate) struct Renames {
    names: HashMap<String, String>,
    sorts: HashMap<String, Sort>,
    /// The schedule whose column was renamed, with the column's names: cells bear it last.
    column: Option<[String; 3]>,
}

/// How alike two names must be for one to be a rename of the other, from 0 to 1.
const SIMILAR: f64 = 0.6;

impl Renames {
    /// The name after of a name before. A name inside something that was renamed moves with it.
    pub(crate) fn apply(&self, name: &str) -> String {
        if let Some([schedule, from, to]) = &self.column
            && let Some((row, last)) = name.rsplit_once('.')
            && last == from
            && row.rsplit_once('.').is_some_and(|(of, _)| of == schedule)
        {
            return format!("{row}.{to}");
        }
        let mut end = name.len();
        loop {
            if let Some(renamed) = self.names.get(&name[..end]) {
                return format!("{renamed}{}", &name[end..]);
            }
            match name[..end].rfind('.') {
                Some(dot) => end = dot,
                None => return name.to_owned(),
            }
        }
    }

    /// The same, without a new text where nothing was renamed.
    pub(crate) fn applied<'n>(&self, name: &'n str) -> Cow<'n, str> {
        if self.is_empty() { Cow::Borrowed(name) } else { Cow::Owned(self.apply(name)) }
    }

    /// The one rename that was made, from one full name to another.
    pub(crate) fn known(from: &str, to: &str, sort: Sort) -> Self {
        let last = |name: &str| last(name).to_owned();
        let schedule = from.rsplit_once('.').filter(|_| sort == Sort::Column);
        Self {
            names: HashMap::from([(from.to_owned(), to.to_owned())]),
            sorts: HashMap::from([(from.to_owned(), sort)]),
            column: schedule.map(|(of, _)| [of.to_owned(), last(from), last(to)]),
        }
    }

    /// Finds the renames between two designs: tables first, then what is in them.
    pub(crate) fn between(before: &Design, after: &Design) -> Self {
        Self::found(before, after).0
    }

    /// The same, with the things that they were found from.
    pub(crate) fn found(before: &Design, after: &Design) -> (Self, Things) {
        let mut renames = Self::default();
        let same = Same::in_both(before, after);
        let new = things(after, &|name| name.to_owned(), &same);
        let mut old = things(before, &|name| name.to_owned(), &same);
        // By place in `old`, taken at the first rename: most comparisons find none.
        let mut originals: Vec<String> = Vec::new();
        let mut budget = MOST_PAIRS;
        // What was found moves the names of all that refers to it, and so may let more be found.
        for _ in 0..MOST_ROUNDS {
            let known = renames.names.len();
            for sort in [Sort::Table, Sort::Schedule, Sort::Part, Sort::Dimension, Sort::Check] {
                let found = candidates(&old, &new, sort, &mut budget);
                if found.is_empty() {
                    continue;
                }
                if originals.is_empty() {
                    originals = old.iter().map(|thing| thing.name.clone()).collect();
                }
                for (index, name) in found {
                    let original = originals[index].clone();
                    renames.names.insert(original.clone(), name);
                    renames.sorts.insert(original, sort);
                }
                old = things(before, &|name| renames.apply(name), &same);
            }
            if renames.names.len() == known {
                break;
            }
        }
        (renames, Things { old, new })
    }

    /// Whether nothing was renamed.
    pub(crate) fn is_empty(&self) -> bool {
        self.names.is_empty()
    }

    /// Old and new full names, a table before what is in it.
    pub(crate) fn pairs(&self) -> Vec<(String, String)> {
        let mut pairs: Vec<_> = self.names.iter().map(|(a, b)| (a.clone(), b.clone())).collect();
        pairs.sort_by_key(|(old, _)| (self.sorts[old] != Sort::Table, old.clone()));
        pairs
    }

    /// The renames as edits.
    pub(crate) fn edits(&self, new: &[Thing]) -> Vec<Edited> {
        let mut edits = Vec::new();
        for (before, after) in &self.names {
            let sort = self.sorts[before];
            let Some(thing) = new.iter().find(|thing| thing.name == *after && thing.sort == sort)
            else {
                continue;
            };
            edits.push(Edited {
                name: after.clone(),
                what: What::Renamed,
                before: Some(before.clone()),
                after: Some(after.clone()),
                place: thing.place.clone(),
                overridden: false,
                sort,
            });
        }
        edits.sort_by(|a, b| (&a.place, &a.name).cmp(&(&b.place, &b.name)));
        edits
    }
}

/// Pairs of a thing that is gone (by its place in `old`) and one that is new, where each is the
/// only match of the other. What is looked at is taken from the budget; beyond it nothing is found.
fn candidates(
    old: &[Thing],
    new: &[Thing],
    sort: Sort,
    budget: &mut usize,
) -> Vec<(usize, String)> {
    let gone = only_in(old, new, sort);
    let added = only_in(new, old, sort);
    if gone.is_empty() || added.is_empty() {
        return Vec::new();
    }
    let inside = (Contents::of(old, &gone), Contents::of(new, &added));
    let matches = |a: usize, b: usize| {
        is_rename(
            &old[a],
            &new[b],
            inside.0.of_thing(&old[a].name),
            inside.1.of_thing(&new[b].name),
        )
    };
    let groups = alike(old, &gone, new, &added, sort);
    let pairs_in = |matches: &dyn Fn(usize, usize) -> bool, budget: &mut usize| {
        let mut found = Vec::new();
        for (gone, added) in &groups {
            let Some(left) = budget.checked_sub(gone.len().saturating_mul(added.len())) else {
                continue;
            };
            *budget = left;
            found.extend(pairs(gone, added, matches));
        }
        found.sort_unstable();
        found
    };
    // What only went to another table is the better candidate; the others get their turn then.
    let same_last = |a: usize, b: usize| last(&old[a].name) == last(&new[b].name);
    let mut found = pairs_in(&|a, b| same_last(a, b) && matches(a, b), budget);
    if found.is_empty() {
        found = pairs_in(&matches, budget);
    }
    found.into_iter().map(|(a, b)| (a, new[b].name.clone())).collect()
}

/// The places of the things of one list whose names the other has not.
fn only_in(things: &[Thing], others: &[Thing], sort: Sort) -> Vec<usize> {
    let of_sort = |thing: &&Thing| thing.sort == sort;
    let known: HashSet<&str> = others.iter().filter(of_sort).map(|other| &*other.name).collect();
    let places = things.iter().enumerate().filter(|(_, thing)| of_sort(thing));
    places.filter(|(_, thing)| !known.contains(&*thing.name)).map(|(at, _)| at).collect()
}

/// The places of things that are gone, and of new ones.
type Group = (Vec<usize>, Vec<usize>);

/// Things that are gone and new, in groups outside which nothing can be a rename: those of one
/// definition. Tables and schedules have none, and there are few of them.
fn alike(old: &[Thing], gone: &[usize], new: &[Thing], added: &[usize], sort: Sort) -> Vec<Group> {
    if matches!(sort, Sort::Table | Sort::Schedule) {
        return vec![(gone.to_vec(), added.to_vec())];
    }
    let mut groups: HashMap<Vec<(What, &str)>, Group> = HashMap::new();
    for at in gone {
        groups.entry(old[*at].definition()).or_default().0.push(*at);
    }
    for at in added {
        if let Some(group) = groups.get_mut(&new[*at].definition()) {
            group.1.push(*at);
        }
    }
    let mut groups: Vec<Group> = groups.into_values().collect();
    // The budget is spent in the order of the tables.
    groups.sort_unstable();
    groups
}

/// Pairs of which each side matches the other alone.
fn pairs(
    gone: &[usize],
    added: &[usize],
    matches: &dyn Fn(usize, usize) -> bool,
) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for a in gone {
        let mut fitting = added.iter().filter(|b| matches(*a, **b));
        if let (Some(b), None) = (fitting.next(), fitting.next()) {
            let only = gone.iter().filter(|other| matches(**other, *b)).count() == 1;
            if only {
                pairs.push((*a, *b));
            }
        }
    }
    pairs
}

/// So often is looked for what the renames found so far let be found. A move of a chain of
/// dimensions that read each other needs a round for each of them.
const MOST_ROUNDS: usize = 32;

/// The most pairs of gone and new things that are compared. Only those of one definition are, so
/// that it takes two thousand new dimensions that are all `2 mm` to come here.
const MOST_PAIRS: usize = 4_000_000;

/// What stands inside tables, schedules and parts: last names and keys.
struct Contents(HashMap<String, HashSet<(String, String)>>);

impl Contents {
    fn of(things: &[Thing], wanted: &[usize]) -> Self {
        let mut contents: HashMap<String, HashSet<(String, String)>> =
            wanted.iter().map(|index| (things[*index].name.clone(), HashSet::new())).collect();
        for thing in things {
            let mut end = thing.name.len();
            while let Some(dot) = thing.name[..end].rfind('.') {
                if let Some(inside) = contents.get_mut(&thing.name[..dot]) {
                    let key = thing.fields.first().map_or("", |field| field.key.as_str());
                    inside.insert((thing.name[dot + 1..].to_owned(), key.to_owned()));
                }
                end = dot;
            }
        }
        Self(contents)
    }

    fn of_thing(&self, name: &str) -> Option<&HashSet<(String, String)>> {
        self.0.get(name)
    }
}

type Inside<'a> = Option<&'a HashSet<(String, String)>>;

fn is_rename(old: &Thing, new: &Thing, inside_old: Inside<'_>, inside_new: Inside<'_>) -> bool {
    match old.sort {
        // A table or schedule that was renamed holds what it held, though not to the letter.
        Sort::Table | Sort::Schedule => {
            let (Some(a), Some(b)) = (inside_old, inside_new) else { return false };
            let names = |set: &HashSet<(String, String)>| -> HashSet<String> {
                set.iter().map(|(name, _)| name.clone()).collect()
            };
            let (a, b) = (names(a), names(b));
            let shared = a.intersection(&b).count();
            !a.is_empty() && 2 * shared > a.len().max(b.len())
        }
        // Their definitions are the same: see `alike`.
        _ => {
            similar(&old.name, &new.name)
                && same_inside(inside_old, inside_new, &old.name, &new.name)
        }
    }
}

/// Whether two things hold the same, where they read themselves as well.
fn same_inside(old: Inside<'_>, new: Inside<'_>, from: &str, to: &str) -> bool {
    match (old, new) {
        (Some(old), Some(new)) => {
            let renamed = |(name, key): &(String, String)| (name.clone(), with_name(key, from, to));
            old.len() == new.len() && old.iter().all(|one| new.contains(&renamed(one)))
        }
        (old, new) => old == new,
    }
}

/// The key of a formula with another name for something; what stands in it behind that name stays.
fn with_name(key: &str, from: &str, to: &str) -> String {
    let in_name = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let mut result = String::with_capacity(key.len());
    let mut done = 0;
    for (at, _) in key.match_indices(from) {
        let begins = !key[..at].ends_with(|c| in_name(c) || c == '.');
        let ends = !key[at + from.len()..].starts_with(in_name);
        if begins && ends && at >= done {
            result.push_str(&key[done..at]);
            result.push_str(to);
            done = at + from.len();
        }
    }
    result.push_str(&key[done..]);
    result
}

impl Thing {
    /// The fields, but for remarks, which do not define a thing.
    fn definition(&self) -> Vec<(What, &str)> {
        let fields = self.fields.iter().filter(|field| field.what != What::Note);
        fields.map(|field| (field.what, field.key.as_str())).collect()
    }
}

/// Whether two names are alike: their last words are, or one has all words of the other, or one
/// was only moved to another table.
pub(crate) fn similar(a: &str, b: &str) -> bool {
    let (a, b) = (last(a), last(b));
    let words = |of: &str| of.split('_').map(str::to_owned).collect::<HashSet<_>>();
    let (x, y) = (words(a), words(b));
    x.is_subset(&y) || y.is_subset(&x) || strsim::jaro_winkler(a, b) >= SIMILAR
}

/// How alike two full names are, from 0 to 1: what they are called beside their tables.
///
/// ```
/// use setout_design::likeness;
/// assert_eq!(likeness("jaw.width", "lid.width"), 1.0);
/// assert!(likeness("jaw.room", "jaw.headroom") > likeness("jaw.room", "jaw.play"));
/// ```
pub fn likeness(a: &str, b: &str) -> f64 {
    let own = |name: &str| name.split_once('.').map_or(name, |(_, own)| own).to_owned();
    strsim::jaro_winkler(&own(a), &own(b))
}

/// A name without its table.
fn last(name: &str) -> &str {
    name.rsplit('.').next().unwrap_or(name)
}

#[cfg(test)]
mod tests {
    use super::with_name;

    #[test]
    fn a_name_in_a_key_is_a_whole_one() {
        let key = "((jaw.lid.mass * 2) + a.jaw.lid.mass + jaw.lid_2.mass + jaw.lid)";
        assert_eq!(
            with_name(key, "jaw.lid", "top.cap"),
            "((top.cap.mass * 2) + a.jaw.lid.mass + jaw.lid_2.mass + top.cap)"
        );
    }
}
