//! Three files of a table.

use std::path::Path;

use serde::Serialize;
use setout::merge::{Labels, MARKS, MergeConflict, MergedTable, ThreeWay, merge_table};
use setout::{Folder, Slug, replace_file};

use super::Flags;
use super::broken::{self, Broken, Retold};
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
    let table = merge_table(three, &labels(flags, paths)?);
    let path = flags.path.clone().unwrap_or_else(|| paths[1].display().to_string());
    let written = if flags.in_place { Some(paths[1]) } else { flags.output.as_deref() };
    // For git the other files of the tree are not there yet, and marks are told of already.
    let is_judged = flags.path.is_none() && table.conflicts.is_empty();
    let place = call.here.join(written.unwrap_or(paths[1]));
    let broken = if is_judged { judged(&place, three, &table) } else { None };
    let merged = Merged { table: &table, path: &path, broken: broken.unwrap_or_default() };
    let troubles = &merged.broken.troubles;
    let status = Status::failing_if(!table.conflicts.is_empty() || !merged.broken.is_nothing());
    let status = status.faulty_if(!troubles.is_empty());
    // What can fail is done before the file is touched: git merges the lines then, and must find
    // its own.
    if call.form == Form::Json {
        call.show(&merged, troubles, status)?;
    } else {
        if written.is_none() {
            call.write(&table.text)?;
        }
        call.remark(&merged)?;
    }
    if let Some(file) = written {
        write(call, file, &table.text)?;
    }
    Ok(status)
}

/// More signs than anybody asks for.
const MOST_MARKS: usize = 100;

fn labels(flags: &Flags, paths: [&Path; 3]) -> Result<Labels, Trouble> {
    let marks = flags.marks.unwrap_or(MARKS);
    if !(MARKS..=MOST_MARKS).contains(&marks) {
        let message = format!("a mark of {marks} signs is not written");
        return Err(Trouble::bad_call(message, format!("write {MARKS} to {MOST_MARKS}")));
    }
    let own = Labels::default();
    let [base, ours, theirs] = match flags.labels.as_deref() {
        // Git before 2.44 has no names to give, and leaves the letters that stand for them.
        Some(letters) if letters == ["%S", "%X", "%Y"] => [own.base, own.ours, own.theirs],
        Some([base, ours, theirs]) => [base.clone(), ours.clone(), theirs.clone()],
        _ => paths.map(|path| path.display().to_string()),
    };
    Ok(Labels { base, ours, theirs, marks })
}

fn write(call: &Call<'_, '_>, file: &Path, text: &str) -> Result<(), Stop> {
    replace_file(&call.here.join(file), text.as_bytes()).map_err(|error| {
        let message = format!("{} cannot be written: {error}", file.display());
        let help = "nothing was changed: make room or give access, then do it again";
        Trouble::of_call(Slug::Io.as_str(), message, help).into()
    })
}

/// What the merged table breaks in the design that it is a table of, if it is one.
fn judged(file: &Path, three: ThreeWay<'_>, table: &MergedTable) -> Option<Broken> {
    let folder = Folder::find(file.parent()?).ok()?;
    if file.parent()?.canonicalize().ok()? != folder.design_dir() {
        return None;
    }
    let name = file.file_name()?.to_str().filter(|name| name.ends_with(".yaml"))?;
    let path = match folder.folder() {
        "" => name.to_owned(),
        folder => format!("{folder}/{name}"),
    };
    let with =
        |text: &str| Retold { of: &folder, tables: [(path.clone(), Some(text.to_owned()))].into() };
    let sides = [with(three.ours), with(three.theirs)];
    Some(Broken::by_both([&sides[0], &sides[1]], &with(&table.text)))
}

/// What became of the table.
struct Merged<'a> {
    table: &'a MergedTable,
    path: &'a str,
    broken: Broken,
}

impl Answer for Merged<'_> {
    fn text(&self, page: &mut Page) {
        let MergedTable { conflicts, by_lines, .. } = self.table;
        if let Some(why) = by_lines {
            page.say(0, &format!("{}: its lines were merged, since {why}.", self.path));
        }
        if !conflicts.is_empty() {
            let settle = format!("{} to settle", count(conflicts.len(), "conflict"));
            page.say(0, &format!("{}: {settle}.", self.path));
            conflicts.iter().for_each(|conflict| draw(conflict, page));
        }
        if !self.broken.is_nothing() {
            let told = self.broken.told();
            page.say(
                0,
                &format!(
                    "{}: merged without a conflict, but it brings {told}, which neither side has \
                     by itself.",
                    self.path
                ),
            );
            self.broken.text(page);
            crate::draw::faults(&self.broken.troubles, page);
        }
    }

    fn json(&self) -> impl Serialize {
        Keys {
            text: &self.table.text,
            conflicts: self.table.conflicts.iter().map(|of| Conflict::of(None, of)).collect(),
            by_lines: self.table.by_lines.as_deref(),
            broken: self.broken.json(),
        }
    }
}

/// A conflict in a line.
pub(super) fn draw(conflict: &MergeConflict, page: &mut Page) {
    let name = if conflict.name.is_empty() { "lines" } else { &conflict.name };
    page.say(2, &format!("line {}: {name} {}", conflict.line, conflict.what.as_str()));
}

#[derive(Serialize)]
struct Keys<'a> {
    text: &'a str,
    conflicts: Vec<Conflict<'a>>,
    by_lines: Option<&'a str>,
    #[serde(flatten)]
    broken: broken::Keys<'a>,
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
