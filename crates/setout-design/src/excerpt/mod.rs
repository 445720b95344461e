//! Of many states of one design, only what one name needs.
//!
//! A walk through history evaluates the same name again and again, while nearly every revision
//! changes something else. So tables are taken apart without being read; the entries that the name
//! depends on are found from their texts; and only where one of those texts is new are these
//! entries, and no others, read and evaluated, by the same code as any design.
//!
//! A fault elsewhere in the design does not matter then. One in what the name depends on, or one
//! that makes it doubtful what that is, gives no value but the fault.

mod closure;
mod likeness;
mod listed;
mod sheet;
mod strange;
mod words;

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use crate::comparison::{Renames, Told, same};
use crate::document::{File, Reader, Table, read_table};
use crate::material::{self, Material};
use crate::{
    Amount, CheckResult, Design, Evaluation, Fault, LimitResult, Slug, Source, SourceError, Verdict,
};
use closure::{Closure, Search, Seeds};
pub(crate) use listed::{CommonPart, Listing};
use listed::{State, stamp_of};
use sheet::Sheet;
pub use strange::Unshared;

/// What tells a text from others without reading it: equal stamps are equal texts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stamp(pub [u8; 32]);

/// Paths with the stamps of their texts, sorted by path.
pub type Stamps = Vec<(Arc<str>, Stamp)>;

/// A source that knows which of its texts are those of another source.
pub trait Stamped: Source {
    /// The paths that [`Source::list`] gives, each with the stamp of its text, sorted by path.
    ///
    /// # Errors
    /// When the folder cannot be listed.
    fn stamps(&self) -> Result<Arc<Stamps>, SourceError>;
}

/// What one state of a design says of one name.
#[derive(Debug)]
pub struct Excerpt {
    standing: Held,
    entries: BTreeSet<(String, String)>,
    evaluation: Option<Evaluation>,
}

/// How a name stands in one state of a design.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub enum Held {
    /// There is no such name.
    Absent,
    /// Its value is known.
    Value(Amount),
    /// It is a check, and this became of it.
    Check(Box<CheckResult>),
    /// It has these faults, or depends on something that has them.
    Faulty(Vec<Fault>),
}

impl Excerpt {
    /// How the name stands.
    pub fn held(&self) -> &Held {
        &self.standing
    }

    /// What became of the limits of the name, if it is a dimension that has some.
    pub fn limits(&self, name: &str) -> Vec<&LimitResult> {
        let limits = self.evaluation.iter().flat_map(Evaluation::limits);
        limits.filter(|limit| limit.name == name).collect()
    }

    /// Whether value, margin and verdict are the same for people.
    pub fn is_same(&self, other: &Self) -> bool {
        match (&self.standing, &other.standing) {
            (Held::Value(a), Held::Value(b)) => {
                same(&Some(a.clone()), &Some(b.clone())) && a.unit_is_like(b)
            }
            (Held::Check(a), Held::Check(b)) => {
                let margin = |check: &CheckResult| {
                    let (number, unit) = (check.margin?, check.unit.clone());
                    Some(Amount::Number { number, unit })
                };
                a.verdict == b.verdict && same(&margin(a), &margin(b))
            }
            (Held::Absent, Held::Absent) => true,
            _ => false,
        }
    }
}

/// Reads excerpts of the states of one design, and remembers what it read.
#[derive(Debug, Default)]
pub struct Excerpts {
    sheets: HashMap<(String, Stamp), Arc<Sheet>>,
    held: usize,
    /// The last text of each table that was read.
    latest: HashMap<String, Arc<Sheet>>,
    commons: HashMap<(String, Option<Stamp>), Arc<CommonPart>>,
    listing: Option<Arc<Listing>>,
    words: words::Known,
    known: HashMap<Key, Arc<Excerpt>>,
    recent: Vec<Recent>,
}

/// The section and the text of entries.
type EntryTexts = Vec<(usize, Box<str>)>;

/// All that decides an excerpt without faults.
#[derive(Debug, PartialEq, Eq, Hash)]
struct Key {
    seeds: Seeds,
    folder: String,
    common: Option<Stamp>,
    entries: Vec<(String, EntryTexts)>,
}

/// An excerpt with the texts that decided it.
#[derive(Debug)]
struct Recent {
    name: String,
    listing: Arc<Listing>,
    common: Option<Stamp>,
    texts: Vec<(String, Stamp)>,
    excerpt: Arc<Excerpt>,
}

/// The bytes of texts that are kept taken apart: the trees have some ten times their size.
const MOST_HELD: usize = 8 << 20;
/// So many results are looked through before anything is searched: one for each line of work.
const MOST_RECENT: usize = 8;
/// So many results are kept.
const MOST_KNOWN: usize = 50_000;
/// So often two closures are made to hold each other's names; each time more names are found.
const MOST_ROUNDS: usize = 64;

impl Excerpts {
    /// One that remembers nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// What one state says of a full name.
    pub fn of(&mut self, source: &dyn Stamped, name: &str) -> Arc<Excerpt> {
        let state = match self.state(source) {
            Ok(state) => state,
            Err(fault) => return Arc::new(Excerpt::faulty(vec![fault])),
        };
        if let Some(known) = self.recent.iter().rev().find(|recent| recent.holds(&state, name)) {
            return Arc::clone(&known.excerpt);
        }
        let seeds = Seeds::of(name);
        let closure = Search::new(self, &state, &seeds).run();
        let excerpt = self.excerpt(&state, &seeds, &closure);
        self.remember(&state, name, &closure, &excerpt);
        excerpt
    }

    /// Why a name, as it is called after, differs between two states in both of which it is known.
    pub fn told(
        &mut self,
        (before, old): (&dyn Stamped, &str),
        (after, new): (&dyn Stamped, &str),
    ) -> Result<Told, Vec<Fault>> {
        let sides = self.state(before).and_then(|a| Ok((a, self.state(after)?)));
        let (was, is) = sides.map_err(|fault| vec![fault])?;
        let (mut from, mut to) = (Seeds::of(old), Seeds::of(new));
        let mut both = self.closures((&was, &from), (&is, &to));
        let renames = match old == new && both.0.names() == both.1.names() {
            true => Renames::default(),
            false => {
                let (before, after) = Design::read_both(before, after);
                Renames::between(&before, &after)
            }
        };
        for _ in 0..MOST_ROUNDS {
            let back = inverse(&renames, &both.0.names());
            to.more = both.0.names().iter().map(|entry| renamed(&renames, entry)).collect();
            from.more = both
                .1
                .names()
                .iter()
                .map(|entry| back.get(entry).unwrap_or(entry).clone())
                .collect();
            let more = self.closures((&was, &from), (&is, &to));
            let settled = more.0.names() == both.0.names() && more.1.names() == both.1.names();
            both = more;
            if settled {
                break;
            }
        }
        let a = self.excerpt(&was, &from, &both.0);
        let b = self.excerpt(&is, &to, &both.1);
        match (&a.evaluation, &b.evaluation) {
            (Some(a), Some(b)) => Ok(Told::of(a, b, renames, new)),
            _ => Err(both.0.faults.into_iter().chain(both.1.faults).collect()),
        }
    }

    fn closures(
        &mut self,
        before: (&State<'_>, &Seeds),
        after: (&State<'_>, &Seeds),
    ) -> (Closure, Closure) {
        let before = Search::new(self, before.0, before.1).run();
        (before, Search::new(self, after.0, after.1).run())
    }

    fn state<'s>(&mut self, source: &'s dyn Stamped) -> Result<State<'s>, Fault> {
        let stamps = source.stamps().map_err(|error| listed::unlisted(&error))?;
        let same = |listing: &&Arc<Listing>| {
            let paths = listing.paths.iter().map(String::as_str);
            paths.eq(stamps.iter().map(|(path, _)| &**path))
        };
        let listing = match self.listing.as_ref().filter(same) {
            Some(listing) => Arc::clone(listing),
            None => {
                let paths = stamps.iter().map(|(path, _)| path.to_string()).collect();
                Arc::new(material::listing(source, paths))
            }
        };
        self.listing = Some(Arc::clone(&listing));
        let path = material::common_path(&listing.folder);
        let common_stamp = stamp_of(&stamps, &path);
        let key = (path, common_stamp);
        let common = match self.commons.get(&key) {
            Some(common) => Arc::clone(common),
            None => {
                let common = Arc::new(material::common_part(source, &listing));
                self.commons.insert(key, Arc::clone(&common));
                common
            }
        };
        Ok(State { source, stamps, listing, common, common_stamp })
    }

    fn sheet(&mut self, state: &State<'_>, path: &str) -> Result<Arc<Sheet>, Fault> {
        let stamp = state.stamp(path);
        let key = stamp.map(|stamp| (path.to_owned(), stamp));
        if let Some(sheet) = key.as_ref().and_then(|key| self.sheets.get(key)) {
            return Ok(Arc::clone(sheet));
        }
        let bytes =
            state.source.read(path).map_err(|error| material::source_fault(path, &error))?;
        let text = material::text_of(path, &bytes)?;
        let like = self.latest.get(path).and_then(|latest| latest.with_text(text));
        let sheet = Arc::new(like.unwrap_or_else(|| Sheet::read(path, text)));
        if self.held > MOST_HELD {
            self.sheets.clear();
            self.held = 0;
        }
        self.held += text.len();
        if let Some(key) = key {
            self.sheets.insert(key, Arc::clone(&sheet));
        }
        self.latest.insert(path.to_owned(), Arc::clone(&sheet));
        Ok(sheet)
    }

    /// The same with nothing stale.
    fn fresh(&mut self, state: &State<'_>, path: &str, sheet: &Sheet) -> Arc<Sheet> {
        let sheet = Arc::new(sheet.fresh());
        if let Some(stamp) = state.stamp(path) {
            self.sheets.insert((path.to_owned(), stamp), Arc::clone(&sheet));
        }
        self.latest.insert(path.to_owned(), Arc::clone(&sheet));
        sheet
    }

    fn remember(
        &mut self,
        state: &State<'_>,
        name: &str,
        closure: &Closure,
        excerpt: &Arc<Excerpt>,
    ) {
        let tables = closure.touched().filter_map(|table| state.listing.tables.get(table));
        let texts = tables.filter_map(|path| Some((path.clone(), state.stamp(path)?))).collect();
        if self.recent.len() == MOST_RECENT {
            self.recent.remove(0);
        }
        self.recent.push(Recent {
            name: name.to_owned(),
            listing: Arc::clone(&state.listing),
            common: state.common_stamp,
            texts,
            excerpt: Arc::clone(excerpt),
        });
    }

    /// Reads and evaluates what was found, unless the same was before.
    fn excerpt(&mut self, state: &State<'_>, seeds: &Seeds, closure: &Closure) -> Arc<Excerpt> {
        if !closure.faults.is_empty() {
            return Arc::new(Excerpt::faulty(closure.faults.clone()));
        }
        if closure.absent {
            return Excerpt::absent();
        }
        let key = Key::of(state, seeds, closure);
        if let Some(known) = self.known.get(&key) {
            return Arc::clone(known);
        }
        let excerpt = Arc::new(Excerpt::read(state, seeds, closure));
        // What has faults names lines, which other texts round the same entries would move.
        if !matches!(excerpt.standing, Held::Faulty(_)) {
            if self.known.len() >= MOST_KNOWN {
                self.known.clear();
            }
            self.known.insert(key, Arc::clone(&excerpt));
        }
        excerpt
    }
}

impl Recent {
    fn holds(&self, state: &State<'_>, name: &str) -> bool {
        self.name == name
            && Arc::ptr_eq(&self.listing, &state.listing)
            && self.common == state.common_stamp
            && self.texts.iter().all(|(path, stamp)| state.stamp(path) == Some(*stamp))
    }
}

impl Key {
    fn of(state: &State<'_>, seeds: &Seeds, closure: &Closure) -> Self {
        let texts = |needed: &closure::Needed| {
            let text = |spot: &sheet::Spot| (spot.section, needed.sheet.text(*spot).into());
            needed.entries.values().map(text).collect()
        };
        let tables = closure.tables.iter();
        Self {
            seeds: seeds.clone(),
            folder: state.listing.folder.clone(),
            common: state.common_stamp,
            entries: tables.map(|(name, needed)| (name.clone(), texts(needed))).collect(),
        }
    }
}

impl Excerpt {
    /// That of a name where there is no design.
    pub fn absent() -> Arc<Self> {
        let (standing, entries) = (Held::Absent, BTreeSet::new());
        Arc::new(Self { standing, entries, evaluation: None })
    }

    fn faulty(faults: Vec<Fault>) -> Self {
        Self { standing: Held::Faulty(faults), entries: BTreeSet::new(), evaluation: None }
    }

    fn read(state: &State<'_>, seeds: &Seeds, closure: &Closure) -> Self {
        let (material, faults) = material_of(state, seeds, closure);
        let evaluation = Design::of(material, faults).evaluate();
        let standing = standing(&evaluation, &seeds.name);
        Self { standing, entries: closure.names(), evaluation: Some(evaluation) }
    }

    /// The full names of the entries that the name depends on, its own among them.
    pub fn entries(&self) -> Vec<String> {
        self.entries.iter().map(|(table, entry)| format!("{table}.{entry}")).collect()
    }
}

fn standing(evaluation: &Evaluation, name: &str) -> Held {
    let check = evaluation.checks().iter().find(|check| check.name == name);
    let faults = evaluation.faults();
    match check {
        // What has no value in the domain leaves a check unknown, and that is known.
        Some(check) if faults.iter().all(|fault| fault.slug == Slug::Domain) => {
            Held::Check(Box::new(check.clone()))
        }
        _ if !faults.is_empty() => Held::Faulty(faults.to_vec()),
        _ => match evaluation.value(name) {
            Some(value) => Held::Value(value),
            None => Held::Absent,
        },
    }
}

fn material_of(state: &State<'_>, seeds: &Seeds, closure: &Closure) -> (Material, Vec<Fault>) {
    let common = &state.common;
    let mut files: Vec<File> = common.file.iter().cloned().collect();
    let (mut tables, mut faults) = (Vec::new(), Vec::new());
    let mut needed: Vec<_> = closure.tables.iter().collect();
    needed.sort_by_key(|(_, needed)| needed.sheet.file.path.clone());
    for (name, needed) in needed {
        let sheet = &needed.sheet;
        let mut reader = Reader::new(&sheet.file, files.len() as u32, &common.units);
        reader.money_lost = common.common.money_lost;
        let spots: Vec<_> = needed.entries.values().copied().collect();
        let map = sheet.with_only(&spots);
        let mut table = read_table(&mut reader, &map, name, &state.listing.folder);
        strip(&mut table, seeds, closure.of_check);
        tables.push(Arc::new(table));
        faults.append(&mut reader.faults);
        files.push(sheet.file.clone());
    }
    let material = Material {
        files: Arc::new(files),
        folder: state.listing.folder.clone(),
        common: common.common.clone(),
        units: Arc::clone(&common.units),
        tables,
        lost_tables: state.listing.lost.clone(),
        cad: Arc::new(BTreeMap::new()),
    };
    (material, faults)
}

/// Takes out what bears on no value: limits of other dimensions, models and uses of parts.
fn strip(table: &mut Table, seeds: &Seeds, of_check: bool) {
    for dimension in &mut table.dimensions {
        if !seeds.is_about(&table.name, &dimension.name) {
            (dimension.min, dimension.max) = (None, None);
            dimension.travel = dimension.travel.take().filter(|_| of_check);
        }
    }
    for part in &mut table.parts {
        (part.cad, part.uses) = (None, Vec::new());
    }
}

fn renamed(renames: &Renames, entry: &(String, String)) -> (String, String) {
    let name = renames.apply(&format!("{}.{}", entry.0, entry.1));
    name.split_once('.').map_or_else(|| entry.clone(), |(a, b)| (a.to_owned(), b.to_owned()))
}

/// The names before of names after, for what is among the names before.
fn inverse(
    renames: &Renames,
    before: &BTreeSet<(String, String)>,
) -> BTreeMap<(String, String), (String, String)> {
    before.iter().map(|entry| (renamed(renames, entry), entry.clone())).collect()
}

/// What a name after was called before, if it was renamed between two sources.
///
/// Both are read as a whole: a rename is told from all that is gone and all that is new.
pub fn name_before(before: &dyn Source, after: &dyn Source, name: &str) -> Option<String> {
    let (before, after) = Design::read_both(before, after);
    let renames = Renames::between(&before, &after);
    let mut names = before.all_names();
    names.find(|old| *old != name && renames.apply(old) == name).map(str::to_owned)
}

/// What a name before is called after, if it was renamed between two sources.
pub fn name_after(before: &dyn Source, after: &dyn Source, name: &str) -> Option<String> {
    let (before, after) = Design::read_both(before, after);
    let new = Renames::between(&before, &after).apply(name);
    let exists = after.all_names().any(|other| other == new);
    (new != name && exists).then_some(new)
}

/// Adds the full names of all dimensions, cells, checks and parts of the texts that were not seen
/// before. Texts that cannot be read have none.
pub fn names_in(
    source: &dyn Stamped,
    seen: &mut HashSet<(String, Stamp)>,
    names: &mut BTreeSet<String>,
) {
    let Ok(stamps) = source.stamps() else { return };
    for (path, stamp) in stamps.iter().filter(|(path, _)| path.ends_with(".yaml")) {
        let Some(table) = path.rsplit('/').next().and_then(|file| file.strip_suffix(".yaml"))
        else {
            continue;
        };
        if table == "design" || !seen.insert((path.to_string(), *stamp)) {
            continue;
        }
        let bytes = source.read(path).unwrap_or_default();
        let Ok(text) = material::text_of(path, &bytes) else { continue };
        let sheet = Sheet::read(path, text);
        names.extend(sheet.full_names().map(|name| format!("{table}.{name}")));
    }
}

impl Design {
    /// The full names of all values and checks.
    fn all_names(&self) -> impl Iterator<Item = &str> {
        let values = &self.model.nodes[..self.model.slots];
        let checks = self.model.checks.iter().map(|check| &self.model.nodes[check.node as usize]);
        values.iter().chain(checks).map(|node| &*node.name)
    }
}

impl Verdict {
    /// Whether it is met: it holds, if only tightly.
    pub fn is_met(self) -> bool {
        self <= Self::Tight
    }
}
