//! What a rename is to do: what it is about, and where that is to stand under which name.

use std::ops::Range;

use super::tables::{no_table, refuse, start_of, table_of_name};

use crate::comparison::Sort;
use crate::document::name_fault;
use crate::model::Symbols;
use crate::subject::Subject;
use crate::{Design, EditFault, Slug};

/// A rename that was understood.
pub(super) enum Plan<'d> {
    /// A thing gets another name in its place.
    Here { subject: Subject<'d>, name: String },
    /// A thing gets into another table, by its number, under a name that may be the one it has.
    Away { subject: Subject<'d>, table: u32, table_name: &'d str, name: String },
    /// A table, by its number, gets another name, and its file with it.
    Table { number: u32, table_name: &'d str, name: String },
}

impl<'d> Plan<'d> {
    /// Understands two names as they are given.
    pub(super) fn of(design: &'d Design, old: &str, new: &str) -> Result<Self, EditFault> {
        let (old, new) = (old.trim(), new.trim());
        if let Some(number) = table_of_name(design, old)? {
            return Self::of_table(design, number, new);
        }
        let subject = Subject::find(design, old)?;
        let plan = match subject.is_inner() {
            true => Self::of_inner(subject, new)?,
            false => Self::of_thing(design, subject, new)?,
        };
        plan.check_name(design)?;
        Ok(plan)
    }

    /// The way back of a rename that has been made.
    pub(super) fn back(design: &'d Design, to: &str, from: &str) -> Result<Self, EditFault> {
        let symbols = &design.model.symbols;
        if let Some((table_name, number)) = symbols.tables.get_key_value(to) {
            return Ok(Self::Table { number: *number, table_name, name: from.to_owned() });
        }
        let subject = Subject::find(design, to)?;
        let (table, name) = from.split_once('.').unwrap_or(("", from));
        let name = name.rsplit('.').next().unwrap_or(name).to_owned();
        match symbols.tables.get_key_value(table) {
            Some((table_name, table)) if *table != subject.table() => {
                Ok(Self::Away { subject, table: *table, table_name, name })
            }
            _ => Ok(Self::Here { subject, name }),
        }
    }

    fn of_table(design: &'d Design, number: u32, new: &str) -> Result<Self, EditFault> {
        let table_name = design.model.symbols.table_names[number as usize].as_str();
        let file = design.material.tables[number as usize].file;
        let path = &design.material.files[file as usize].path;
        let folder = path.strip_suffix(&format!("{table_name}.yaml")).unwrap_or_default();
        let bare = new.strip_suffix(".yaml").unwrap_or(new);
        let name = bare.strip_prefix(folder).unwrap_or(bare).to_owned();
        let place = start_of(path);
        if name.contains('.') {
            let message = format!("`{table_name}` is a table, and `{name}` is not the name of one");
            return refuse(place, Slug::BadName, message, "write the table's new name alone");
        }
        if let Some((message, help)) = name_fault(&name) {
            return refuse(place, Slug::BadName, message, help);
        }
        if name == table_name {
            let message = format!("the table `{table_name}` has this name already");
            return refuse(place, Slug::DuplicateName, message, "give it another one");
        }
        if name == "design" {
            let message = "`design` is no table's name: design.yaml makes the folder a design";
            return refuse(place, Slug::BadName, message, "give the table another name");
        }
        if let Some(other) = design.model.symbols.tables.get(&name) {
            let file = design.material.tables[*other as usize].file;
            let place = start_of(&design.material.files[file as usize].path);
            let message = format!("there is a table `{name}` already");
            let help = format!("give `{table_name}` another name, or rename that one first");
            return refuse(place, Slug::DuplicateName, message, help);
        }
        Ok(Self::Table { number, table_name, name })
    }

    /// Rows and columns stay in their schedule.
    fn of_inner(subject: Subject<'d>, new: &str) -> Result<Self, EditFault> {
        let name = new.rsplit_once('.').map_or(new, |(_, last)| last).to_owned();
        let full = subject.full_name_as(&name);
        let within = full.split_once('.').map_or("", |(_, rest)| rest);
        if new == name || new == full || new == within {
            return Ok(Self::Here { subject, name });
        }
        let message = format!("`{}` stays in its schedule", subject.full_name());
        let help = format!("write the new name alone, such as `{name}`");
        refuse(subject.place(), Slug::BadName, message, help)
    }

    fn of_thing(design: &'d Design, subject: Subject<'d>, new: &str) -> Result<Self, EditFault> {
        let tables = &design.model.symbols.tables;
        let parts: Vec<&str> = new.split('.').collect();
        match parts[..] {
            [name] if tables.contains_key(name) => {
                let mut candidates = vec![subject.full_name_as(name)];
                candidates.push(format!("{name}.{}", subject.name()));
                candidates.dedup();
                Err(EditFault::Ambiguous { name: new.to_owned(), candidates })
            }
            [name] => Ok(Self::Here { subject, name: name.to_owned() }),
            [table, name] => {
                let Some((table_name, table)) = tables.get_key_value(table) else {
                    return Err(no_table(&design.model.symbols, table, name));
                };
                let (name, table) = (name.to_owned(), *table);
                Ok(match table == subject.table() {
                    true => Self::Here { subject, name },
                    false => Self::Away { subject, table, table_name, name },
                })
            }
            _ => {
                let message = format!("`{new}` is more than a table and a name");
                let name = parts.last().copied().unwrap_or_default();
                let help = format!("write `{}`", subject.full_name_as(name));
                refuse(subject.place(), Slug::BadName, message, help)
            }
        }
    }

    /// Whether the new name keeps the rules, and nothing beside it bears it.
    fn check_name(&self, design: &Design) -> Result<(), EditFault> {
        let (subject, new) = match self {
            Self::Here { subject, name } | Self::Away { subject, name, .. } => (subject, name),
            Self::Table { .. } => return Ok(()),
        };
        if let Some((message, help)) = name_fault(new) {
            return refuse(subject.place(), Slug::BadName, message, help);
        }
        if self.to() == self.from() {
            let message = format!("`{}` has this name already", self.from());
            return refuse(subject.place(), Slug::DuplicateName, message, "give it another one");
        }
        let (found, whose) = match self {
            Self::Away { table, table_name, .. } => {
                (Subject::bearer(design, *table, new), format!("in `{table_name}`"))
            }
            _ => (subject.neighbour(new), "beside it".to_owned()),
        };
        if let Some((what, place)) = found {
            let message = format!("there is {what} `{new}` {whose} already");
            let help = format!("give `{}` another name, or rename that first", self.from());
            return refuse(place, Slug::DuplicateName, message, help);
        }
        Ok(())
    }

    /// The full name before.
    pub(super) fn from(&self) -> String {
        match self {
            Self::Here { subject, .. } | Self::Away { subject, .. } => subject.full_name(),
            Self::Table { table_name, .. } => (*table_name).to_owned(),
        }
    }

    /// The full name after.
    pub(super) fn to(&self) -> String {
        match self {
            Self::Here { subject, name } => subject.full_name_as(name),
            Self::Away { table_name, name, .. } => format!("{table_name}.{name}"),
            Self::Table { name, .. } => name.clone(),
        }
    }

    pub(super) fn sort(&self) -> Sort {
        match self {
            Self::Here { subject, .. } | Self::Away { subject, .. } => subject.sort(),
            Self::Table { .. } => Sort::Table,
        }
    }

    /// Whether a thing of a table is the one that is taken along into another table.
    pub(super) fn takes(&self, table: u32, local: &str) -> bool {
        match self {
            Self::Away { subject, .. } => (subject.table(), subject.local()) == (table, local),
            _ => false,
        }
    }

    /// What a name becomes that is written in a table: the bytes that change, and what stands
    /// there then. `along` says whether it is written in what is taken along.
    pub(super) fn respelt(
        &self,
        symbols: &Symbols,
        context: u32,
        along: bool,
        written: &str,
    ) -> Option<Respelt> {
        let parts: Vec<&str> = written.split('.').collect();
        let bare = symbols.is_inside(context, &parts);
        match self {
            Self::Here { subject, name } => {
                let at = subject.part_of(symbols, context, written)?;
                Some(Respelt { at, new: name.clone(), full: None })
            }
            Self::Table { number, name, .. } => {
                let qualified = !bare && symbols.tables.get(parts[0]) == Some(number);
                qualified.then(|| Respelt { at: 0..parts[0].len(), new: name.clone(), full: None })
            }
            Self::Away { subject, table, name, .. } => {
                let skip = usize::from(!bare);
                let of = if bare { context } else { *symbols.tables.get(parts[0])? };
                let local = *parts.get(skip)?;
                let is_it = (of, local) == (subject.table(), subject.local());
                if !is_it && !along {
                    return None;
                }
                let (of, local) = if is_it { (*table, name.as_str()) } else { (of, local) };
                let full = format!("{}.{local}", symbols.table_names[of as usize]);
                let context = if along { *table } else { context };
                let at = 0..parts[..=skip].iter().map(|part| part.len() + 1).sum::<usize>() - 1;
                let new = if of == context { local.to_owned() } else { full.clone() };
                (written[at.clone()] != new).then_some(Respelt { at, new, full: Some(full) })
            }
        }
    }
}

/// A name that is written otherwise.
pub(super) struct Respelt {
    /// Its bytes that change.
    pub(super) at: Range<usize>,
    /// What stands there then.
    pub(super) new: String,
    /// The same with its table, where that is not needed but does no harm.
    pub(super) full: Option<String>,
}
