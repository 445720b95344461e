//! What is to be renamed.

use std::ops::Range;

use crate::comparison::Sort;
use crate::document::{Schedule, Table};
use crate::model::{Symbol, Symbols, Target};
use crate::{Design, EditFault, Place};

/// The one thing that a name to be replaced stands for.
pub(super) struct Subject<'d> {
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
    pub(super) fn find(design: &'d Design, name: &str) -> Result<Self, EditFault> {
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

    /// The things of the table, which share one set of names.
    fn things(&self) -> Vec<(&'static str, &'d str, &'d Place)> {
        let table = self.table;
        let mut all: Vec<(&'static str, &'d str, &'d Place)> = Vec::new();
        all.extend(table.dimensions.iter().map(|d| ("a dimension", d.name.as_str(), &d.place)));
        all.extend(table.schedules.iter().map(|s| ("a schedule", s.name.as_str(), &s.place)));
        all.extend(table.checks.iter().map(|c| ("a check", c.name.as_str(), &c.place)));
        all.extend(table.parts.iter().map(|p| ("a part", p.name.as_str(), &p.place)));
        all
    }

    /// All that shares its set of names: what it is, its name, its place.
    fn neighbours(&self) -> Vec<(&'static str, &'d str, &'d Place)> {
        if self.inner.is_none() {
            return self.things();
        }
        let rows = self.rows().into_iter().map(|(name, place)| ("a row", name, place));
        let columns = self.columns().into_iter().map(|(name, place)| ("a column", name, place));
        rows.chain(columns).collect()
    }

    /// What bears a name already, among those from which it must be told apart.
    pub(super) fn neighbour(&self, name: &str) -> Option<(&'static str, Place)> {
        let found = self.neighbours().into_iter().find(|(_, other, _)| *other == name);
        found.map(|(what, _, place)| (what, place.clone()))
    }

    /// Where its name stands.
    pub(super) fn place(&self) -> Place {
        self.neighbour(self.name()).map_or_else(
            || Place { file: self.table.name.as_str().into(), line: 1, column: 1 },
            |(_, place)| place,
        )
    }

    pub(super) fn sort(&self) -> Sort {
        self.sort
    }

    /// The number of the file in which it stands.
    pub(super) fn file(&self) -> u32 {
        self.table.file
    }

    /// The part of its full name that is to be replaced.
    pub(super) fn name(&self) -> &'d str {
        self.inner.unwrap_or(self.local)
    }

    pub(super) fn full_name(&self) -> String {
        self.full_name_as(self.name())
    }

    pub(super) fn full_name_as(&self, name: &str) -> String {
        match self.inner {
            Some(_) => format!("{}.{}.{name}", self.table.name, self.local),
            None => format!("{}.{name}", self.table.name),
        }
    }

    /// The keys on the way to its name.
    pub(super) fn path(&self) -> Vec<&'d str> {
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
    pub(super) fn part_of(
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

/// Why a name stands for nothing that can be renamed.
fn not_found(symbols: &Symbols, name: &str) -> EditFault {
    let (message, help) = match symbols.look_up(None, name) {
        Ok(Target::Slot(_)) if name.starts_with("design.") => {
            (format!("`{name}` has a fixed name"), "it is the sum of all parts".to_owned())
        }
        Ok(_) if name.split('.').count() == 4 => {
            let help =
                "rename the row, `table.schedule.row`, or the column, `table.schedule.column`";
            (format!("`{name}` is a cell, named after its row and column"), help.to_owned())
        }
        Ok(_) => {
            let part = name.rsplit_once('.').map_or(name, |(part, _)| part);
            (format!("`{name}` belongs to the part `{part}`"), format!("rename `{part}`"))
        }
        Err(_) if symbols.tables.contains_key(name) => {
            let help = "a table is named after its file; rename what is in it one by one";
            (format!("`{name}` is a whole table"), help.to_owned())
        }
        Err(refusal) => (refusal.message, refusal.help),
    };
    EditFault::NotFound { name: name.into(), message, help }
}
