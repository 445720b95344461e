//! Three files of a table.

use std::path::Path;

use serde::Serialize;
use setout::merge::{Labels, MergeConflict, MergedTable, ThreeWay, merge_table};
use setout::{Design, Folder, Memory, Slug, Source, replace_file};

use super::Flags;
use crate::call::{Call, Outcome, Stop};
use crate::draw::{Answer, Page, count};
use crate::flags::Form;
use crate::status::Status;
use crate::trouble::Trouble;

pub(super) fn run(call: &mut Call<'_, '_>, flags: &Flags, paths: [&Path; 3]) -> Outcome {
    let mut texts = Vec::with_capacity(3);
    for path in paths {
        texts.push(call.input(path)?);
    }
    let three = ThreeWay { base: &texts[0], ours: &texts[1], theirs: &texts[2] };
    let table = merge_table(three, &labels(flags, paths));
    let path = flags.path.clone().unwrap_or_else(|| paths[1].display().to_string());
    // For git the other files of the tree are not there yet.
    let troubles =
        if flags.in_place { Vec::new() } else { brought(call, paths[1], &texts[1], &table) };
    let written = match (flags.in_place, &flags.output) {
        (true, _) => Some(paths[1]),
        (false, output) => output.as_deref(),
    };
    if let Some(file) = written {
        write(call, file, &table.text)?;
    }
    let merged = Merged { table: &table, path: &path };
    let status = Status::failing_if(!table.conflicts.is_empty() || !troubles.is_empty());
    if call.form == Form::Json {
        call.show(&merged, &[], status)?;
        return Ok(status);
    }
    if written.is_none() {
        call.write(&table.text)?;
    }
    call.remark(&merged)?;
    if !troubles.is_empty() {
        call.remark(&Brought { troubles: &troubles })?;
    }
    Ok(status)
}

fn labels(flags: &Flags, [base, ours, theirs]: [&Path; 3]) -> Labels {
    match flags.labels.as_deref() {
        Some([base, ours, theirs]) => {
            Labels { base: base.clone(), ours: ours.clone(), theirs: theirs.clone() }
        }
        _ => {
            let name = |path: &Path| path.display().to_string();
            Labels { base: name(base), ours: name(ours), theirs: name(theirs) }
        }
    }
}

fn write(call: &Call<'_, '_>, file: &Path, text: &str) -> Result<(), Stop> {
    replace_file(&call.here.join(file), text.as_bytes()).map_err(|error| {
        let message = format!("{} cannot be written: {error}", file.display());
        let help = "nothing was changed: make room or give access, then do it again";
        Trouble::of_call(Slug::Io.as_str(), message, help).into()
    })
}

/// The faults that the merged table brings into the design that it is a table of, if it is one.
fn brought(call: &Call<'_, '_>, path: &Path, ours: &str, table: &MergedTable) -> Vec<Trouble> {
    let file = call.here.join(path);
    let found = || {
        let folder = Folder::find(file.parent()?).ok()?;
        let name = file.file_name()?.to_str()?;
        let own =
            folder.list().ok()?.into_iter().find(|path| path.rsplit('/').next() == Some(name))?;
        let texts = folder
            .list()
            .ok()?
            .into_iter()
            .filter_map(|path| Some((path.clone(), folder.read(&path).ok()?)));
        let mut memory = Memory::new(texts.collect::<Vec<_>>());
        memory.insert(own.clone(), ours);
        let before = Design::read(&memory).evaluate();
        memory.insert(own, table.text.as_str());
        let after = Design::read(&memory).evaluate();
        let new = after.faults().iter().filter(|fault| {
            !before
                .faults()
                .iter()
                .any(|old| (old.slug, &old.message) == (fault.slug, &fault.message))
        });
        let new: Vec<_> = new.cloned().collect();
        Some(Trouble::of_design(&new, &memory))
    };
    // Marks are faults of the text, and told of already.
    if table.conflicts.is_empty() { found().unwrap_or_default() } else { Vec::new() }
}

/// What became of the table.
struct Merged<'a> {
    table: &'a MergedTable,
    path: &'a str,
}

impl Answer for Merged<'_> {
    fn text(&self, page: &mut Page) {
        let MergedTable { conflicts, by_lines, .. } = self.table;
        if let Some(why) = by_lines {
            page.say(0, &format!("{}: its lines were merged, since {why}.", self.path));
        }
        if conflicts.is_empty() {
            return;
        }
        page.say(0, &format!("{}: {} to settle.", self.path, count(conflicts.len(), "conflict")));
        conflicts.iter().for_each(|conflict| draw(conflict, page));
    }

    fn json(&self) -> impl Serialize {
        Keys {
            text: &self.table.text,
            conflicts: self.table.conflicts.iter().map(|of| Conflict::of(None, of)).collect(),
            by_lines: self.table.by_lines.as_deref(),
        }
    }
}

/// A conflict in a line.
pub(super) fn draw(conflict: &MergeConflict, page: &mut Page) {
    let name = if conflict.name.is_empty() { "lines" } else { &conflict.name };
    page.say(2, &format!("line {}: {name} {}", conflict.line, conflict.what.as_str()));
}

struct Brought<'a> {
    troubles: &'a [Trouble],
}

impl Answer for Brought<'_> {
    fn text(&self, page: &mut Page) {
        page.say(0, "The design would have new faults with this table:");
        crate::draw::faults(self.troubles, page);
    }

    fn json(&self) -> impl Serialize {}
}

#[derive(Serialize)]
struct Keys<'a> {
    text: &'a str,
    conflicts: Vec<Conflict<'a>>,
    by_lines: Option<&'a str>,
}

#[derive(Serialize)]
pub(super) struct Conflict<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<&'a str>,
    name: &'a str,
    line: usize,
    what: &'a str,
    base: Option<&'a str>,
    ours: Option<&'a str>,
    theirs: Option<&'a str>,
}

impl<'a> Conflict<'a> {
    pub(super) fn of(file: Option<&'a str>, conflict: &'a MergeConflict) -> Self {
        Self {
            file,
            name: &conflict.name,
            line: conflict.line,
            what: conflict.what.slug(),
            base: conflict.base.as_deref(),
            ours: conflict.ours.as_deref(),
            theirs: conflict.theirs.as_deref(),
        }
    }
}
