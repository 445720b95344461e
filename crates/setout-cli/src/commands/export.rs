//! `setout export`: the files that other programs read.

mod file;
mod target;

use std::path::PathBuf;

use clap::Args;
use serde::Serialize;
use setout::{Evaluation, Replacement, Verdict, export_text};

use super::Run;
use crate::call::{Call, Opened, Outcome, Stop};
use crate::draw::{Answer, Columns, Page};
use crate::flags::Form;
use crate::status::Status;
use crate::trouble::Trouble;
use file::File;
pub(super) use target::inside;

/// Write the files that other programs read
#[derive(Debug, Args)]
#[command(after_help = "Only what has changed is written, and nothing while the design has \
faults. A file that setout did not write, or that was edited since, is left as it is without \
--force. Exit status of --verify 0: all files hold the values of the design; 1: not all do.")]
pub(crate) struct Flags {
    /// Some of the files that design.yaml lists; all of them if none is named
    #[arg(value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Write one more file in this format
    #[arg(long, value_name = "FORMAT", requires = "file", conflicts_with = "files")]
    to: Option<String>,
    /// The file that --to writes
    #[arg(long, value_name = "PATH", requires = "to")]
    file: Option<PathBuf>,
    /// Write nothing, and say how each file stands
    #[arg(long)]
    verify: bool,
    /// Overwrite files that setout did not write, and those edited since
    #[arg(long, conflicts_with = "verify")]
    force: bool,
    /// Write to standard output in this format, and no file
    #[arg(long, value_name = "FORMAT", conflicts_with_all = ["files", "to", "verify", "force"])]
    stdout: Option<String>,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        if let Some(format) = &self.stdout {
            return stream(call, &opened, format);
        }
        let mut troubles = opened.troubles();
        let targets = match (&self.to, &self.file) {
            (Some(format), Some(path)) => target::one(&opened, &call.here, format, path)?,
            _ if self.files.is_empty() => target::listed(&opened),
            _ => target::named(&opened, &call.here, &self.files)?,
        };
        let mut files = file::read(&opened, targets, &mut troubles);
        if !self.verify {
            self.write(&opened, &mut files, &mut troubles);
        }
        let behind = self.verify && files.iter().any(|file| !file.standing.has_current_values());
        let exported = Exported {
            evaluation: &opened.evaluation,
            files,
            verify: self.verify,
            refused: !troubles.is_empty(),
        };
        call.show(&exported, &troubles, Status::failing_if(behind))
    }
}

impl Flags {
    /// Writes what has changed, all of it or nothing.
    fn write(&self, opened: &Opened, files: &mut [File], troubles: &mut Vec<Trouble>) {
        if !self.force {
            troubles.extend(files.iter().filter_map(File::refusal));
        }
        if !troubles.is_empty() {
            return;
        }
        let changed: Vec<Replacement<'_>> = files.iter().filter_map(File::replacement).collect();
        match opened.folder.write_all_if_unchanged(&changed) {
            Ok(()) => files.iter_mut().for_each(File::note_written),
            Err(error) => troubles.push(error.into()),
        }
    }
}

/// Writes an export to standard output.
fn stream(call: &mut Call<'_, '_>, opened: &Opened, format: &str) -> Outcome {
    if call.form != Form::Text {
        let help = "leave out --format, or write to a file";
        return Err(Trouble::bad_call("--stdout gives the export itself", help).into());
    }
    let format = target::format(format)?;
    let troubles = opened.troubles();
    if !troubles.is_empty() {
        return Err(Stop::Refused(troubles));
    }
    match export_text(&opened.evaluation, format) {
        Ok(text) => call.write(&text).map(|()| Status::Good),
        Err(faults) => Err(Stop::Refused(file::troubles(&opened.evaluation, &faults))),
    }
}

const NOTHING_WRITTEN: &str = "Nothing was written.";
const NOTHING_LISTED: &str = "There is no file to export. List files under `exports` in \
design.yaml, or name one with --to and --file.";
const SOMETHING_FAILS: &str = "Not everything holds in this design; setout check says what fails.";

/// What became of the files.
struct Exported<'a> {
    evaluation: &'a Evaluation,
    files: Vec<File>,
    verify: bool,
    /// Whether faults stood in the way of writing.
    refused: bool,
}

impl Answer for Exported<'_> {
    fn text(&self, page: &mut Page) {
        let mut columns = Columns::whole();
        for file in &self.files {
            columns.row(file.cells(self.verify));
        }
        columns.draw(0, page);
        if self.refused && !self.verify {
            page.say(0, NOTHING_WRITTEN);
        } else if !self.refused && self.files.is_empty() {
            page.say(0, NOTHING_LISTED);
        } else if !self.verify && self.evaluation.verdict() == Verdict::Fails {
            page.say(0, SOMETHING_FAILS);
        }
    }

    fn json(&self) -> impl Serialize {
        Keys { exports: self.files.iter().map(File::json).collect() }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    exports: Vec<file::Keys<'a>>,
}
