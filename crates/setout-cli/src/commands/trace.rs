//! `setout trace`: how a value came about.

use clap::Args;
use serde::Serialize;
use setout::{Evaluation, Step};

use super::Run;
use crate::call::{Call, Outcome};
use crate::draw::changes::is_dangerous;
use crate::draw::{self, Answer, CAUTION, Page, Reached, json};
use crate::edits;
use crate::status::Status;

/// See how a value came about, step by step, or with --reverse what depends on it
#[derive(Debug, Args)]
#[command(after_help = "Each formula is shown as it is written, with its numbers filled in, and \
with what it comes to, so that it can be checked by hand. A name is that of a dimension, cell or \
check, such as jaw.width, or of a part's cost, mass or quantity.")]
pub(crate) struct Flags {
    /// The dimension, cell or check
    #[arg(value_name = "NAME")]
    name: String,
    /// Show what depends on it instead
    #[arg(long)]
    reverse: bool,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        let (evaluation, troubles) = (&opened.evaluation, opened.troubles());
        if self.reverse {
            let reach = evaluation.reach(&[&self.name]).map_err(edits::refused)?;
            return call.show(&Reached { reach: &reach, evaluation }, &troubles, Status::Good);
        }
        let steps = evaluation.derivation(&self.name).map_err(edits::refused)?;
        call.show(&Traced { steps: &steps, evaluation }, &troubles, Status::Good)
    }
}

/// The steps to a value; it is the last of them.
struct Traced<'a> {
    steps: &'a [Step],
    evaluation: &'a Evaluation,
}

impl Traced<'_> {
    fn caution(&self) -> Option<&'static str> {
        let thing = self.steps.last()?;
        let margin = thing.verdict.as_ref().and_then(|(_, margin)| margin.as_ref());
        let dangerous = is_dangerous(&thing.name, thing.value.as_ref().or(margin));
        dangerous.then_some(CAUTION)
    }
}

impl Answer for Traced<'_> {
    fn text(&self, page: &mut Page) {
        draw::steps(self.steps, self.evaluation, page);
        if let Some(caution) = self.caution() {
            page.gap();
            page.say(0, caution);
        }
    }

    fn json(&self) -> impl Serialize {
        Keys {
            of: self.steps.last().map(json::CameTo::of),
            steps: self.steps.iter().map(Into::into).collect(),
            caution: self.caution(),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    #[serde(flatten)]
    of: Option<json::CameTo<'a>>,
    steps: Vec<json::Step<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}
