//! What is to be renamed, or given other fields: a thing that has a name in a table.

use std::ops::Range;

use setout_quantity::nearest;
use smol_str::SmolStr;

use crate::comparison::Sort;
use crate::document::{Schedule, Table};
use crate::model::{Symbol, Symbols, Target};
use crate::{Design, EditFault, Place};

/// The one thing that a name stands for.
pub(crate) struct Subject<'d> {
    table: &'d Table,
    /// The table's number.
    number: u32,
    /// The name in its table of the thing, or of the schedule that holds it.
    local: &'d str,
    sort: Sort,
    /// The name of a row or column in its schedule.
    inner: Option<&'d str>,
}

impl<'d> Subject<'d> {
    /// Finds what a name stands for: full, or without its table where only one has it.
    pub(crate) fn find(design: &'d Design, name: &str) -> Result<Self, EditFault> {
        let name = name.trim();
        let parts: Vec<&str> = name.split('.').collect();
        if let [first, rest @ ..] = &parts[..]
            && let Some(table) = design.model.symbols.tables.get(*first)
            && let Some(found) = Self::inside(design, *table, rest)
        {
            return Ok(found);
        }
        let tables = 0..design.material.tables.len() as u32;
        let mut found: Vec<Self> =
            tables.filter_map(|table| Self::inside(design, table, &parts)).collect();
        if found.len() > 1 {
            let mut candidates: Vec<String> = found.iter().map(Self::full_name).collect();
            candidates.sort_unstable();
            return Err(EditFault::Ambiguous { name: name.into(), candidates });
        }
        found.pop().ok_or_else(|| not_found(&design.model.symbols, name))
    }

    fn inside(design: &'d Design, number: u32, parts: &[&str]) -> Option<Self> {
        let (local, symbol) =
            design.model.symbols.names[number as usize].get_key_value(*parts.first()?)?;
        let table = &design.material.tables[number as usize];
        let sort = match symbol {
            Symbol::Dimension(_) => Sort::Dimension,
            Symbol::Schedule(_) => Sort::Schedule,
            Symbol::Check(_) => Sort::Check,
            Symbol::Part(_) => Sort::Part,
        };
        let whole = Self { table, number, local, sort, inner: None };
        match &parts[1..] {
            [] => Some(whole),
            [inner] => {
                let (rows, columns) = (whole.rows(), whole.columns());
                let row = rows.into_iter().find(|(name, _)| name == inner);
                let column = columns.into_iter().find(|(name, _)| name == inner);
                let sort = if row.is_some() { Sort::Row } else { Sort::Column };
                let inner = Some(row.or(column)?.0);
                Some(Self { sort, inner, ..whole })
            }
            _ => None,
        }
    }

    fn schedule(&self) -> Option<&'d Schedule> {
        self.table.schedules.iter().find(|schedule| schedule.name == self.local)
    }

    fn rows(&self) -> Vec<(&'d str, &'d Place)> {
        let rows = self.schedule().map_or(&[][..], |schedule| &schedule.rows);
        rows.iter().map(|row| (row.name.as_str(), &row.place)).collect()
    }

    fn columns(&self) -> Vec<(&'d str, &'d Place)> {
        let columns = self.schedule().map_or(&[][..], |schedule| &schedule.columns);
        columns.iter().map(|column| (column.name.as_str(), &column.place)).collect()
    }

    /// All that shares its set of names: what it is, its name, its place.
    fn neighbours(&self) -> Vec<(&'static str, &'d str, &'d Place)> {
        if self.inner.is_none() {
            return things(self.table);
        }
        let rows = self.rows().into_iter().map(|(name, place)| ("a row", name, place));
        let columns = self.columns().into_iter().map(|(name, place)| ("a column", name, place));
        rows.chain(columns).collect()
    }

    /// What bears a name already, among those from which it must be told apart.
    pub(crate) fn neighbour(&self, name: &str) -> Option<(&'static str, Place)> {
        let found = self.neighbours().into_iter().find(|(_, other, _)| *other == name);
        found.map(|(what, _, place)| (what, place.clone()))
    }

    /// Where its name stands.
    pub(crate) fn place(&self) -> Place {
        self.neighbour(self.name()).map_or_else(
            || Place { file: self.table.name.as_str().into(), line: 1, column: 1 },
            |(_, place)| place,
        )
    }

    pub(crate) fn sort(&self) -> Sort {
        self.sort
    }

    /// The number of its table.
    pub(crate) fn table(&self) -> u32 {
        self.number
    }

    /// Whether it is a row or a column of a schedule.
    pub(crate) fn is_inner(&self) -> bool {
        self.inner.is_some()
    }

    /// The name in its table, of the thing or of the schedule that holds it.
    pub(crate) fn local(&self) -> &'d str {
        self.local
    }

    /// Whether something else in a table bears a name: what it is, and its place.
    pub(crate) fn bearer(design: &Design, table: u32, name: &str) -> Option<(&'static str, Place)> {
        let things = things(&design.material.tables[table as usize]);
        let found = things.into_iter().find(|(_, other, _)| *other == name);
        found.map(|(what, _, place)| (what, place.clone()))
    }

    /// The number of the file in which it stands.
    pub(crate) fn file(&self) -> u32 {
        self.table.file
    }

    /// The part of its full name that is to be replaced.
    pub(crate) fn name(&self) -> &'d str {
        self.inner.unwrap_or(self.local)
    }

    pub(crate) fn full_name(&self) -> String {
        self.full_name_as(self.name())
    }

    pub(crate) fn full_name_as(&self, name: &str) -> String {
        match self.inner {
            Some(_) => format!("{}.{}.{name}", self.table.name, self.local),
            None => format!("{}.{name}", self.table.name),
        }
    }

    /// The keys on the way to its name.
    pub(crate) fn path(&self) -> Vec<&'d str> {
        match self.sort {
            Sort::Schedule => vec!["schedules", self.local],
            Sort::Row => vec!["schedules", self.local, "rows", self.name()],
            Sort::Column => vec!["schedules", self.local, "columns", self.name()],
            Sort::Check => vec!["checks", self.local],
            Sort::Part => vec!["parts", self.local],
            _ => vec!["dimensions", self.local],
        }
    }

    /// The bytes of a name, as written in a table, that are this thing's.
    pub(crate) fn part_of(
        &self,
        symbols: &Symbols,
        table: u32,
        written: &str,
    ) -> Option<Range<usize>> {
        let parts: Vec<&str> = written.split('.').collect();
        let bare = symbols.is_inside(table, &parts);
        let skip = usize::from(!bare);
        let of = if bare { table } else { *symbols.tables.get(parts[0])? };
        if of != self.number || parts.get(skip) != Some(&self.local) {
            return None;
        }
        let at = match (self.sort, parts.len() - skip) {
            (Sort::Row, 3) | (Sort::Column, 2) => skip + 1,
            (Sort::Column, 3) => skip + 2,
            (Sort::Row | Sort::Column, _) => return None,
            _ => skip,
        };
        let start = parts[..at].iter().map(|part| part.len() + 1).sum();
        (parts[at] == self.name()).then(|| start..start + parts[at].len())
    }
}

/// The things of a table, which share one set of names.
fn things(table: &Table) -> Vec<(&'static str, &str, &Place)> {
    let mut all: Vec<(&'static str, &str, &Place)> = Vec::new();
    all.extend(table.dimensions.iter().map(|d| ("a dimension", d.name.as_str(), &d.place)));
    all.extend(table.schedules.iter().map(|s| ("a schedule", s.name.as_str(), &s.place)));
    all.extend(table.checks.iter().map(|c| ("a check", c.name.as_str(), &c.place)));
    all.extend(table.parts.iter().map(|p| ("a part", p.name.as_str(), &p.place)));
    all
}

/// Why a name stands for nothing of this sort.
fn not_found(symbols: &Symbols, name: &str) -> EditFault {
    let (message, help) = match symbols.look_up(None, name) {
        Ok(Target::Slot(_)) if name.starts_with("design.") => {
            (format!("`{name}` has a fixed name"), "it is the sum of all parts".to_owned())
        }
        Ok(_) if name.split('.').count() == 4 => {
            let help = "name the row, `table.schedule.row`, or the column, `table.schedule.column`";
            (format!("`{name}` is a cell, named after its row and column"), help.to_owned())
        }
        Ok(_) => {
            let part = name.rsplit_once('.').map_or(name, |(part, _)| part);
            (format!("`{name}` belongs to the part `{part}`"), format!("name `{part}`"))
        }
        Err(_) if symbols.tables.contains_key(name) => {
            let help = format!("name something in it: write `{name}.` and the name");
            (format!("`{name}` is a whole table"), help)
        }
        Err(refusal) => {
            let near = near(symbols, name).map(|near| format!("did you mean `{near}`?"));
            (refusal.message, near.unwrap_or(refusal.help))
        }
    };
    EditFault::NotFound { name: name.into(), message, help }
}

/// What was probably meant: a table, or something in the table that is named.
fn near(symbols: &Symbols, name: &str) -> Option<String> {
    let tables = || symbols.table_names.iter().map(String::as_str);
    let Some((first, rest)) = name.split_once('.') else {
        let things = symbols.names.iter().flat_map(|names| names.keys()).map(SmolStr::as_str);
        return nearest(name, sorted(things.chain(tables())));
    };
    let Some(table) = symbols.tables.get(first) else {
        return nearest(first, sorted(tables())).map(|near| format!("{near}.{rest}"));
    };
    let names = symbols.names[*table as usize].keys().map(SmolStr::as_str);
    nearest(rest, sorted(names)).map(|near| format!("{first}.{near}"))
}

/// Names in an order that no hash has made.
fn sorted<'s>(names: impl Iterator<Item = &'s str>) -> Vec<&'s str> {
    let mut names: Vec<&str> = names.collect();
    names.sort_unstable();
    names.dedup();
    names
}
