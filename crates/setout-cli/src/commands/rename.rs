//! `setout rename`: another name for something, and for all that names it.

use clap::Args;
use serde::Serialize;
use setout::{EditFault, Folder, ModelUse, Rename, RenamedFile, Replacement, Slug};

use super::Run;
use crate::call::{Call, Outcome, Stop};
use crate::draw::{Answer, Page, count, list};
use crate::edits;
use crate::status::Status;
use crate::trouble::Trouble;

/// Give something another name, with all that names it
#[derive(Debug, Args)]
#[command(
    after_help = "OLD is a dimension, schedule, check or part such as jaw.width, or a row or \
column of a schedule such as drive.servo.neutral. NEW is a name alone: what is renamed stays in \
its table. Formulas, limits, checks, cells, costs and what parts use follow; notes and other texts \
stay, and so does every other byte. Models that use the name are not edited but listed. Nothing is \
written if any value would change."
)]
pub(crate) struct Flags {
    /// What is to be renamed
    #[arg(value_name = "OLD")]
    old: String,
    /// Its new name
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
    Replacement { path: &file.path, before, after }
}

/// What was renamed, and who has to follow by hand.
struct Renamed<'a>(&'a Rename);

impl Answer for Renamed<'_> {
    fn text(&self, page: &mut Page) {
        let Rename { from, to, files, models, exports, .. } = self.0;
        page.say(0, &format!("{from} is {to} now."));
        page.gap();
        for file in files {
            let places = count(file.lines.len(), "place");
            page.say(2, &format!("{}: {places}, {}", file.path, lines(&file.lines)));
        }
        if !models.is_empty() {
            page.gap();
            page.say(0, "These models still use the old name and are not edited:");
            for ModelUse { file, line, old, new } in models {
                page.say(2, &format!("{file}:{line} uses {old}; it is {new} now"));
            }
        }
        page.gap();
        let written: Vec<String> = files.iter().map(|file| file.path.clone()).collect();
        page.say(0, &format!("No value changed. Written to {}.", list(&written)));
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
    places: usize,
    lines: &'a [usize],
}

impl<'a> From<&'a RenamedFile> for File<'a> {
    fn from(of: &'a RenamedFile) -> Self {
        Self { file: &of.path, places: of.lines.len(), lines: &of.lines }
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
