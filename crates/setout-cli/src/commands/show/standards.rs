//! `setout show --standards`: the published tables behind the hardware lookups.

use serde::Serialize;
use setout::nearest;
use setout::standards::{TableInfo, tables};

use crate::draw::{Answer, Cell, Columns, Ink, Page};
use crate::trouble::Trouble;

/// The tables that were asked for, in full, or a line of each.
pub(super) struct Standards {
    tables: Vec<&'static TableInfo>,
    in_full: bool,
}

/// The tables of some names, all of them without any; and a trouble for each name that none has.
pub(super) fn standards(names: &[String]) -> (Standards, Vec<Trouble>) {
    if names.is_empty() {
        return (Standards { tables: tables().iter().collect(), in_full: false }, Vec::new());
    }
    let mut found = Standards { tables: Vec::new(), in_full: true };
    let mut missing = Vec::new();
    for name in names {
        match tables().iter().find(|table| table.id == name) {
            Some(table) => found.tables.push(table),
            None => missing.push(unknown(name)),
        }
    }
    (found, missing)
}

fn unknown(name: &str) -> Trouble {
    let names = || tables().iter().map(|table| table.id);
    let help = match nearest(name, names()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("the tables are {}", names().collect::<Vec<_>>().join(", ")),
    };
    Trouble::not_found(format!("there is no table of standards `{name}`"), help)
}

impl Answer for Standards {
    fn text(&self, page: &mut Page) {
        if self.in_full {
            return self.tables.iter().for_each(|table| in_full(table, page));
        }
        let mut columns = Columns::default();
        for table in &self.tables {
            let cells = [table.id, table.standard, table.title];
            columns.row(cells.map(|text| Cell::text(Ink::Plain, text)));
        }
        columns.draw(0, page);
        page.gap();
        page.say(
            0,
            "setout show --standards with a name shows its rows, its source and its doubts.",
        );
    }

    fn json(&self) -> impl Serialize {
        Keys { standards: self.tables.iter().map(|table| Table::of(table)).collect() }
    }
}

fn in_full(table: &TableInfo, page: &mut Page) {
    page.gap();
    page.heading(&format!("{}: {}", table.id, table.title));
    page.entry(2, "standard", &format!("{}, edition {}", table.standard, table.edition));
    page.entry(2, "source", table.source);
    for note in &table.notes {
        page.entry(2, "note", note);
    }
    page.entry(2, "unit", table.unit);
    let mut grid = Columns::whole();
    grid.row(table.columns.iter().map(|name| Cell::text(Ink::Faint, name)));
    for row in &table.rows {
        grid.row(row.iter().map(|cell| Cell::text(Ink::Plain, cell)));
    }
    page.gap();
    grid.draw(2, page);
}

#[derive(Serialize)]
struct Keys {
    standards: Vec<Table>,
}

#[derive(Serialize)]
struct Table {
    name: &'static str,
    title: &'static str,
    standard: &'static str,
    edition: &'static str,
    unit: &'static str,
    source: &'static str,
    notes: Vec<&'static str>,
    columns: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

impl Table {
    fn of(table: &'static TableInfo) -> Self {
        Self {
            name: table.id,
            title: table.title,
            standard: table.standard,
            edition: table.edition,
            unit: table.unit,
            source: table.source,
            notes: table.notes.clone(),
            columns: table.columns.clone(),
            rows: table.rows.clone(),
        }
    }
}
