//! Things that are the same under another name.

use std::collections::{HashMap, HashSet};

use crate::Design;

use super::edits::{Edited, What};
use super::things::{Sort, Thing, things};

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

    /// The one rename that was made, from one full name to another.
    pub(crate) fn known(from: &str, to: &str, sort: Sort) -> Self {
        let last = |name: &str| name.rsplit('.').next().unwrap_or(name).to_owned();
        let schedule = from.rsplit_once('.').filter(|_| sort == Sort::Column);
        Self {
            names: HashMap::from([(from.to_owned(), to.to_owned())]),
            sorts: HashMap::from([(from.to_owned(), sort)]),
            column: schedule.map(|(of, _)| [of.to_owned(), last(from), last(to)]),
        }
    }

    /// Finds the renames between two designs: tables first, then what is in them.
    pub(crate) fn between(before: &Design, after: &Design) -> Self {
        let mut renames = Self::default();
        let new = things(after, &|name| name.to_owned());
        let mut old = things(before, &|name| name.to_owned());
        for sort in [Sort::Table, Sort::Schedule, Sort::Part, Sort::Dimension, Sort::Check] {
            let found = candidates(&old, &new, sort);
            if found.is_empty() {
                continue;
            }
            let originals = things(before, &|name| name.to_owned());
            for (index, name) in found {
                let original = originals[index].name.clone();
                renames.names.insert(original.clone(), name);
                renames.sorts.insert(original, sort);
            }
            // What was found moves the names of all that refers to it.
            old = things(before, &|name| renames.apply(name));
        }
        renames
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
/// only match of the other.
fn candidates(old: &[Thing], new: &[Thing], sort: Sort) -> Vec<(usize, String)> {
    let names = |things: &[Thing]| -> HashSet<String> {
        things.iter().filter(|thing| thing.sort == sort).map(|thing| thing.name.clone()).collect()
    };
    let (old_names, new_names) = (names(old), names(new));
    let gone: Vec<usize> = (0..old.len())
        .filter(|index| old[*index].sort == sort && !new_names.contains(&old[*index].name))
        .collect();
    let added: Vec<usize> = (0..new.len())
        .filter(|index| new[*index].sort == sort && !old_names.contains(&new[*index].name))
        .collect();
    // A large rewrite is not searched for renames: the work grows with the product.
    if gone.is_empty() || gone.len().saturating_mul(added.len()) > MOST_PAIRS {
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
    let mut pairs = Vec::new();
    for a in &gone {
        let mut fitting = added.iter().filter(|b| matches(*a, **b));
        if let (Some(b), None) = (fitting.next(), fitting.next()) {
            let only = gone.iter().filter(|other| matches(**other, *b)).count() == 1;
            if only {
                pairs.push((*a, new[*b].name.clone()));
            }
        }
    }
    pairs
}

/// The most pairs of gone and new things that are compared.
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
        _ => {
            old.fields == new.fields_like(old)
                && inside_old == inside_new
                && similar(&old.name, &new.name)
        }
    }
}

impl Thing {
    /// The fields, but for remarks, which do not define a thing.
    fn fields_like(&self, other: &Self) -> Vec<super::things::Field> {
        let keys = |thing: &Self| -> Vec<(What, String)> {
            let fields = thing.fields.iter().filter(|field| field.what != What::Note);
            fields.map(|field| (field.what, field.key.clone())).collect()
        };
        if keys(self) == keys(other) { other.fields.clone() } else { Vec::new() }
    }
}

/// Whether two names are alike: their last words are, or one was only moved to another table.
fn similar(a: &str, b: &str) -> bool {
    let last = |name: &str| name.rsplit('.').next().unwrap_or(name).to_owned();
    let (a, b) = (last(a), last(b));
    a == b || strsim::jaro_winkler(&a, &b) >= SIMILAR
}
