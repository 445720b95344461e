//! What a hand changed: things added, removed, renamed, and fields that differ.

use std::collections::HashMap;
use std::fmt;

use crate::Place;
use crate::model::{Model, NodeOf};

use super::renames::Renames;
use super::things::{Field, Sort, Thing, Things};

/// What was edited.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum What {
    /// The value: a formula, a text, a rate.
    Value,
    /// The thing is new.
    Added,
    /// The thing is gone.
    Removed,
    /// The thing has another name.
    Renamed,
    /// `min` and `max`.
    Limits,
    /// The ends of a travel.
    Travel,
    /// A tolerance or a spread.
    Tolerance,
    /// The unit it is shown in.
    Unit,
    /// The texts that are allowed.
    Choices,
    /// A remark.
    Note,
    /// What a check requires.
    Requirement,
    /// Below which margin a check is tight.
    Tight,
    /// Why a check is there.
    Reason,
    /// How a part is made.
    Made,
    /// What a part is made of.
    Material,
    /// A part's model.
    Cad,
    /// What a part uses.
    Uses,
    /// The design's currency.
    Currency,
    /// A file that the design is exported to.
    Export,
    /// A schedule's row.
    Row,
}

impl What {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Value => "value",
            Self::Added => "added",
            Self::Removed => "removed",
            Self::Renamed => "renamed",
            Self::Limits => "limits",
            Self::Travel => "travel",
            Self::Tolerance => "tolerance",
            Self::Unit => "unit",
            Self::Choices => "choices",
            Self::Note => "note",
            Self::Requirement => "requirement",
            Self::Tight => "tight",
            Self::Reason => "reason",
            Self::Made => "made",
            Self::Material => "material",
            Self::Cad => "cad",
            Self::Uses => "uses",
            Self::Currency => "currency",
            Self::Export => "export",
            Self::Row => "row",
        }
    }
}

impl fmt::Display for What {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

/// One edit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edited {
    /// The full name, after; that before for what was removed.
    pub name: String,
    /// What was edited.
    pub what: What,
    /// As it was; absent for what is new.
    pub before: Option<String>,
    /// As it is; absent for what is gone.
    pub after: Option<String>,
    /// Where it stands, or stood.
    pub place: Place,
    /// Whether the value after stands where a formula stood.
    pub overridden: bool,
    pub(crate) sort: Sort,
}

impl Edited {
    /// The nodes whose value this edit sets, in the model after it.
    pub(crate) fn value_nodes(&self, model: &Model) -> Vec<u32> {
        let sets = matches!(self.what, What::Value | What::Added);
        if !sets {
            return Vec::new();
        }
        let own = |name: &str| name == self.name;
        let inside = format!("{}.", self.name);
        let nodes = model.nodes[..model.slots].iter().enumerate();
        match self.sort {
            Sort::Dimension | Sort::Cell | Sort::Price => {
                let found = nodes.filter(|(_, node)| own(&node.name)).map(|(slot, _)| slot as u32);
                found.take(1).collect()
            }
            Sort::Row | Sort::Schedule | Sort::Part | Sort::Table => nodes
                .filter(|(_, node)| node.name.starts_with(&inside))
                .map(|(slot, _)| slot as u32)
                .collect(),
            Sort::Column => {
                let Some((schedule, column)) = self.name.rsplit_once('.') else {
                    return Vec::new();
                };
                let (inside, ending) = (format!("{schedule}."), format!(".{column}"));
                let cell = |node: &crate::model::Node| {
                    matches!(node.of, NodeOf::Cell { .. })
                        && node.name.starts_with(&inside)
                        && node.name.ends_with(&ending)
                };
                nodes.filter(|(_, node)| cell(node)).map(|(slot, _)| slot as u32).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Whether the edit alone makes exported files differ.
    pub(crate) fn changes_exports(&self) -> bool {
        let exported = matches!(
            self.sort,
            Sort::Table | Sort::Dimension | Sort::Schedule | Sort::Column | Sort::Row | Sort::Cell
        );
        exported
            && !matches!(self.what, What::Note | What::Choices | What::Tolerance | What::Travel)
    }
}

/// All edits between two designs, in the order of the tables after, removals last.
pub(crate) fn between(things: &Things, renames: &Renames) -> Vec<Edited> {
    let Things { old, new } = things;
    let old_by_name: HashMap<(&str, Sort), &Thing> =
        old.iter().map(|thing| ((thing.name.as_str(), thing.sort), thing)).collect();
    let new_by_name: HashMap<(&str, Sort), &Thing> =
        new.iter().map(|thing| ((thing.name.as_str(), thing.sort), thing)).collect();
    let mut edits = renames.edits(new);
    for thing in new {
        match old_by_name.get(&(thing.name.as_str(), thing.sort)) {
            Some(old) => field_edits(old, thing, &mut edits),
            None if is_inside_another(thing, &old_by_name) => {}
            None => edits.push(edit(thing, What::Added, None, Some(summary(thing)))),
        }
    }
    for thing in old {
        let gone = !new_by_name.contains_key(&(thing.name.as_str(), thing.sort));
        if gone && !is_inside_another(thing, &new_by_name) {
            edits.push(edit(thing, What::Removed, Some(summary(thing)), None));
        }
    }
    edits
}

fn edit(thing: &Thing, what: What, before: Option<String>, after: Option<String>) -> Edited {
    Edited {
        name: thing.name.clone(),
        what,
        before,
        after,
        place: thing.place.clone(),
        overridden: false,
        sort: thing.sort,
    }
}

/// A cell of a new row, a price of a new part and the like are told with what they are part of.
/// Dimensions of a new table are told one by one.
fn is_inside_another(thing: &Thing, others: &HashMap<(&str, Sort), &Thing>) -> bool {
    let parent = |sort: Sort, levels: usize| {
        let name = (0..levels).fold(thing.name.as_str(), |name, _| {
            name.rsplit_once('.').map_or(name, |(before, _)| before)
        });
        !others.contains_key(&(name, sort))
    };
    match thing.sort {
        Sort::Cell => {
            let column = || {
                let mut parts: Vec<&str> = thing.name.split('.').collect();
                if parts.len() == 4 {
                    parts.remove(2);
                }
                !others.contains_key(&(parts.join(".").as_str(), Sort::Column))
            };
            parent(Sort::Row, 1) || column()
        }
        Sort::Row | Sort::Column => parent(Sort::Schedule, 1),
        Sort::Price => parent(Sort::Part, 1),
        _ => false,
    }
}

/// A thing in a few words, for what was added or removed.
fn summary(thing: &Thing) -> String {
    let first = thing.fields.first().map_or("", |field| field.text.as_str());
    match thing.sort {
        Sort::Dimension | Sort::Cell | Sort::Price | Sort::Row | Sort::Column | Sort::Check => {
            first.to_owned()
        }
        Sort::Table => "table".to_owned(),
        Sort::Schedule => "schedule".to_owned(),
        Sort::Part => "part".to_owned(),
        Sort::Design => first.to_owned(),
    }
}

fn field_edits(old: &Thing, new: &Thing, edits: &mut Vec<Edited>) {
    let kinds = |thing: &Thing| thing.fields.iter().map(|field| field.what).collect::<Vec<_>>();
    let mut all = kinds(old);
    all.extend(kinds(new));
    all.sort_unstable();
    all.dedup();
    for what in all {
        let of = |thing: &Thing| -> Vec<Field> {
            let mut fields: Vec<Field> =
                thing.fields.iter().filter(|field| field.what == what).cloned().collect();
            // Exports may stand in any order.
            if what == What::Export {
                fields.sort_by(|a, b| a.key.cmp(&b.key));
            }
            fields
        };
        let (before, after) = (of(old), of(new));
        if before.iter().map(|f| &f.key).eq(after.iter().map(|f| &f.key)) {
            continue;
        }
        let text = |fields: Vec<Field>| {
            let texts: Vec<String> = fields.into_iter().map(|field| field.text).collect();
            (!texts.is_empty()).then(|| texts.join("; "))
        };
        edits.push(edit(new, what, text(before), text(after)));
    }
}
