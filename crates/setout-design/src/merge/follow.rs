//! Names that one side gave, followed through what the other side wrote: so that both speak of the
//! same things by the same names before their tables are merged.
//!
//! A rename is made in the base and on the other side, or in neither: made in one alone it would
//! look as if that side had taken the new name back. Where it cannot be made, what a plain merge
//! says of two names holds: one is gone, one is new.

use std::collections::{BTreeMap, BTreeSet};

use super::meaning::Meaning;
use super::renamed::SECTIONS;
use crate::comparison::Renames;
use crate::yaml::read;
use crate::{Design, RenamedFile, Source, SourceError};

/// One of three designs: its tables, which may be given other names, and all else as it was.
#[derive(Clone)]
pub(super) struct Side<'a> {
    source: &'a dyn Source,
    /// The design's folder with its `/`, or nothing.
    pub(super) folder: String,
    /// Texts by the names of their files.
    pub(super) files: BTreeMap<String, String>,
}

impl Source for Side<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        let mut paths = self.source.list()?;
        paths.retain(|path| !self.is_table(path));
        paths.extend(self.files.keys().map(|file| format!("{}{file}", self.folder)));
        paths.sort_unstable();
        Ok(paths)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        if !self.is_table(path) {
            return self.source.read(path);
        }
        let text = self.files.get(&path[self.folder.len()..]);
        text.map(|text| text.clone().into_bytes())
            .ok_or_else(|| SourceError::NotFound { path: path.into() })
    }
}

impl<'a> Side<'a> {
    pub(super) fn of(source: &'a dyn Source) -> Result<Self, SourceError> {
        let paths = source.list()?;
        let marks = paths.iter().find_map(|path| {
            let folder = path.strip_suffix("design.yaml")?;
            (folder.is_empty() || folder.ends_with('/')).then(|| folder.to_owned())
        });
        let mut side =
            Self { source, folder: marks.unwrap_or_default(), files: BTreeMap::default() };
        for path in paths {
            if !side.is_table(&path) {
                continue;
            }
            let text = String::from_utf8(source.read(&path)?).map_err(|_| SourceError::Io {
                path: path.clone(),
                reason: "it is not UTF-8".into(),
            })?;
            side.files.insert(path[side.folder.len()..].to_owned(), text);
        }
        Ok(side)
    }

    /// Whether a path is that of a table, or of `design.yaml`.
    fn is_table(&self, path: &str) -> bool {
        path.strip_prefix(&self.folder)
            .is_some_and(|file| file.ends_with(".yaml") && !file.contains('/'))
    }

    /// Whether it has a table, or a thing in one. What a table holds that cannot be read is not
    /// known, and taken to be there.
    fn has(&self, name: &str) -> bool {
        let (table, thing) = name.split_once('.').unwrap_or((name, ""));
        let Some(text) = self.files.get(&format!("{table}.yaml")) else { return false };
        let (tree, problems) = read(text);
        let meaning = Meaning::of_table(tree.as_ref());
        let in_section =
            |section: &&str| meaning.get(section).is_some_and(|of| of.get(thing).is_some());
        thing.is_empty() || !problems.is_empty() || SECTIONS.iter().any(in_section)
    }

    /// The same with another name for something, if that can be given.
    fn renamed(&self, old: &str, new: &str) -> Option<Self> {
        let rename = Design::read(self).rename(self, old, new).ok()?;
        let mut side = self.clone();
        for RenamedFile { path, path_before, after, .. } in rename.files {
            if let Some(before) = path_before {
                side.files.remove(before.strip_prefix(&self.folder)?);
            }
            side.files.insert(path.strip_prefix(&self.folder)?.to_owned(), after);
        }
        Some(side)
    }
}

/// Names as they are with what they are called in messages.
pub(super) type Unsettled = BTreeMap<String, String>;

/// Three designs that call the same things the same, as far as that is sure.
pub(super) struct Followed<'a> {
    /// Base, ours, theirs.
    pub(super) sides: [Side<'a>; 3],
    /// By table, the names that a person has to settle; an empty one is the table itself.
    pub(super) unsettled: BTreeMap<String, Unsettled>,
    /// The tables that have another name now in all three.
    tables: BTreeMap<String, String>,
}

/// A rename, and the place of the side that made it.
type Made = (String, String, usize);

/// More renames of one side are not followed: each is proved by evaluating two designs.
const MOST_RENAMES: usize = 500;

impl<'a> Followed<'a> {
    pub(super) fn through(sides: [Side<'a>; 3]) -> Self {
        let made = made(&sides);
        let mut followed =
            Self { sides, unsettled: BTreeMap::default(), tables: BTreeMap::default() };
        let (tables, things): (Vec<_>, Vec<_>) =
            made.into_iter().partition(|(old, ..)| !old.contains('.'));
        followed.all(&tables);
        let things = followed.under_new_tables(things);
        followed.all(&things);
        followed
    }

    /// What was renamed inside tables, by the names that these have now. In tables that are not
    /// settled themselves nothing is followed.
    fn under_new_tables(&self, things: Vec<Made>) -> Vec<Made> {
        let open: BTreeSet<&String> = self
            .unsettled
            .iter()
            .flat_map(|(table, names)| std::iter::once(table).chain(names.values()))
            .collect();
        let known = |name: &str| {
            let (table, thing) = name.split_once('.')?;
            let table = self.tables.get(table).map_or(table, String::as_str);
            (!open.iter().any(|open| *open == table)).then(|| format!("{table}.{thing}"))
        };
        let renamed = things
            .into_iter()
            .filter_map(|(old, new, side)| Some((known(&old)?, known(&new)?, side)));
        renamed.filter(|(old, new, _)| old != new).collect()
    }

    fn all(&mut self, made: &[Made]) {
        for one @ (old, new, own) in made {
            let other = 3 - own;
            let others = || made.iter().filter(|(_, _, side)| *side == other);
            let also = others().find(|(name, ..)| name == old);
            match also {
                Some((_, also, _)) if also == new => self.rename(&[0], one),
                Some(_) => self.unsettle(new, old),
                // Two things of one name, or one that the other side does not have any more.
                None if others().any(|(_, name, _)| name == new) => self.unsettle(new, new),
                None if !self.sides[other].has(old) => self.unsettle(new, old),
                // Two things of one name are told apart in their table, but not two tables.
                None if self.sides[other].has(new) => {
                    if !new.contains('.') {
                        self.unsettle(new, new);
                    }
                }
                None => self.rename(&[0, other], one),
            }
        }
    }

    /// Makes a rename on all of these sides, or on none.
    fn rename(&mut self, places: &[usize], (old, new, _): &Made) {
        let sides = places.iter().map(|place| self.sides[*place].renamed(old, new));
        let Some(sides) = sides.collect::<Option<Vec<_>>>() else { return };
        for (place, side) in places.iter().zip(sides) {
            self.sides[*place] = side;
        }
        if !old.contains('.') {
            self.tables.insert(old.clone(), new.clone());
        }
    }

    fn unsettle(&mut self, name: &str, old: &str) {
        let (table, thing) = name.split_once('.').unwrap_or((name, ""));
        let shown = old.strip_prefix(&format!("{table}.")).unwrap_or(old);
        let names = self.unsettled.entry(table.to_owned()).or_default();
        names.insert(thing.to_owned(), shown.to_owned());
    }
}

/// What both sides renamed or moved, by full names, in an order that no side has a part in.
fn made(sides: &[Side<'_>; 3]) -> Vec<Made> {
    let designs = sides.each_ref().map(|side| Design::read(side));
    let mut made = Vec::new();
    for side in [1, 2] {
        let pairs = Renames::between(&designs[0], &designs[side]).pairs();
        if pairs.len() <= MOST_RENAMES {
            made.extend(pairs.into_iter().map(|(old, new)| (old, new, side)));
        }
    }
    made.sort_by(|a, b| (&a.0, &a.1).cmp(&(&b.0, &b.1)));
    made
}
