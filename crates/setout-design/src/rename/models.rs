//! Where models of parts use a name that is another one now.

use std::collections::{BTreeMap, BTreeSet};

use super::plan::Plan;
use crate::cad::words;
use crate::comparison::Renames;
use crate::model::{NodeOf, each_model_text, exported_name};
use crate::{Design, Source};

/// A line of a model that uses a name under which something was exported.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ModelUse {
    /// The root-relative path of the source text: a part's model, or what it includes.
    pub file: String,
    /// The line.
    pub line: usize,
    /// The name that stands there.
    pub old: String,
    /// The name under which it is exported now.
    pub new: String,
}

/// All uses of old names in the models of parts and in what those include, by file and line.
pub(super) fn uses(design: &Design, source: &dyn Source, plan: &Plan<'_>) -> Vec<ModelUse> {
    let names = exported_names(design, plan);
    let mut found = BTreeSet::new();
    let models = design.material.cad.keys();
    for path in models.filter(|_| !names.is_empty()) {
        let mut look = |path: &str, text: &str| look_at(path, text, &names, &mut found);
        // A model that cannot be read is a fault of the design, and then nothing is renamed.
        let _ = each_model_text(source, path, &design.material.common, &mut look);
    }
    found.into_iter().collect()
}

fn look_at(
    path: &str,
    text: &str,
    names: &BTreeMap<String, String>,
    found: &mut BTreeSet<ModelUse>,
) {
    if !path.ends_with(".scad") {
        return;
    }
    let (mut line, mut counted) = (1, 0);
    for (at, word) in words(text) {
        let Some(new) = names.get(word) else { continue };
        line += text[counted..at].matches('\n').count();
        counted = at;
        let (file, old, new) = (path.to_owned(), word.to_owned(), new.clone());
        found.insert(ModelUse { file, line, old, new });
    }
}

/// The exported names that change, and what they become.
fn exported_names(design: &Design, plan: &Plan<'_>) -> BTreeMap<String, String> {
    let renames = Renames::known(&plan.from(), &plan.to(), plan.sort());
    let nodes = design.model.nodes[..design.model.slots].iter();
    let values = nodes
        .filter(|node| matches!(node.of, NodeOf::Dimension { .. } | NodeOf::Cell { .. }))
        .map(|node| node.name.to_string());
    let columns = design.material.tables.iter().flat_map(|table| {
        table.schedules.iter().flat_map(move |schedule| {
            let full = |name: &str| format!("{}.{}.{name}", table.name, schedule.name);
            schedule.columns.iter().map(move |column| full(&column.name))
        })
    });
    let pairs =
        values.chain(columns).map(|old| (exported_name(&old), exported_name(&renames.apply(&old))));
    pairs.filter(|(old, new)| old != new).collect()
}
