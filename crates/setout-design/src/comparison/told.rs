//! What the difference of one name comes from.

use super::causes::Causes;
use super::things::Things;
use super::{Renames, Sides, edits};
use crate::model::{Symbol, Target};
use crate::{Edited, Evaluation, What};

/// Why one name differs between two evaluations.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct Told {
    /// What of its own definition was edited; remarks are no part of one.
    pub own: Vec<What>,
    /// What it was called before, if that was another name.
    pub renamed_from: Option<String>,
    /// The edits from which the difference follows, itself apart.
    pub because: Vec<String>,
    /// Whether none of those alone is to blame.
    pub any_of: bool,
    /// All edits in what it depends on, itself among them.
    pub edits: Vec<Edited>,
}

impl Told {
    /// Sets two evaluations side by side for the sake of one name, as it is called after.
    pub(crate) fn of(
        before: &Evaluation,
        after: &Evaluation,
        renames: Renames,
        name: &str,
    ) -> Self {
        let things = Things::of(&before.design, &after.design, &renames);
        let edits = edits::between(&things, &renames);
        let sides = Sides::new(before, after, renames, &edits);
        let causes = Causes::find(&sides, &edits, &sides.changed_slots());
        let own: Vec<&Edited> = edits.iter().filter(|edit| is_own(edit, name)).collect();
        let (mut because, mut any_of) = sides.because(&causes, name);
        because.retain(|edit| !own.iter().any(|own| own.name == *edit));
        if because.is_empty() && own.is_empty() {
            because = edits.iter().filter(|edit| !edit.is_remark()).map(named).collect();
            any_of = because.len() > 1;
        }
        because.sort();
        because.dedup();
        let renamed = own.iter().find(|edit| edit.what == What::Renamed && edit.name == name);
        Self {
            own: own.iter().map(|edit| edit.what).collect(),
            renamed_from: renamed.and_then(|edit| edit.before.clone()),
            because,
            any_of,
            edits,
        }
    }
}

impl Sides<'_> {
    /// The edits behind the value or the check of this name.
    fn because(&self, causes: &Causes, name: &str) -> (Vec<String>, bool) {
        let symbols = &self.after.design.model.symbols;
        if let Ok(Target::Slot(slot)) = symbols.find(None, name) {
            return causes.of(slot);
        }
        let check = name.split_once('.').and_then(|(table, local)| {
            match symbols.names[*symbols.tables.get(table)? as usize].get(local) {
                Some(Symbol::Check(check)) => Some(*check),
                _ => None,
            }
        });
        let Some(check) = check else { return (Vec::new(), false) };
        let node = self.after.design.model.checks[check as usize].node;
        (causes.of_check(node, name, &std::collections::HashSet::new()), false)
    }
}

impl Edited {
    /// Whether it changes nothing that is computed or required.
    pub fn is_remark(&self) -> bool {
        matches!(self.what, What::Note | What::Reason)
    }
}

fn named(edit: &Edited) -> String {
    edit.name.clone()
}

/// Whether an edit is one of the definition of `name`: its own, or that of a row, a schedule, a
/// part or a table that holds it.
fn is_own(edit: &Edited, name: &str) -> bool {
    let holds = name.strip_prefix(&*edit.name).is_some_and(|rest| {
        rest.is_empty() || rest.starts_with('.') && matches!(edit.what, What::Added | What::Renamed)
    });
    holds && !edit.is_remark() && !matches!(edit.what, What::Uses | What::Cad)
}
