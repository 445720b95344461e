//! All that one name depends on, found from texts alone.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::Excerpts;
use super::listed::State;
use super::sheet::{SECTIONS, Sheet, Spot};
use crate::{Fault, Place, Slug};

/// The entries that some names need, table by table.
#[derive(Debug, Default)]
pub(super) struct Closure {
    pub(super) tables: BTreeMap<String, Needed>,
    /// What makes it doubtful that this is all.
    pub(super) faults: Vec<Fault>,
    /// Tables that were looked for, with none of their entries needed.
    looked_at: BTreeSet<String>,
    /// Whether the first of the names stands for nothing.
    pub(super) absent: bool,
    /// Whether it is a check: its verdict depends on what moves, a value does not.
    pub(super) of_check: bool,
}

/// The entries that are needed of one table.
#[derive(Debug)]
pub(super) struct Needed {
    pub(super) sheet: Arc<Sheet>,
    pub(super) entries: BTreeMap<String, Spot>,
}

/// The names that a closure is found for: the first is what everything is about.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Seeds {
    pub(super) name: String,
    /// Entries that are wanted as well, by table and name.
    pub(super) more: BTreeSet<(String, String)>,
}

impl Seeds {
    pub(super) fn of(name: &str) -> Self {
        Self { name: name.to_owned(), more: BTreeSet::new() }
    }

    /// The table and the entry that hold the name; none for what is of the whole design.
    fn entry(&self) -> Option<(&str, &str)> {
        let (table, rest) = self.name.split_once('.')?;
        (table != "design").then(|| (table, rest.split('.').next().unwrap_or(rest)))
    }

    pub(super) fn is_about(&self, table: &str, entry: &str) -> bool {
        self.entry() == Some((table, entry))
    }
}

impl Closure {
    /// The names of all entries, in full.
    pub(super) fn names(&self) -> BTreeSet<(String, String)> {
        let entries = |(table, needed): (&String, &Needed)| {
            let names: Vec<_> =
                needed.entries.keys().map(|entry| (table.clone(), entry.clone())).collect();
            names
        };
        self.tables.iter().flat_map(entries).collect()
    }

    /// The names of all tables on whose text it depends.
    pub(super) fn touched(&self) -> impl Iterator<Item = &str> {
        self.tables.keys().chain(&self.looked_at).map(String::as_str)
    }
}

/// Finds a closure.
pub(super) struct Search<'s> {
    pub(super) known: &'s mut Excerpts,
    pub(super) state: &'s State<'s>,
    pub(super) seeds: &'s Seeds,
    sheets: BTreeMap<String, Option<Arc<Sheet>>>,
    waiting: Vec<(String, String)>,
    found: Closure,
}

impl<'s> Search<'s> {
    pub(super) fn new(known: &'s mut Excerpts, state: &'s State<'s>, seeds: &'s Seeds) -> Self {
        let (sheets, waiting) = (BTreeMap::new(), Vec::new());
        Self { known, state, seeds, sheets, waiting, found: Closure::default() }
    }

    pub(super) fn run(mut self) -> Closure {
        let seeds = self.seeds;
        match seeds.entry() {
            Some((table, entry)) => self.begin(table, entry),
            None => self.whole(&seeds.name),
        }
        for (table, entry) in &seeds.more {
            self.need(table, entry, |_| true);
        }
        while let Some((table, entry)) = self.waiting.pop() {
            self.follow(&table, &entry);
        }
        self.judge();
        self.found
    }

    /// What everything is about: the only name that may be missing.
    fn begin(&mut self, table: &str, entry: &str) {
        if self.need(table, entry, |_| true) {
            let spot = self.found.tables[table].entries[entry];
            self.found.of_check = SECTIONS[spot.section] == "checks";
            return;
        }
        self.found.absent = true;
        let doubtful = |sheet: &Arc<Sheet>| sheet.doubtful;
        match self.sheet(table) {
            Some(sheet) if doubtful(&sheet) => self.unreadable(&sheet),
            Some(_) => {}
            None if self.state.listing.lost.contains(table) => {
                self.found.faults.extend(self.state.listing.faults.iter().cloned());
            }
            None => {}
        }
    }

    fn unreadable(&mut self, sheet: &Sheet) {
        self.found.faults.extend(sheet.problems.iter().map(|problem| fault(sheet, problem)));
        if sheet.problems.is_empty() {
            let place = Place { file: sheet.file.path.clone(), line: 1, column: 1 };
            let message = "this table holds something that is no section of a table".to_owned();
            let help = format!("a table has {}", crate::document::keys::TABLE.join(", "));
            self.found.faults.push(Fault { place, slug: Slug::UnknownKey, message, help });
        }
    }

    fn sheet(&mut self, table: &str) -> Option<Arc<Sheet>> {
        if let Some(sheet) = self.sheets.get(table) {
            return sheet.clone();
        }
        let path = self.state.listing.tables.get(table).cloned();
        let sheet = path.and_then(|path| match self.known.sheet(self.state, &path) {
            Ok(sheet) => Some(sheet),
            Err(fault) => {
                self.found.faults.push(fault);
                None
            }
        });
        self.sheets.insert(table.to_owned(), sheet.clone());
        self.found.looked_at.insert(table.to_owned());
        sheet
    }

    /// Takes a table's own text apart. Its entries have the places among each other that they had.
    fn freshen(&mut self, table: &str, stale: &Sheet) -> Arc<Sheet> {
        let sheet = self.known.fresh(self.state, &stale.file.path, stale);
        if let Some(needed) = self.found.tables.get_mut(table) {
            needed.sheet = Arc::clone(&sheet);
        }
        self.sheets.insert(table.to_owned(), Some(Arc::clone(&sheet)));
        sheet
    }

    /// Notes an entry, if there is one of the wanted sort, and whether there is.
    fn need(&mut self, table: &str, entry: &str, wanted: impl Fn(&str) -> bool) -> bool {
        let Some(mut sheet) = self.sheet(table) else { return false };
        let Some(spot) = sheet.spot(entry).filter(|spot| wanted(SECTIONS[spot.section])) else {
            return false;
        };
        if sheet.is_stale(entry) {
            sheet = self.freshen(table, &sheet);
        }
        let tables = &mut self.found.tables;
        let needed = tables
            .entry(table.to_owned())
            .or_insert_with(|| Needed { sheet, entries: BTreeMap::new() });
        if needed.entries.insert(entry.to_owned(), spot).is_none() {
            self.waiting.push((table.to_owned(), entry.to_owned()));
        }
        true
    }

    /// Notes what an entry reads.
    fn follow(&mut self, table: &str, entry: &str) {
        let needed = &self.found.tables[table];
        let (sheet, spot) = (Arc::clone(&needed.sheet), needed.entries[entry]);
        let words = self.known.words.of(&sheet, spot, &self.state.common.units);
        words.value.iter().for_each(|word| self.word(table, word));
        if self.seeds.is_about(table, entry) {
            words.limits.iter().for_each(|word| self.word(table, word));
        }
        if self.found.of_check || self.seeds.is_about(table, entry) {
            words.travel.iter().for_each(|word| self.word(table, word));
        }
    }

    /// Looks a name up as formulas of a table do, and wherever it may be looked for.
    fn word(&mut self, table: &str, word: &str) {
        let (first, rest) = word.split_once('.').map_or((word, None), |(a, b)| (a, Some(b)));
        let has_inside = |section: &str| matches!(section, "schedules" | "parts");
        let bare = rest.is_none();
        self.need(table, first, |section| bare || has_inside(section));
        let Some(rest) = rest else { return };
        if first == "design" {
            self.whole(word);
        }
        let inner = rest.split('.').next().unwrap_or(rest);
        self.need(first, inner, |_| true);
        if self.state.listing.lost.contains(first) {
            self.found.faults.extend(self.state.listing.faults.iter().cloned());
        }
    }

    /// What all parts cost or weigh needs all of them.
    fn whole(&mut self, name: &str) {
        if !matches!(name, "design.cost" | "design.mass") {
            self.found.absent |= name == self.seeds.name;
            return;
        }
        self.found.faults.extend(self.state.listing.faults.iter().cloned());
        let tables: Vec<String> = self.state.listing.tables.keys().cloned().collect();
        for table in tables {
            let Some(sheet) = self.sheet(&table) else { continue };
            if sheet.doubtful {
                self.unreadable(&sheet);
            }
            let parts: Vec<String> = sheet
                .names()
                .filter(|(_, section)| *section == "parts")
                .map(|(name, _)| name.to_owned())
                .collect();
            for part in parts {
                self.need(&table, &part, |_| true);
            }
        }
    }

    /// Notes what is wrong with the texts of what was found.
    fn judge(&mut self) {
        let mut faults = Vec::new();
        for needed in self.found.tables.values() {
            let spots: Vec<Spot> = needed.entries.values().copied().collect();
            let problems = needed.sheet.problems_of(&spots);
            faults.extend(problems.map(|problem| fault(&needed.sheet, problem)));
            let twice = needed.entries.iter().filter(|(_, spot)| spot.twice);
            faults.extend(twice.map(|(name, spot)| named_twice(&needed.sheet, name, *spot)));
        }
        self.found.faults.extend(faults);
        self.found.faults.extend(self.state.common.faults.iter().cloned());
        self.found.faults.sort();
        self.found.faults.dedup();
    }
}

fn fault(sheet: &Sheet, problem: &crate::yaml::Problem) -> Fault {
    let slug = Slug::of_word(problem.slug.as_str()).unwrap_or(Slug::Yaml);
    let (message, help) = (problem.message.clone(), problem.help.clone());
    Fault { place: sheet.file.place(problem.span.start), slug, message, help }.on_one_line()
}

fn named_twice(sheet: &Sheet, name: &str, spot: Spot) -> Fault {
    let at = sheet.entry(spot).map_or(0, |entry| entry.key.span.start);
    let message = format!("`{name}` is the name of two things in this table");
    let help = "name one of them otherwise".to_owned();
    Fault { place: sheet.file.place(at), slug: Slug::DuplicateName, message, help }
}
