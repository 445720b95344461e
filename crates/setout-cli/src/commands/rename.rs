//! `setout rename`: another name or another table for something, and for all that names it.

use std::collections::BTreeMap;

use clap::Args;
use serde::Serialize;
use setout::{EditFault, Folder, ModelUse, MovedLines, Rename, RenamedFile, Replacement, Slug};

use super::Run;
use crate::call::{Call, Outcome, Stop};
use crate::draw::{Answer, Page, count, list};
use crate::edits;
use crate::status::Status;
use crate::trouble::Trouble;

/// Give something another name or another table, with all that names it
#[derive(Debug, Args)]
#[command(
    after_help = "OLD is a dimension, schedule, check or part such as jaw.width, a row or column of \
a schedule such as drive.servo.neutral, or a table such as jaw. NEW is a name alone, or one with a \
table before it: setout rename jaw.width frame.width moves the dimension into the table frame, with \
its comments; it stands there behind the others. The file of a table gets the table's new name. \
Formulas, limits, checks, cells, costs and what parts use follow; notes and other texts stay, and \
so does every other byte. Models that use the name are not edited but listed. Nothing is written \
if any value would change."
)]
pub(crate) struct Flags {
    /// What is to be renamed
    #[arg(value_name = "OLD")]
    old: String,
    /// Its new name, or its new table and name
    #[arg(value_name = "NEW")]
    new: String,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        let faults = opened.faults();
        if !faults.is_empty() {
            return Err(Stop::Refused(Trouble::of_design(&faults, &opened.folder)));
        }
        let design = opened.evaluation.design();
        let rename = design.rename(&opened.folder, &self.old, &self.new);
        let rename = rename.map_err(|fault| Stop::Refused(refused(fault, &opened.folder)))?;
        let files: Vec<Replacement<'_>> = rename.files.iter().map(replacement).collect();
        opened.folder.write_all_if_unchanged(&files)?;
        call.show(&Renamed(&rename), &[], Status::Good)
    }
}

fn refused(fault: EditFault, texts: &Folder) -> Vec<Trouble> {
    match fault {
        EditFault::Unwritable { name, reason } => {
            let message = format!("`{name}` is not renamed: {reason}");
            vec![Trouble::of_call(Slug::Io.as_str(), message, "rename it by hand")]
        }
        fault => edits::troubles(fault, texts),
    }
}

fn replacement(file: &RenamedFile) -> Replacement<'_> {
    let (before, after) = (Some(file.before.as_bytes()), file.after.as_bytes());
    Replacement { path: &file.path, from: file.path_before.as_deref(), before, after }
}

/// What was renamed, and who has to follow by hand.
struct Renamed<'a>(&'a Rename);

impl Answer for Renamed<'_> {
    fn text(&self, page: &mut Page) {
        let Rename { from, to, files, models, exports, .. } = self.0;
        page.say(0, &format!("{from} is {to} now."));
        page.gap();
        for file in files {
            page.say(2, &format!("{}: {}", file.path, told(file)));
        }
        draw_models(models, page);
        page.gap();
        let written: Vec<String> = files.iter().map(|file| file.path.clone()).collect();
        let gone = files.iter().find_map(|file| file.path_before.as_ref());
        let gone = gone.map_or_else(String::new, |path| format!("; {path} is gone"));
        page.say(0, &format!("No value changed. Written to {}{gone}.", list(&written)));
        if !exports.is_empty() {
            page.say(0, "The exports are out of date now; setout export writes them.");
        }
    }

    fn json(&self) -> impl Serialize {
        let Rename { from, to, files, models, exports, .. } = self.0;
        Keys {
            renamed: Pair { from, to },
            files: files.iter().map(Into::into).collect(),
            cad: models.iter().map(Into::into).collect(),
            exports,
        }
    }
}

/// The models that have to follow by hand, name by name.
fn draw_models(models: &[ModelUse], page: &mut Page) {
    if models.is_empty() {
        return;
    }
    page.gap();
    page.say(0, "These models still use the old name and are not edited:");
    let mut names: BTreeMap<(&str, &str, &str), Vec<usize>> = BTreeMap::new();
    for ModelUse { file, line, old, new } in models {
        names.entry((file, old, new)).or_default().push(*line);
    }
    let mut last = "";
    for ((file, old, new), used) in names {
        if last != file {
            page.say(2, file);
            last = file;
        }
        page.say(4, &format!("{old} is {new} now: {}", lines(&used)));
    }
}

/// What became of a file, as half a sentence.
fn told(file: &RenamedFile) -> String {
    let moved = |lines: &MovedLines, what: &str| {
        format!("{} {what} line {}", count(lines.count, "line"), lines.line)
    };
    let mut told: Vec<String> = Vec::new();
    told.extend(file.path_before.as_ref().map(|path| format!("it was {path}")));
    told.extend(file.put_in.as_ref().map(|lines| moved(lines, "put in at")));
    told.extend(file.taken_out.as_ref().map(|lines| moved(lines, "taken out at")));
    if !file.lines.is_empty() {
        let places = count(file.lines.len(), "place");
        told.push(format!("{places}, {}", lines(&file.lines)));
    }
    told.join("; ")
}

/// `line 4`, `lines 4, 9 and 12`.
fn lines(lines: &[usize]) -> String {
    let mut each = lines.to_vec();
    each.dedup();
    let each: Vec<String> = each.iter().map(ToString::to_string).collect();
    let word = if each.len() == 1 { "line" } else { "lines" };
    format!("{word} {}", list(&each))
}

#[derive(Serialize)]
struct Keys<'a> {
    renamed: Pair<'a>,
    files: Vec<File<'a>>,
    cad: Vec<Cad<'a>>,
    exports: &'a [String],
}

#[derive(Serialize)]
struct Pair<'a> {
    from: &'a str,
    to: &'a str,
}

#[derive(Serialize)]
struct File<'a> {
    file: &'a str,
    /// Only of a file that had another name.
    #[serde(skip_serializing_if = "Option::is_none")]
    file_before: Option<&'a str>,
    places: usize,
    lines: &'a [usize],
    #[serde(skip_serializing_if = "Option::is_none")]
    put_in: Option<Moved>,
    #[serde(skip_serializing_if = "Option::is_none")]
    taken_out: Option<Moved>,
}

#[derive(Serialize)]
struct Moved {
    line: usize,
    count: usize,
}

impl From<MovedLines> for Moved {
    fn from(MovedLines { line, count }: MovedLines) -> Self {
        Self { line, count }
    }
}

impl<'a> From<&'a RenamedFile> for File<'a> {
    fn from(of: &'a RenamedFile) -> Self {
        Self {
            file: &of.path,
            file_before: of.path_before.as_deref(),
            places: of.lines.len(),
            lines: &of.lines,
            put_in: of.put_in.map(Into::into),
            taken_out: of.taken_out.map(Into::into),
        }
    }
}

#[derive(Serialize)]
struct Cad<'a> {
    file: &'a str,
    line: usize,
    old: &'a str,
    new: &'a str,
}

impl<'a> From<&'a ModelUse> for Cad<'a> {
    fn from(of: &'a ModelUse) -> Self {
        Self { file: &of.file, line: of.line, old: &of.old, new: &of.new }
    }
}
