//! `setout history`: one name through the revisions.

mod keys;
mod plot;
mod text;

pub(super) use keys::{Ended, Left, Made, Untied, number};
pub(super) use text::{judged, other_names, short_date, state, surroundings};

use clap::Args;
use serde::Serialize;
use setout::{
    Design, EditFault, FindError, Folder, Held, History, HistoryError, Revisions, Walk, value_of,
};

use super::Run;
use crate::call::{Call, Outcome};
use crate::draw::changes::is_dangerous;
use crate::draw::{Answer, CAUTION, Page};
use crate::edits;
use crate::status::Status;
use crate::trouble::Trouble;

/// See what a dimension or a check was worth from revision to revision, and why it changed
#[derive(Debug, Args)]
#[command(after_help = "The name is that of a dimension, a cell, a check (its margin), a part's \
cost, mass or quantity, or design.cost or design.mass. It is followed back through renames. Listed \
are the revisions that lead to HEAD and differ in it from every revision they came from, newest \
first; revisions that cannot be evaluated are passed over and said.")]
pub(crate) struct Flags {
    /// The name, as it is now
    #[arg(value_name = "NAME")]
    name: String,
    /// Only what came after this revision
    #[arg(long, value_name = "REV")]
    since: Option<String>,
    /// Draw the values as points beside their revisions
    #[arg(long)]
    plot: bool,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let (walk, name) = open(call, &self.name, self.since.as_deref())?;
        let history = History::of(&walk, &name)?;
        let told = Told { history: &history, walk: &walk, plot: self.plot };
        call.show(&told, &[], Status::Good)
    }
}

/// The way back from HEAD, and the full name of what somebody asks for. Only a name without its
/// table needs the design to be read; one that it does not have may have been there before.
pub(super) fn open(
    call: &Call<'_, '_>,
    name: &str,
    since: Option<&str>,
) -> Result<(Walk, String), Trouble> {
    let (revisions, folder) = match Folder::find(&call.here) {
        Ok(folder) => (Revisions::of(&folder)?, Some(folder)),
        Err(FindError::Bare { repository }) => (Revisions::bare(&repository, None)?, None),
        Err(error) => return Err(error.into()),
    };
    let walk = revisions.walk("HEAD", since)?;
    let name = name.trim();
    let name = match name.contains('.') {
        true => name.to_owned(),
        false => match folder {
            Some(folder) => full_name(&Design::read(&folder), name)?,
            None => full_name(&Design::read(walk.point(0)), name)?,
        },
    };
    Ok((walk, name))
}

/// The full name of a dimension or a check without its table.
pub(super) fn full_name(design: &Design, name: &str) -> Result<String, Trouble> {
    let found = design.full_name(name);
    let Err(EditFault::NotFound { .. }) = found else { return found.map_err(edits::refused) };
    let evaluation = design.evaluate();
    let checks = evaluation.checks().iter().map(|check| check.name.clone());
    let mut checks: Vec<String> =
        checks.filter(|check| check.rsplit('.').next() == Some(name)).collect();
    match checks.len() {
        0 => Ok(name.to_owned()),
        1 => Ok(checks.remove(0)),
        _ => {
            let ambiguous = EditFault::Ambiguous { name: name.to_owned(), candidates: checks };
            Err(edits::refused(ambiguous))
        }
    }
}

impl From<HistoryError> for Trouble {
    fn from(error: HistoryError) -> Self {
        let help = error.help();
        match error {
            HistoryError::Revision(error) => error.into(),
            HistoryError::Unknown { .. } => Self::not_found(error.to_string(), help),
            HistoryError::NoLimits { .. } => Self::bad_call(error.to_string(), help),
            HistoryError::Faults(_) => Self::of_call("io", error.to_string(), help),
            _ => Self::of_call("too-large", error.to_string(), help),
        }
    }
}

/// A history that is to be shown.
struct Told<'a> {
    history: &'a History,
    walk: &'a Walk,
    plot: bool,
}

impl Told<'_> {
    fn caution(&self) -> Option<&'static str> {
        caution(&self.history.name, &self.history.now)
    }
}

/// The last state in which a check is judged, of rest, travel and worst.
pub(super) fn judged_to(standing: &Held) -> Option<&'static str> {
    let Held::Check(check) = standing else { return None };
    Some(match (&check.travel, &check.worst) {
        (None, _) => "rest",
        (_, None) => "travel",
        _ => "worst",
    })
}

/// The usual caution, where a name or its value bears on somebody's safety.
pub(super) fn caution(name: &str, now: &Held) -> Option<&'static str> {
    is_dangerous(name, value_of(now).as_ref()).then_some(CAUTION)
}

impl Answer for Told<'_> {
    fn text(&self, page: &mut Page) {
        text::draw(self, page);
    }

    fn json(&self) -> impl Serialize {
        keys::Keys::of(self)
    }
}
