//! `setout merge`: two states of a table, or of the design, and the one they come from, made one.

mod attributes;
mod broken;
mod drivers;
mod files;
mod preview;

use std::path::PathBuf;

use clap::Args;

use super::Run;
use crate::call::{Call, Outcome};
use crate::trouble::Trouble;

/// Merge tables thing by thing, by hand or for git
#[derive(Debug, Args)]
#[command(
    override_usage = "setout merge BASE OURS THEIRS\n       setout merge --preview REVISION\n       \
setout merge --install\n       setout merge --verify",
    after_help = "With three files the merged table goes to standard output, to --output, or with \
--in-place over OURS. What both sides changed, each its own way, stands between git's marks, and \
nothing else does. If it is a table of a design, what it breaks there is said. --preview merges a \
branch with the last commit in memory and says what would be in conflict, and what would fail that \
fails on neither side; nothing is written. --install has git merge and show the tables of this \
design by setout: it sets a merge driver and a view for git diff in this clone, and names the \
tables in .gitattributes. Every clone installs for itself. --verify says whether they are at work. \
Where setout is missing then, git merges the lines, with marks. Exit status 0: merged, or at work; \
1: something is in conflict, would fail, or is not at work; 2: there are faults."
)]
pub(crate) struct Flags {
    /// The table before both changes, ours, and the other one
    #[arg(value_name = "FILE", num_args = 0..=3)]
    files: Vec<PathBuf>,
    /// Write the merged table to this file
    #[arg(long, value_name = "FILE", conflicts_with = "in_place")]
    output: Option<PathBuf>,
    /// Write the merged table over OURS
    #[arg(long)]
    in_place: bool,
    /// Where git has the table, for messages; the design is not evaluated then
    #[arg(long, value_name = "PATH")]
    path: Option<String>,
    /// What the three states are called behind the marks
    #[arg(long, value_names = ["BASE", "OURS", "THEIRS"], num_args = 3)]
    labels: Option<Vec<String>>,
    /// How many signs each mark has, instead of 7
    #[arg(long, value_name = "COUNT")]
    marks: Option<usize>,
    /// Say what would come of merging a revision into the last commit
    #[arg(long, value_name = "REVISION", conflicts_with_all = ["files", "output", "in_place"])]
    preview: Option<String>,
    /// Have git merge and show the tables of this design by setout
    #[arg(long, conflicts_with_all = ["files", "output", "in_place", "preview"])]
    install: bool,
    /// Say whether git does
    #[arg(long, conflicts_with_all = ["files", "output", "in_place", "preview", "install"])]
    verify: bool,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        match (&self.preview, self.install, self.verify, &self.files[..]) {
            (Some(revision), ..) => preview::run(call, revision),
            (None, true, ..) => drivers::install(call),
            (None, false, true, _) => drivers::verify(call),
            (None, false, false, [base, ours, theirs]) => {
                files::run(call, self, [base, ours, theirs])
            }
            _ => {
                let message = "a merge takes three files";
                let help = "name the table before both changes, ours, and the other one; or merge a \
                            branch with git, after `setout merge --install`";
                Err(Trouble::bad_call(message, help).into())
            }
        }
    }
}
