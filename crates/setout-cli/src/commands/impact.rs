//! `setout impact`: what other values would do, or what a value reaches.

mod text;

use clap::Args;
use serde::Serialize;

use super::Run;
use crate::call::{Call, Opened, Outcome, Stop};
use crate::changes::Changes;
use crate::draw::{self, Answer, Page, json};
use crate::edits::{self, Wanted};
use crate::flags::Strict;
use crate::status::Status;
use crate::trouble::Trouble;

/// See what other values would do, before and after; nothing is written
#[derive(Debug, Args)]
#[command(after_help = "With values, everything that would change is shown before and after: \
setout impact jaw.width=64mm. With names alone, everything that depends on them. Exit status 0 \
whatever would fail; with --strict 1 if a check or limit would newly fail or be unknown.")]
pub(crate) struct Flags {
    /// What to try, as in jaw.width=64mm, or whose reach to show
    #[arg(value_name = "NAME=VALUE", required = true)]
    typed: Vec<String>,
    #[command(flatten)]
    strict: Strict,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        match self.typed.iter().filter(|typed| typed.contains('=')).count() {
            0 => self.reach(call, &opened),
            values if values == self.typed.len() => self.change(call, opened),
            _ => {
                let message = "some of these have values and some do not";
                let help = "give all of them values to try them, or none to see their reach";
                Err(Trouble::bad_call(message, help).into())
            }
        }
    }
}

impl Flags {
    fn change(&self, call: &mut Call<'_, '_>, opened: Opened) -> Outcome {
        let design = opened.evaluation.design();
        let wanted = edits::read(design, &self.typed).map_err(Stop::Refused)?;
        let pairs: Vec<(&str, &str)> = wanted.iter().map(|one| (&*one.name, &*one.value)).collect();
        let trial = design.tried(&pairs);
        let trial = trial.map_err(|fault| Stop::Refused(edits::troubles(fault, &opened.folder)))?;
        let mut troubles = opened.troubles();
        troubles.extend(edits::of_faults(&trial.faults, &opened.folder));
        let changes = Changes::of(&opened.evaluation, trial.design.evaluate());
        let fails = self.strict.strict && changes.found.makes_something_fail();
        let tried = Tried { wanted: &wanted, changes: &changes };
        call.show(&tried, &troubles, Status::failing_if(fails))
    }

    fn reach(&self, call: &mut Call<'_, '_>, opened: &Opened) -> Outcome {
        let names: Vec<&str> = self.typed.iter().map(|name| name.trim()).collect();
        let reach = opened.evaluation.reach(&names).map_err(edits::refused)?;
        let reached = draw::Reached { reach: &reach, evaluation: &opened.evaluation };
        call.show(&reached, &opened.troubles(), Status::Good)
    }
}

/// What other values would do.
struct Tried<'a> {
    wanted: &'a [Wanted],
    changes: &'a Changes,
}

impl Tried<'_> {
    /// What has the value already that was to be tried.
    fn already(&self) -> impl Iterator<Item = &str> {
        let names = self.wanted.iter().map(|wanted| &*wanted.name);
        names.filter(|name| !self.changes.found.edits.iter().any(|edit| edit.name == *name))
    }
}

impl Answer for Tried<'_> {
    fn text(&self, page: &mut Page) {
        text::draw(self, page);
    }

    fn json(&self) -> impl Serialize {
        Keys {
            edits: self.changes.edits().map(Into::into).collect(),
            changed: self.changes.found.changed.iter().map(Into::into).collect(),
            followed: self.changes.into(),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    edits: Vec<json::Edit<'a>>,
    changed: Vec<json::Consequence<'a>>,
    #[serde(flatten)]
    followed: json::Followed<'a>,
}
