//! Rules for names that no one table can check alone.

use std::collections::hash_map::Entry;
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use super::Node;
use crate::document::Table;
use crate::{Fault, Place, Slug};

/// The name under which other programs know a value: `jaw.width` is `jaw_width`.
///
/// ```
/// assert_eq!(setout_design::exported_name("drive.servo.jaw_left.neutral"), "drive_servo_jaw_left_neutral");
/// ```
pub fn exported_name(name: &str) -> String {
    name.replace('.', "_")
}

/// Values and columns by their exported names.
pub(crate) struct Exported {
    names: HashMap<String, Meant>,
    /// The columns with the slots of their cells.
    columns: Vec<(String, Place, Vec<u32>)>,
}

/// What an exported name stands for.
#[derive(Clone, Copy)]
enum Meant {
    Value(u32),
    /// An index of the columns.
    Column(usize),
}

impl Exported {
    /// The slots that a name stands for.
    pub(crate) fn slots(&self, name: &str) -> &[u32] {
        match self.names.get(name) {
            Some(Meant::Value(slot)) => std::slice::from_ref(slot),
            Some(Meant::Column(column)) => &self.columns[*column].2,
            None => &[],
        }
    }
}

/// Every value and column by its exported name. Two that meet are a fault.
pub(crate) fn exported(
    nodes: &[Node],
    columns: Vec<(String, Place, Vec<u32>)>,
) -> (Exported, Vec<Fault>) {
    let mut names: HashMap<String, Meant> = HashMap::with_capacity(nodes.len() + columns.len());
    let mut faults = Vec::new();
    let exports = |node: &&Node| {
        matches!(node.of, super::NodeOf::Dimension { .. } | super::NodeOf::Cell { .. })
    };
    let named = |meant: Meant| match meant {
        Meant::Value(slot) => (&*nodes[slot as usize].name, &nodes[slot as usize].place),
        Meant::Column(column) => (columns[column].0.as_str(), &columns[column].1),
    };
    let values = nodes.iter().enumerate().filter(|(_, node)| exports(node));
    let values = values.map(|(slot, _)| Meant::Value(slot as u32));
    for meant in values.chain((0..columns.len()).map(Meant::Column)) {
        let (name, place) = named(meant);
        match names.entry(exported_name(name)) {
            Entry::Vacant(free) => {
                free.insert(meant);
            }
            Entry::Occupied(taken) => {
                let ((first, at), exported) = (named(*taken.get()), taken.key());
                let message =
                    format!("`{name}` and `{first}` would both be exported as `{exported}`");
                let help = format!("`{first}` stands at {at}; name one of them otherwise");
                let place = place.clone();
                faults.push(Fault { place, slug: Slug::DuplicateName, message, help });
            }
        }
    }
    (Exported { names, columns }, faults)
}

/// A schedule must not bear a table's name: `servo.x` would mean two things.
pub(crate) fn schedule_faults(tables: &[Arc<Table>]) -> Vec<Fault> {
    let mut faults = Vec::new();
    let names: HashSet<&str> = tables.iter().map(|table| table.name.as_str()).collect();
    for table in tables {
        for schedule in &table.schedules {
            if names.contains(schedule.name.as_str()) || schedule.name == "design" {
                let message = format!("the schedule `{}` bears the name of a table", schedule.name);
                faults.push(Fault {
                    place: schedule.place.clone(),
                    slug: Slug::BadName,
                    message,
                    help: "name the schedule otherwise".into(),
                });
            }
        }
    }
    faults
}
