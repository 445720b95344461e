//! Things that one side calls otherwise than the base.

use std::collections::{BTreeMap, HashMap};

use super::follow::Unsettled;
use super::meaning::Meaning;
use crate::comparison::similar;
use crate::yaml::Node;

/// The sections whose entries can be renamed.
pub(super) const SECTIONS: [&str; 4] = ["dimensions", "schedules", "checks", "parts"];

/// The new names of things by section and old name, and those that cannot be settled.
#[derive(Debug, Default)]
pub(super) struct Renamed {
    names: BTreeMap<(String, String), String>,
    /// The old names of those, by sections and the names that they have in the merged table.
    unsettled: BTreeMap<(String, String), String>,
}

impl Renamed {
    /// What was renamed between the base and either side: of the same definition, with a similar
    /// name, and one candidate each way. The names in `asked` are not settled in any section.
    pub(super) fn between(trees: [Option<&Node>; 3], asked: &Unsettled) -> Self {
        let [base, ours, theirs] = trees.map(Meaning::of_table);
        let mut renamed = Self::default();
        for section in SECTIONS {
            let of = |side: &Meaning| side.get(section).cloned();
            let (Some(base), Some(ours), Some(theirs)) = (of(&base), of(&ours), of(&theirs)) else {
                continue;
            };
            let (by_ours, by_theirs) = (pairs(&base, &ours), pairs(&base, &theirs));
            renamed.note_twice(section, &by_ours, &by_theirs);
            for (old, new) in &by_ours {
                renamed.note(section, old, new, by_theirs.get(old), &theirs);
            }
            for (old, new) in by_theirs.iter().filter(|(old, _)| !by_ours.contains_key(*old)) {
                renamed.note(section, old, new, None, &ours);
            }
        }
        for section in SECTIONS {
            let of = |side: &Meaning| side.get(section).cloned();
            let sides: Vec<Meaning> = [of(&ours), of(&theirs)].into_iter().flatten().collect();
            renamed.ask(section, asked, &sides);
        }
        renamed
    }

    /// Names that are not settled, whatever is found here.
    fn ask(&mut self, section: &str, asked: &Unsettled, sides: &[Meaning]) {
        for (name, shown) in asked {
            if sides.iter().any(|side| side.get(name).is_some()) {
                let key = (section.to_owned(), self.name(section, name).to_owned());
                self.unsettled.entry(key).or_insert_with(|| shown.clone());
            }
        }
    }

    /// A name that each side gave to another thing.
    fn note_twice(
        &mut self,
        section: &str,
        by_ours: &HashMap<String, String>,
        by_theirs: &HashMap<String, String>,
    ) {
        let olds: HashMap<&String, &String> =
            by_theirs.iter().map(|(old, new)| (new, old)).collect();
        for (old, new) in by_ours {
            if olds.get(new).is_some_and(|other| *other != old) {
                self.unsettled.insert((section.to_owned(), new.clone()), new.clone());
            }
        }
    }

    /// `also` is the other side's new name for the same thing.
    fn note(
        &mut self,
        section: &str,
        old: &str,
        new: &str,
        also: Option<&String>,
        other: &Meaning,
    ) {
        let key = |name: &str| (section.to_owned(), name.to_owned());
        match also {
            Some(also) if also == new => {}
            Some(also) => {
                self.names.insert(key(old), new.to_owned());
                self.names.insert(key(also), new.to_owned());
                self.unsettled.insert(key(new), old.to_owned());
            }
            // A name that the other side took for something else is not the same thing.
            None if other.get(new).is_some() => {}
            None => {
                self.names.insert(key(old), new.to_owned());
                if other.get(old).is_none() {
                    self.unsettled.insert(key(new), old.to_owned());
                }
            }
        }
    }

    /// What an entry of a section is called in the merged table.
    pub(super) fn name<'a>(&'a self, section: &str, key: &'a str) -> &'a str {
        self.names.get(&(section.to_owned(), key.to_owned())).map_or(key, String::as_str)
    }

    /// What something is called in the merged table, whatever its section.
    pub(super) fn now(&self, key: &str) -> String {
        let names = SECTIONS.iter().map(|section| self.name(section, key));
        names.fold(key, |found, name| if name == key { found } else { name }).to_owned()
    }

    /// The old name of a thing that both sides renamed, or one did and the other deleted.
    pub(super) fn unsettled(&self, path: &[String]) -> Option<&str> {
        let [section, name] = path else { return None };
        self.unsettled.get(&(section.clone(), name.clone())).map(String::as_str)
    }

    /// Whether a section has names in it that are not settled.
    pub(super) fn is_open(&self, path: &[String]) -> bool {
        let [section] = path else { return false };
        self.unsettled.keys().any(|(of, _)| of == section)
    }

    /// What a table says, with the names that the merged table has.
    pub(super) fn applied(&self, table: Meaning) -> Meaning {
        if self.names.is_empty() {
            return table;
        }
        let sections = table.entries().iter().map(|(section, of)| {
            let Meaning::Map(_) = of else { return (section.clone(), of.clone()) };
            let entries = of.entries().iter();
            let entries =
                entries.map(|(key, value)| (self.name(section, key).to_owned(), value.clone()));
            (section.clone(), Meaning::Map(entries.collect()))
        });
        Meaning::Map(sections.collect())
    }
}

/// Old names with new ones.
fn pairs(base: &Meaning, side: &Meaning) -> HashMap<String, String> {
    let only = |of: &Meaning, other: &Meaning| -> Vec<(String, Meaning)> {
        let entries = of.entries().iter().filter(|(key, _)| other.get(key).is_none());
        entries.map(|(key, value)| (key.clone(), value.without("note"))).collect()
    };
    let (gone, new) = (only(base, side), only(side, base));
    if gone.len().saturating_mul(new.len()) > MOST_PAIRS {
        return HashMap::new();
    }
    let fits = |a: &(String, Meaning), b: &(String, Meaning)| a.1 == b.1 && similar(&a.0, &b.0);
    let mut found = HashMap::new();
    for old in &gone {
        let mut candidates = new.iter().filter(|new| fits(old, new));
        if let (Some(one), None) = (candidates.next(), candidates.next())
            && gone.iter().filter(|other| fits(other, one)).count() == 1
        {
            found.insert(old.0.clone(), one.0.clone());
        }
    }
    found
}

/// The most pairs of gone and new things that are compared.
const MOST_PAIRS: usize = 250_000;
