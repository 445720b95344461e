//! One table's text with its entries found, but none of them read.

use std::collections::{BTreeSet, HashMap};
use std::sync::{Arc, OnceLock};

use super::likeness::only_entry;
use crate::document::{File, keys};
use crate::yaml::{self, Entry, Map, Node, Problem, Slug};

/// The sections of a table whose entries have names.
pub(super) const SECTIONS: [&str; 4] = ["dimensions", "schedules", "checks", "parts"];

/// A table's text, taken apart, or as good as that.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    /// A text that was taken apart: all entries but the stale ones stand in it as in this one.
    taken: Arc<Taken>,
    text: Arc<str>,
    stale: BTreeSet<String>,
}

impl std::ops::Deref for Sheet {
    type Target = Taken;

    fn deref(&self) -> &Taken {
        &self.taken
    }
}

impl Sheet {
    pub(super) fn read(path: &str, text: &str) -> Self {
        let taken = Arc::new(Taken::read(path, text));
        Self { text: Arc::clone(&taken.file.text), taken, stale: BTreeSet::new() }
    }

    /// The sheet of a text that differs from this one's in one entry, if it surely does so alone.
    pub(super) fn with_text(&self, text: &str) -> Option<Self> {
        let (line, name) = only_entry(&self.text, text)?;
        if self.doubtful || self.taken.on_its_line(line) != Some(name) {
            return None;
        }
        let mut stale = self.stale.clone();
        stale.insert(name.to_owned());
        Some(Self { taken: Arc::clone(&self.taken), text: text.into(), stale })
    }

    /// Whether the entry of this name has to be read from the text itself.
    pub(super) fn is_stale(&self, name: &str) -> bool {
        self.stale.contains(name)
    }

    /// The text taken apart, with nothing stale.
    pub(super) fn fresh(&self) -> Self {
        Self::read(&self.file.path, &self.text)
    }
}

/// A text taken apart.
#[derive(Debug)]
pub(super) struct Taken {
    /// The names of entries of block sections that take up one line, by that line.
    lines: OnceLock<HashMap<usize, String>>,
    pub(super) file: File,
    pub(super) problems: Vec<Problem>,
    /// Whether a name that is not here may only be unreadable.
    pub(super) doubtful: bool,
    map: Map,
    names: HashMap<String, Spot>,
}

/// Where an entry stands: the section of [`SECTIONS`], its place in the table and in the section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Spot {
    pub(super) section: usize,
    at: [usize; 2],
    /// Whether another section has the name too.
    pub(super) twice: bool,
}

impl Taken {
    fn read(path: &str, text: &str) -> Self {
        let (node, problems) = yaml::read(text);
        let (map, is_map) = match node {
            Some(Node::Map(map)) => (map, true),
            Some(Node::Empty(span)) if span.is_empty() => (empty(), true),
            None => (empty(), true),
            _ => (empty(), false),
        };
        let mut sheet = Self {
            lines: OnceLock::new(),
            file: File::new(path, text),
            doubtful: !is_map || !problems.is_empty(),
            problems,
            map,
            names: HashMap::new(),
        };
        sheet.find_names();
        sheet
    }

    fn find_names(&mut self) {
        for (at, section) in self.map.entries.iter().enumerate() {
            let key = section.key.value.as_str();
            self.doubtful |= !keys::TABLE.contains(&key);
            let Some(number) = SECTIONS.iter().position(|name| *name == key) else { continue };
            match &section.value {
                Node::Map(map) => {
                    for (index, entry) in map.entries.iter().enumerate() {
                        let spot = Spot { section: number, at: [at, index], twice: false };
                        let known = self.names.entry(entry.key.value.to_string()).or_insert(spot);
                        known.twice |= *known != spot;
                    }
                }
                Node::Empty(span) if span.is_empty() => {}
                _ => self.doubtful = true,
            }
        }
    }

    /// The name of the entry of a block section that takes up this line, and no other.
    fn on_its_line(&self, line: usize) -> Option<&str> {
        let lines = self.lines.get_or_init(|| {
            let named = self.names.iter().filter_map(|(name, spot)| {
                let section = self.map.entries[spot.at[0]].value.as_map();
                let entry = self.entry(*spot).filter(|_| section.is_some_and(|map| !map.flow))?;
                let span = span_of(entry);
                let (from, to) = (self.file.place(span.start), self.file.place(span.end));
                (from.line == to.line && from.column == 3 && !spot.twice)
                    .then(|| (from.line, name.clone()))
            });
            named.collect()
        });
        lines.get(&line).map(String::as_str)
    }

    /// Where the entry of a name stands.
    pub(super) fn spot(&self, name: &str) -> Option<Spot> {
        self.names.get(name).copied()
    }

    /// All names of its entries.
    pub(super) fn names(&self) -> impl Iterator<Item = (&str, &'static str)> {
        self.names.iter().map(|(name, spot)| (name.as_str(), SECTIONS[spot.section]))
    }

    /// The names in this table of all that has a value or a verdict.
    pub(super) fn full_names(&self) -> impl Iterator<Item = String> {
        self.names.iter().flat_map(|(name, spot)| match SECTIONS[spot.section] {
            "parts" => ["cost", "mass", "quantity"].map(|field| format!("{name}.{field}")).into(),
            "schedules" => self.cells(*spot).map(|cell| format!("{name}.{cell}")).collect(),
            _ => vec![name.clone()],
        })
    }

    /// `row.column` for all of a schedule.
    fn cells(&self, spot: Spot) -> impl Iterator<Item = String> {
        let schedule = self.entry(spot).and_then(|entry| entry.value.as_map());
        let keys = |section: &str| -> Vec<String> {
            let map = schedule.and_then(|map| map.get(section)).and_then(Node::as_map);
            map.map(|map| map.entries.iter().map(|entry| entry.key.value.to_string()).collect())
                .unwrap_or_default()
        };
        let (rows, columns) = (keys("rows"), keys("columns"));
        rows.into_iter().flat_map(move |row| {
            columns.iter().map(|column| format!("{row}.{column}")).collect::<Vec<_>>()
        })
    }

    pub(super) fn entry(&self, spot: Spot) -> Option<&Entry> {
        let [section, index] = spot.at;
        self.map.entries[section].value.as_map()?.entries.get(index)
    }

    /// An entry as it stands in the text.
    pub(super) fn text(&self, spot: Spot) -> &str {
        let span = self.entry(spot).map_or(0..0, span_of);
        self.file.text.get(span).unwrap_or_default()
    }

    /// The table with these entries alone, in the order of the text.
    pub(super) fn with_only(&self, spots: &[Spot]) -> Map {
        let mut spots = spots.to_vec();
        spots.sort_unstable_by_key(|spot| spot.at);
        let mut table = empty();
        for spot in spots {
            let [section, _] = spot.at;
            let whole = &self.map.entries[section];
            let Some(entry) = self.entry(spot) else { continue };
            let flow = whole.value.as_map().is_some_and(|map| map.flow);
            if table.entries.last().is_none_or(|last| last.key != whole.key) {
                let value = Node::Map(Map { span: whole.value.span(), entries: vec![], flow });
                table.entries.push(Entry { key: whole.key.clone(), value });
            }
            if let Some(Node::Map(map)) = table.entries.last_mut().map(|last| &mut last.value) {
                map.entries.push(entry.clone());
            }
        }
        table
    }

    /// The problems of the text that may concern one of these entries. One that stands inside
    /// another entry and leaves the rest of the text readable does not.
    pub(super) fn problems_of<'s>(
        &'s self,
        spots: &'s [Spot],
    ) -> impl Iterator<Item = &'s Problem> {
        let inside = |problem: &Problem, entry: &Entry| {
            let span = span_of(entry);
            span.start < problem.span.start && problem.span.end <= span.end
        };
        self.problems.iter().filter(move |problem| {
            let elsewhere = problem.slug == Slug::DuplicateName
                && self
                    .names
                    .values()
                    .filter(|spot| !spots.contains(spot))
                    .filter_map(|spot| self.entry(*spot))
                    .any(|entry| inside(problem, entry));
            !elsewhere
        })
    }
}

fn span_of(entry: &Entry) -> yaml::Span {
    let key = &entry.key.span;
    key.start..entry.value.span().end.max(key.end)
}

fn empty() -> Map {
    Map { span: 0..0, entries: Vec::new(), flow: false }
}
