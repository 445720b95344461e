//! Rules for names that no one table can check alone.

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

/// Every value and column by its exported name: the slots that it stands for. Two that meet are
/// a fault.
pub(crate) fn exported(
    nodes: &[Node],
    columns: Vec<(String, Place, Vec<u32>)>,
) -> (HashMap<String, Vec<u32>>, Vec<Fault>) {
    let mut names: HashMap<String, (Arc<str>, Place, Vec<u32>)> = HashMap::new();
    let mut faults = Vec::new();
    let exports = |node: &&Node| {
        matches!(node.of, super::NodeOf::Dimension { .. } | super::NodeOf::Cell { .. })
    };
    let values = nodes.iter().enumerate().filter(|(_, node)| exports(node));
    let values =
        values.map(|(slot, node)| (node.name.clone(), node.place.clone(), vec![slot as u32]));
    let columns = columns.into_iter().map(|(name, place, slots)| (Arc::from(name), place, slots));
    for (name, place, slots) in values.chain(columns) {
        let exported = exported_name(&name);
        if let Some((first, at, _)) = names.get(&exported) {
            let message = format!("`{name}` and `{first}` would both be exported as `{exported}`");
            let help = format!("`{first}` stands at {at}; name one of them otherwise");
            faults.push(Fault { place, slug: Slug::DuplicateName, message, help });
            continue;
        }
        names.insert(exported, (name, place, slots));
    }
    (names.into_iter().map(|(name, (_, _, slots))| (name, slots)).collect(), faults)
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
