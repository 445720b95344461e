//! `setout release`: a revision made known to those who follow.

mod answer;
mod bundle;
mod gate;
mod past;
mod proof;

use std::path::{Path, PathBuf};

use clap::Args;
use setout::{
    Commit, Design, Evaluation, FindError, Folder, Moment, Release, Revision, Revisions, Wishes,
    draw_up,
};

use super::Run;
use crate::call::{Call, Outcome, Stop};
use crate::status::Status;
use crate::trouble::Trouble;
use answer::Released;
use bundle::Files;

/// Record a revision as released, and pack it for those who follow
#[derive(Debug, Args)]
#[command(after_help = "The revision that is checked out is released, and nothing that is not \
committed: its tables, models and exports go into a bundle to be published, and a record of it to \
be committed. Exit status 1: a check or limit fails, and --although-failing was not given. Exit \
status of --verify 0: the bundle is proven; 1: something in it differs; 2: it cannot be read.")]
pub(crate) struct Flags {
    /// Say this to those who follow; may be given several times, a paragraph each
    #[arg(long, value_name = "TEXT")]
    note: Vec<String>,
    /// Write the bundle here, and not beside the record
    #[arg(long, value_name = "FILE")]
    bundle: Option<PathBuf>,
    /// Where the last release is found, if its commit is not in this repository any more: another
    /// revision with the same design, or its bundle. With --verify the bundle, to prove letters and
    /// change list too
    #[arg(long, value_name = "REV|BUNDLE")]
    since: Option<String>,
    /// Release although a check or limit fails, and say so in the record and to those who follow
    #[arg(long)]
    although_failing: bool,
    /// Release what was released before the last release, under a new letter
    #[arg(long)]
    again: bool,
    /// Write nothing, and show the letters and the change list
    #[arg(long)]
    preview: bool,
    /// Prove a bundle: its hashes, and all that follows from the tables in it
    #[arg(long, value_name = "BUNDLE", conflicts_with_all = ["note", "bundle", "again"])]
    #[arg(conflicts_with_all = ["although_failing", "preview"])]
    verify: Option<PathBuf>,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        match &self.verify {
            Some(bundle) => proof::prove(call, bundle, self.since.as_deref().map(Path::new)),
            None => self.release(call),
        }
    }
}

/// The revision that is released, with its values.
pub(super) struct Head {
    pub(super) folder: Folder,
    pub(super) revisions: Revisions,
    pub(super) revision: Revision,
    /// At rest, as releases are compared.
    pub(super) evaluation: Evaluation,
}

impl Head {
    fn open(call: &Call<'_, '_>) -> Result<Self, Trouble> {
        let folder = Folder::find(&call.here).map_err(|error| match error {
            FindError::Bare { .. } => Trouble {
                help: "clone it, and release in the clone".to_owned(),
                ..Trouble::from(error)
            },
            error => error.into(),
        })?;
        let revisions = Revisions::of(&folder)?;
        let revision = revisions.at("HEAD")?;
        let evaluation = Design::read(&revision).evaluate();
        Ok(Self { folder, revisions, revision, evaluation })
    }
}

impl Flags {
    fn release(&self, call: &mut Call<'_, '_>) -> Outcome {
        let head = Head::open(call)?;
        let faults = gate::faults(&head);
        if !faults.is_empty() {
            return Err(Stop::Refused(faults));
        }
        let mut troubles = gate::troubles(&head);
        if !troubles.is_empty() && !self.preview {
            return Err(Stop::Refused(troubles));
        }
        let drawn_up = self.draw_up(call, &head);
        // Nothing is written of what was not judged to its end.
        if call.is_stopped() {
            return Err(Stop::Interrupted);
        }
        let release = drawn_up.map_err(|trouble| {
            troubles.push(trouble);
            Stop::Refused(std::mem::take(&mut troubles))
        })?;
        let mut files = Files::of(&head, &release, self.bundle.as_deref(), call)?;
        let fails = !release.record.failing.is_empty() && !self.although_failing;
        if !self.preview && !fails {
            files.write(&head)?;
        }
        let released = Released {
            release: &release,
            revision: &head.revision,
            evaluation: &release.judged,
            files: &files,
            fails,
        };
        call.show(&released, &troubles, Status::failing_if(fails))
    }

    fn draw_up(&self, call: &mut Call<'_, '_>, head: &Head) -> Result<Release, Trouble> {
        let records = past::records(head)?;
        let last = records.last().map(|last| past::design(call, head, last, self.since.as_deref()));
        let last = last.transpose()?;
        let date = head.revision.date();
        let commit =
            Commit { id: head.revision.id(), date: Moment::new(date.seconds, date.offset_minutes) };
        let past = setout::Past { records: &records, last: last.as_ref() };
        let wishes = Wishes { note: self.note.clone(), again: self.again };
        let watch = call.watch("judging all checks and limits");
        Ok(draw_up(&head.revision, &head.evaluation, &past, &commit, &wishes, &watch.work())?)
    }
}
