//! A draft becomes a table: it is read as part of a design, and what would be a fault or another
//! value than the file's is left out until all that remains reads clean.

mod values;

use std::collections::{HashMap, HashSet};

use setout_design::{Design, Evaluation, Memory, Source, SourceError};

use crate::entry::{Draft, Entry};
use crate::report::{Imported, one_line};
use crate::yaml::{self, Drawn};
use values::Values;

/// So often a draft is read. A round takes out everything that is wrong in it and all that
/// depends on that, so that more than a few are only needed by files made to that end.
const MOST_ROUNDS: usize = 24;

/// The design with a table more.
struct Beside<'a> {
    design: &'a dyn Source,
    path: String,
    text: &'a str,
}

impl Source for Beside<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        let mut paths = self.design.list()?;
        paths.retain(|path| *path != self.path);
        paths.push(self.path.clone());
        paths.sort();
        Ok(paths)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        if path == self.path { Ok(self.text.into()) } else { self.design.read(path) }
    }
}

/// The table of what can be taken, with its report.
pub(crate) fn proved(mut draft: Draft, table: &str, design: Option<&dyn Source>) -> Imported {
    let alone = Memory::new([("design.yaml", "setout: 1\nname: import\n")]);
    let design = design.unwrap_or(&alone);
    let folder = Design::read(design).folder().to_owned();
    let path =
        if folder.is_empty() { format!("{table}.yaml") } else { format!("{folder}/{table}.yaml") };
    for _ in 0..MOST_ROUNDS {
        let drawn = yaml::draw(&draft);
        let beside = Beside { design, path: path.clone(), text: &drawn.text };
        let evaluation = Design::read(&beside).evaluate();
        let wrong = wrong(&draft, &drawn, &evaluation, table, &path);
        if wrong.is_empty() {
            return report(draft, drawn.text);
        }
        leave_out(&mut draft, wrong);
    }
    let rest: HashMap<usize, String> = (0..draft.entries.len() + draft.schedules.len())
        .map(|i| (i, "too much is wrong around it".into()))
        .collect();
    leave_out(&mut draft, rest);
    report(draft, String::new())
}

/// What is wrong with which entry or schedule.
fn wrong(
    draft: &Draft,
    drawn: &Drawn,
    evaluation: &Evaluation,
    table: &str,
    path: &str,
) -> HashMap<usize, String> {
    let mut wrong = HashMap::new();
    for fault in evaluation.faults() {
        let index = if *fault.place.file == *path {
            drawn.at(fault.place.line)
        } else {
            named_in(draft, &fault.message, table)
        };
        if let Some(index) = index {
            wrong.entry(index).or_insert_with(|| fault.message.clone());
        }
    }
    let values = Values::of(evaluation, table);
    let cells = draft.schedules.iter().map(|schedule| schedule.cells.as_slice());
    for (index, entries) in draft.entries.chunks(1).chain(cells).enumerate() {
        if !wrong.contains_key(&index)
            && let Some(why) = entries.iter().find_map(|entry| values.differs(entry))
        {
            wrong.insert(index, why);
        }
    }
    wrong
}

/// A fault of another table that names one of ours: two names that meet.
fn named_in(draft: &Draft, message: &str, table: &str) -> Option<usize> {
    let meets = |entry: &Entry| message.contains(&format!("`{table}.{}`", entry.name));
    draft.entries.iter().position(meets)
}

/// Takes what is wrong out of the draft, and all that reads it. Limits and tolerances go before
/// the value does.
fn leave_out(draft: &mut Draft, wrong: HashMap<usize, String>) {
    let count = draft.entries.len();
    let mut gone: HashMap<String, ()> = HashMap::new();
    let mut kept = Vec::new();
    for (index, mut entry) in std::mem::take(&mut draft.entries).into_iter().enumerate() {
        match wrong.get(&index) {
            Some(why) if entry.tolerance.is_some() => {
                let tolerance = entry.tolerance.take().unwrap_or_default();
                draft
                    .left_out
                    .push(entry.left_out(format!("its tolerance {tolerance} only: {why}")));
                kept.push(entry);
            }
            Some(why) if entry.min.is_some() || entry.max.is_some() => {
                draft.left_out.push(entry.left_out(format!("its limits only: {why}")));
                (entry.min, entry.max) = (None, None);
                kept.push(entry);
            }
            Some(why) => {
                draft.left_out.push(entry.left_out(why));
                gone.insert(entry.name, ());
            }
            None => kept.push(entry),
        }
    }
    // An entry reads only those before it, so that one pass finds all that depend on what is gone.
    for entry in kept {
        match entry.reads.iter().find(|name| gone.contains_key(*name)) {
            Some(name) => {
                let source = draft.sources.get(name).unwrap_or(name);
                draft
                    .left_out
                    .push(entry.left_out(format!("it depends on `{source}`, which is left out")));
                gone.insert(entry.name, ());
            }
            None => draft.entries.push(entry),
        }
    }
    for (index, schedule) in (count..).zip(std::mem::take(&mut draft.schedules)) {
        match wrong.get(&index) {
            Some(why) => {
                let cells =
                    schedule.cells.iter().map(|cell| cell.left_out(format!("its schedule: {why}")));
                draft.left_out.extend(cells);
            }
            None => draft.schedules.push(schedule),
        }
    }
}

fn report(draft: Draft, text: String) -> Imported {
    let mut taken: Vec<String> = draft.entries.iter().map(|entry| entry.name.clone()).collect();
    for schedule in &draft.schedules {
        taken.extend(schedule.cells.iter().map(|cell| cell.name.clone()));
    }
    let known: HashSet<&str> = taken.iter().map(String::as_str).collect();
    let mut assumed = Vec::new();
    for (what, names) in &draft.guesses {
        let names: Vec<&str> =
            names.iter().map(String::as_str).filter(|n| known.contains(n)).collect();
        if !names.is_empty() {
            assumed.push(format!("{what}: {}", names.join(", ")));
        }
    }
    assumed.extend(draft.assumed);
    let renamed = draft.renamed.into_iter().filter(|new| known.contains(&*new.to)).collect();
    let mut left_out = draft.left_out;
    for left in &mut left_out {
        left.why = one_line(&left.why);
    }
    left_out.sort();
    let text = if taken.is_empty() { String::new() } else { text };
    Imported { text, assumed, left_out, renamed, taken }
}
