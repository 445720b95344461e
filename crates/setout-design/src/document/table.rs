//! A table: its sections, each read by a module of its own.

use std::collections::{BTreeSet, HashMap};

use super::dimension::read_dimension;
use super::reader::Reader;
use super::rest::{read_check, read_part, read_schedule};
use super::{Lost, Table, keys};
use crate::yaml::{Entry, Map};
use crate::{Place, Slug};

/// Reads one table. `folder` is the root-relative folder that it stands in.
pub(crate) fn read_table(reader: &mut Reader<'_>, map: &Map, name: &str, folder: &str) -> Table {
    let [about, dimensions, schedules, checks, parts] = reader.fields(map, "a table", keys::TABLE);
    let mut table = Table {
        name: name.to_owned(),
        file: reader.file(),
        about: reader.remark(about, map.flow),
        dimensions: Vec::new(),
        schedules: Vec::new(),
        checks: Vec::new(),
        parts: Vec::new(),
        lost: Lost::default(),
    };
    let mut names = Names::default();
    let example = "dimensions: { width: 62 mm }";
    let entries = named(reader, dimensions, "`dimensions`", example, &mut names);
    // A list that grows is copied again and again, and these are nearly all of a table.
    table.dimensions.reserve_exact(entries.len());
    for (entry, place) in entries {
        table.dimensions.push(read_dimension(reader, entry, place));
    }
    for (entry, place) in
        named(reader, schedules, "`schedules`", "schedules: { servo: … }", &mut names)
    {
        table.schedules.extend(read_schedule(reader, entry, place));
    }
    let entries = named(reader, checks, "`checks`", "checks: { fits: … }", &mut names);
    table.checks.reserve_exact(entries.len());
    for (entry, place) in entries {
        table.checks.extend(read_check(reader, entry, place));
    }
    let entries = named(reader, parts, "`parts`", "parts: { jaw: … }", &mut names);
    table.parts.reserve_exact(entries.len());
    for (entry, place) in entries {
        table.parts.extend(read_part(reader, entry, place, folder));
    }
    let written = parts.and_then(|entry| entry.value.as_map());
    table.lost.part = written.is_some_and(|map| map.entries.len() > table.parts.len());
    table.lost.names = names.lost;
    table
}

/// The names of a table so far; its sections share one set.
#[derive(Default)]
struct Names<'n> {
    /// With the line that each stands in.
    known: HashMap<&'n str, usize>,
    /// Those that break the rules.
    lost: BTreeSet<String>,
}

/// The entries of a section whose names keep the rules and are new.
fn named<'n>(
    reader: &mut Reader<'_>,
    section: Option<&'n Entry>,
    what: &str,
    example: &str,
    names: &mut Names<'n>,
) -> Vec<(&'n Entry, Place)> {
    let Some(map) = section.and_then(|entry| reader.map(&entry.value, what, example)) else {
        return Vec::new();
    };
    let mut found = Vec::with_capacity(map.entries.len());
    names.known.reserve(map.entries.len());
    for entry in &map.entries {
        let Some(place) = reader.name(&entry.key) else {
            names.lost.insert(entry.key.value.to_string());
            continue;
        };
        if let Some(first) = names.known.get(&*entry.key.value) {
            let message =
                format!("`{}` is already the name of something in this table", entry.key.value);
            let help = format!("line {first} has it first; name one of them otherwise");
            reader.fault(Slug::DuplicateName, entry.key.span.start, message, help);
            continue;
        }
        names.known.insert(&entry.key.value, place.line);
        found.push((entry, place));
    }
    found
}
