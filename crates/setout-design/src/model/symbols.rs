//! What names stand for, and where each is looked for.

use std::collections::HashMap;

use setout_formula::FUNCTIONS;
use setout_quantity::{Units, nearest};
use smallvec::SmallVec;
use smol_str::SmolStr;

use super::Target;
use crate::Slug;

/// A thing that has a name in a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Symbol {
    Dimension(u32),
    /// An index of the model's schedules.
    Schedule(u32),
    /// An index of the model's checks.
    Check(u32),
    /// An index of the model's parts.
    Part(u32),
}

/// Names of a schedule.
#[derive(Clone, Debug, Default)]
pub(crate) struct ScheduleNames {
    pub(crate) columns: Vec<SmolStr>,
    pub(crate) rows: HashMap<SmolStr, u32>,
    /// The slot of the first cell; the others follow row by row.
    pub(crate) first: u32,
    /// Whether a row or a column could not be read, so that no column is whole.
    pub(crate) lost: bool,
}

/// What can be said of a part in a formula.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct PartSlots {
    pub(crate) cost: Option<u32>,
    pub(crate) mass: Option<u32>,
    pub(crate) quantity: u32,
}

/// All names of a design.
#[derive(Clone, Debug, Default)]
pub(crate) struct Symbols {
    pub(crate) tables: HashMap<String, u32>,
    pub(crate) table_names: Vec<String>,
    pub(crate) names: Vec<HashMap<SmolStr, Symbol>>,
    pub(crate) schedules: Vec<ScheduleNames>,
    pub(crate) parts: Vec<PartSlots>,
    pub(crate) design_cost: u32,
    pub(crate) design_mass: u32,
}

/// Why a name stands for nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Refusal {
    pub(crate) slug: Slug,
    pub(crate) message: String,
    pub(crate) help: String,
    /// Whether the help tells what the name is, or what was probably meant.
    pub(crate) explained: bool,
}

impl Symbols {
    /// What a name in a formula of a table stands for. Without a table only full names count.
    pub(crate) fn look_up(&self, table: Option<u32>, name: &str) -> Result<Target, Refusal> {
        self.find(table, name).map_err(|slug| self.refusal(slug, table, name, true))
    }

    /// What a name stands for, or the sort of fault that it is.
    pub(crate) fn find(&self, table: Option<u32>, name: &str) -> Result<Target, Slug> {
        if !name.contains('.') {
            // Most names stand bare, and can only be of this table.
            let own = table.and_then(|table| self.inside(table, &[name]));
            return own.ok_or(Slug::UnknownName);
        }
        let parts: SmallVec<[&str; 4]> = name.split('.').collect();
        let mut found: SmallVec<[Target; 3]> = SmallVec::new();
        if let Some(table) = table {
            found.extend(self.inside(table, &parts));
        }
        if let [first, rest @ ..] = &parts[..]
            && !rest.is_empty()
        {
            if *first == "design" {
                found.extend(self.of_design(rest));
            }
            if let Some(other) = self.tables.get(*first) {
                found.extend(self.inside(*other, rest));
            }
        }
        found.dedup();
        match found[..] {
            [target] => Ok(target),
            [] => Err(Slug::UnknownName),
            _ => Err(Slug::AmbiguousName),
        }
    }

    /// Why a name stands for nothing. A guess at what was meant looks at every name of a table.
    pub(crate) fn refusal(
        &self,
        slug: Slug,
        table: Option<u32>,
        name: &str,
        guess: bool,
    ) -> Refusal {
        match slug {
            Slug::AmbiguousName => self.ambiguous(table, name),
            _ => self.unknown(table, name, guess),
        }
    }

    /// Whether a path stands for something within one table.
    pub(crate) fn is_inside(&self, table: u32, parts: &[&str]) -> bool {
        self.inside(table, parts).is_some()
    }

    fn of_design(&self, rest: &[&str]) -> Option<Target> {
        match rest {
            ["cost"] => Some(Target::Slot(self.design_cost)),
            ["mass"] => Some(Target::Slot(self.design_mass)),
            _ => None,
        }
    }

    /// What a path stands for within one table.
    fn inside(&self, table: u32, parts: &[&str]) -> Option<Target> {
        let symbol = *self.names[table as usize].get(parts[0])?;
        match (symbol, &parts[1..]) {
            (Symbol::Dimension(slot), []) => Some(Target::Slot(slot)),
            (Symbol::Part(part), [field]) => {
                let part = self.parts[part as usize];
                let slot = match *field {
                    "cost" => part.cost,
                    "mass" => part.mass,
                    "quantity" => Some(part.quantity),
                    _ => None,
                };
                slot.map(Target::Slot)
            }
            (Symbol::Schedule(schedule), [column]) => {
                let names = &self.schedules[schedule as usize];
                if names.lost {
                    return Some(Target::Unknown);
                }
                let column = names.columns.iter().position(|name| name == column)? as u32;
                Some(Target::Column { schedule, column })
            }
            (Symbol::Schedule(schedule), [row, column]) => {
                let names = &self.schedules[schedule as usize];
                let column = names.columns.iter().position(|name| name == column);
                let row = names.rows.get(*row).map(|row| *row as usize);
                let (Some(row), Some(column)) = (row, column) else {
                    return names.lost.then_some(Target::Unknown);
                };
                Some(Target::Slot(names.first + (row * names.columns.len() + column) as u32))
            }
            _ => None,
        }
    }

    fn ambiguous(&self, table: Option<u32>, name: &str) -> Refusal {
        let own = table.map_or("", |table| self.table_names[table as usize].as_str());
        let first = name.split('.').next().unwrap_or(name);
        let other = match first {
            "design" => "of the whole design".to_owned(),
            first => format!("of the table `{first}`"),
        };
        Refusal {
            slug: Slug::AmbiguousName,
            message: format!("`{name}` could be {other} or of `{first}` in this table"),
            help: format!("for the latter write `{own}.{name}`; else rename `{own}.{first}`"),
            explained: true,
        }
    }

    fn unknown(&self, table: Option<u32>, name: &str, guess: bool) -> Refusal {
        let parts: &[&str] = &name.split('.').collect::<Vec<_>>();
        let message = format!("there is no `{name}`");
        let known = || self.why_not(table, parts).or_else(|| self.probably(table, name, parts));
        let known = if guess { known() } else { None };
        let explained = known.is_some();
        let help = known.unwrap_or_else(|| self.where_to_add(table, name, parts));
        Refusal { slug: Slug::UnknownName, message, help, explained }
    }

    /// A name that stands for something, but not for a value.
    fn why_not(&self, table: Option<u32>, parts: &[&str]) -> Option<String> {
        let name = parts.join(".");
        if parts[0] == "design" {
            return Some("of the whole design there are `design.cost` and `design.mass`".into());
        }
        // Behind a point, a dimension of that name is not what was meant where there is a table.
        let of_table = parts.len() > 1 && self.tables.contains_key(parts[0]);
        let own = table.filter(|table| match self.names[*table as usize].get(parts[0]) {
            Some(Symbol::Dimension(_) | Symbol::Check(_)) => !of_table,
            other => other.is_some(),
        });
        let (table, rest) = match own {
            Some(table) => (table, parts),
            None => (*self.tables.get(parts[0])?, &parts[1..]),
        };
        let Some(first) = rest.first() else {
            return Some(format!("`{name}` is a table; write `{name}.` and the dimension"));
        };
        match *self.names[table as usize].get(*first)? {
            Symbol::Check(_) => Some(format!("`{first}` is a check, and a check is no value")),
            Symbol::Part(part) => {
                let part = self.parts[part as usize];
                if matches!(rest, [_, "cost"]) && part.cost.is_none() {
                    return Some(format!("the part `{first}` has no cost; give it one"));
                }
                if matches!(rest, [_, "mass"]) && part.mass.is_none() {
                    return Some(format!("the part `{first}` has no mass; give it one"));
                }
                Some(format!("`{first}` is a part; formulas read its .cost, .mass and .quantity"))
            }
            Symbol::Schedule(schedule) => Some(self.in_schedule(schedule, first, rest)),
            Symbol::Dimension(_) if matches!(rest, [_, "min" | "max" | "travel" | "tolerance"]) => {
                let field = rest[1];
                Some(format!("formulas read values alone; make a dimension of this `{field}`"))
            }
            Symbol::Dimension(_) => {
                Some(format!("`{first}` is a dimension and has nothing inside"))
            }
        }
    }

    fn in_schedule(&self, schedule: u32, name: &str, rest: &[&str]) -> String {
        let names = &self.schedules[schedule as usize];
        let columns = || names.columns.iter().map(SmolStr::as_str);
        let near = match rest {
            [_, row, column] if names.rows.contains_key(*row) => nearest(column, columns()),
            [_, row, _] => {
                let mut rows: Vec<&str> = names.rows.keys().map(SmolStr::as_str).collect();
                rows.sort_unstable();
                nearest(row, rows)
            }
            [_, column] => nearest(column, columns()),
            _ => None,
        };
        match near {
            Some(near) => format!("in the schedule `{name}`, did you mean `{near}`?"),
            None if names.columns.is_empty() => {
                format!(
                    "the schedule `{name}` has no columns yet; add `{}`",
                    rest.last().unwrap_or(&name)
                )
            }
            None => format!(
                "a cell is `{name}.row.column`, a column `{name}.column`; the columns are {}",
                names.columns.join(", ")
            ),
        }
    }

    /// What was probably meant by a name that stands for nothing.
    fn probably(&self, table: Option<u32>, name: &str, parts: &[&str]) -> Option<String> {
        let did_you_mean = |meant: String| format!("did you mean `{meant}`?");
        if let [first, rest @ ..] = parts
            && !rest.is_empty()
        {
            let rest = rest.join(".");
            return match self.tables.get(*first) {
                Some(other) => self.similar(*other, &rest).map(|near| format!("{first}.{near}")),
                None => self.of_another_table(parts).or_else(|| {
                    let tables = self.table_names.iter().map(String::as_str).chain(["design"]);
                    nearest(first, tables).map(|near| format!("{near}.{rest}"))
                }),
            }
            .map(did_you_mean);
        }
        // Another table's dimension of just this name is a better guess than a similar one.
        if let Some(elsewhere) = self.elsewhere(name) {
            return Some(did_you_mean(elsewhere));
        }
        if let Some(near) = table.and_then(|table| self.similar(table, name)) {
            return Some(did_you_mean(near));
        }
        if let Some(function) = FUNCTIONS.iter().find(|function| function.name == name) {
            let arguments = function.arguments;
            return Some(format!("`{name}` is a function: write `{name}({arguments})`"));
        }
        let is_unit = Units::standard().read(name).is_ok();
        is_unit.then(|| format!("a unit follows a number: write for example `1 {name}`"))
    }

    /// The dimension of a table that is most like a name.
    fn similar(&self, table: u32, name: &str) -> Option<String> {
        let names = self.names[table as usize].iter();
        let dimensions = names.filter(|(_, symbol)| matches!(symbol, Symbol::Dimension(_)));
        let mut known: Vec<&str> = dimensions.map(|(name, _)| name.as_str()).collect();
        known.sort_unstable();
        nearest(name, known)
    }

    /// The full name of what stands under a part or schedule of another table.
    fn of_another_table(&self, parts: &[&str]) -> Option<String> {
        let mut tables: Vec<_> = self.table_names.iter().enumerate().collect();
        tables.sort_unstable_by_key(|(_, name)| name.as_str());
        let has = |index: usize| self.inside(index as u32, parts).is_some();
        let found = tables.into_iter().find(|(index, _)| has(*index));
        found.map(|(_, table)| format!("{table}.{}", parts.join(".")))
    }

    fn where_to_add(&self, table: Option<u32>, name: &str, parts: &[&str]) -> String {
        match parts {
            [first, rest @ ..] if !rest.is_empty() => match self.tables.contains_key(*first) {
                true => format!("correct it, or add `{}` to the table `{first}`", rest.join(".")),
                false => format!("correct it: there is no table or schedule `{first}`"),
            },
            _ if name.starts_with(|c: char| c.is_ascii_uppercase()) => {
                format!("for a text, write \"{name}\" in quotes")
            }
            _ => match table {
                Some(table) => {
                    let table = &self.table_names[table as usize];
                    format!("correct it, or add `{name}` to the table `{table}`")
                }
                None => "write a dimension as `table.name`".into(),
            },
        }
    }

    /// The first table, by name, that has a dimension of this name.
    pub(crate) fn elsewhere(&self, local: &str) -> Option<String> {
        let mut tables: Vec<_> = self.table_names.iter().enumerate().collect();
        tables.sort_unstable_by_key(|(_, name)| name.as_str());
        let has = |index: usize| matches!(self.names[index].get(local), Some(Symbol::Dimension(_)));
        tables
            .into_iter()
            .find(|(index, _)| has(*index))
            .map(|(_, table)| format!("{table}.{local}"))
    }

    /// All dimensions of a bare name, by their full names.
    pub(crate) fn everywhere(&self, local: &str) -> Vec<(String, u32)> {
        let mut found: Vec<(String, u32)> = self
            .names
            .iter()
            .zip(&self.table_names)
            .filter_map(|(names, table)| match names.get(local) {
                Some(Symbol::Dimension(slot)) => Some((format!("{table}.{local}"), *slot)),
                _ => None,
            })
            .collect();
        found.sort_unstable();
        found
    }
}
