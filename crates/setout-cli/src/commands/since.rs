//! `setout since`: with which revision a check began to fail.

mod here;
mod keys;
mod text;

use clap::Args;
use serde::Serialize;
use setout::{Since, Walk};

use super::Run;
use super::history::{caution, open};
use crate::call::{Call, Outcome};
use crate::draw::{Answer, Page};
use crate::status::Status;

/// Find the revision with which a check or a limit began to fail, and what did it
#[derive(Debug, Args)]
#[command(
    after_help = "The name is that of a check, or of a dimension with limits. Listed is each \
revision at which it failed or was mended, newest first, with the edits that did it. For git bisect, \
`setout since CHECK --here` looks at the files as they stand: exit status 0 if it holds, if only \
tightly, 1 if it fails or is unknown, 125 (pass this revision over) if it is not there or cannot be \
evaluated."
)]
pub(crate) struct Flags {
    /// The check, or the dimension with limits
    #[arg(value_name = "CHECK")]
    name: String,
    /// Only what came after this revision
    #[arg(long, value_name = "REV", conflicts_with = "here")]
    since: Option<String>,
    /// Judge the files as they stand, with a status for git bisect run
    #[arg(long)]
    here: bool,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        if self.here {
            return here::run(call, &self.name);
        }
        let (walk, name) = open(call, &self.name, self.since.as_deref())?;
        let since = Since::of(&walk, &name)?;
        call.show(&Told { since: &since, walk: &walk }, &[], Status::Good)
    }
}

/// An answer that is to be shown.
struct Told<'a> {
    since: &'a Since,
    walk: &'a Walk,
}

impl Told<'_> {
    fn caution(&self) -> Option<&'static str> {
        caution(&self.since.name, &self.since.standing)
    }
}

impl Answer for Told<'_> {
    fn text(&self, page: &mut Page) {
        text::draw(self, page);
    }

    fn json(&self) -> impl Serialize {
        keys::Keys::of(self)
    }
}
