//! `setout show`: what a design holds, or one thing of it in full.

mod group;
mod pick;
mod standards;

use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;
use setout::{Evaluation, merge};

use super::Run;
use crate::call::{Call, Outcome};
use crate::draw::{self, Answer, CAUTION, Page, json};
use crate::flags::Form;
use crate::status::Status;
use crate::trouble::Trouble;
use group::Group;

/// Show values with their units, limits and reasons
#[derive(Debug, Args)]
#[command(after_help = "A name is that of a table, dimension, schedule, row, cell, column, check \
or part, such as jaw.width; without its table where only one table has it. Without a name everything \
is listed.")]
pub(crate) struct Flags {
    /// What to show in full
    #[arg(value_name = "NAME")]
    names: Vec<String>,
    /// List one table
    #[arg(long, value_name = "TABLE")]
    table: Option<String>,
    /// List the published tables of hardware and fits, or those named in full
    #[arg(long, conflicts_with = "table")]
    standards: bool,
    /// Print what one table's file says, a line a value; for git, see setout merge --install
    #[arg(long, value_name = "FILE", conflicts_with_all = ["names", "table", "standards"])]
    facts: Option<PathBuf>,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        if let Some(file) = &self.facts {
            return print_facts(call, file);
        }
        // These are the same for every design, and need none.
        if self.standards {
            let (shown, missing) = standards::standards(&self.names);
            return call.show(&shown, &missing, Status::Good);
        }
        let opened = call.open()?;
        let all = Group::of(&opened.evaluation);
        let whole = self.names.is_empty() && self.table.is_none();
        let (shown, missing) = if whole {
            (Shown::whole(&opened.evaluation, all), Vec::new())
        } else {
            pick::picked(&opened.evaluation, &all, self.table.as_deref(), &self.names)
        };
        let troubles = [missing, opened.troubles()].concat();
        call.show(&shown, &troubles, Status::Good)
    }
}

/// What a file says, whether or not it is part of a design. A text that is no table is given as it is.
fn print_facts(call: &mut Call<'_, '_>, file: &Path) -> Outcome {
    if call.form != Form::Text {
        let help = "leave out --format, or show the table by its name";
        return Err(Trouble::bad_call("--facts gives lines for git", help).into());
    }
    let text = call.input(file)?;
    let lines = merge::facts(&text).unwrap_or(text);
    call.write(&lines).map(|()| Status::Good)
}

/// What is shown of a design.
struct Shown<'a> {
    evaluation: &'a Evaluation,
    /// Tables that are listed, a line a thing.
    tables: Vec<String>,
    listed: Group,
    /// Things that are shown in full.
    in_full: Group,
    /// Whether this is all of the design.
    whole: bool,
}

impl<'a> Shown<'a> {
    fn whole(evaluation: &'a Evaluation, all: Group) -> Self {
        let tables = pick::tables(evaluation).map(str::to_owned).collect();
        Self { evaluation, tables, listed: all, in_full: Group::default(), whole: true }
    }

    fn caution(&self) -> Option<&'static str> {
        (self.listed.bears_on_safety() || self.in_full.bears_on_safety()).then_some(CAUTION)
    }
}

impl Answer for Shown<'_> {
    fn text(&self, page: &mut Page) {
        if self.whole {
            draw::title(self.evaluation, page);
        }
        for table in &self.tables {
            self.listed.list(table, page);
        }
        self.in_full.draw(self.evaluation, page);
        if self.whole {
            page.gap();
            draw::totals(self.evaluation, page);
        }
        if let Some(caution) = self.caution() {
            page.gap();
            page.say(0, caution);
        }
    }

    fn json(&self) -> impl Serialize {
        let both = [&self.listed, &self.in_full];
        Keys {
            design: self.evaluation.design().name(),
            fingerprint: self.evaluation.fingerprint(),
            dimensions: both.iter().flat_map(|of| &of.dimensions).map(Into::into).collect(),
            schedules: both.iter().flat_map(|of| &of.schedules).map(Into::into).collect(),
            checks: both.iter().flat_map(|of| &of.checks).map(Into::into).collect(),
            parts: both.iter().flat_map(|of| &of.parts).map(Into::into).collect(),
            totals: json::Totals::of(self.evaluation),
            caution: self.caution(),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    design: &'a str,
    fingerprint: String,
    dimensions: Vec<json::Dimension<'a>>,
    schedules: Vec<json::Schedule<'a>>,
    checks: Vec<json::Check<'a>>,
    parts: Vec<json::Part<'a>>,
    #[serde(flatten)]
    totals: json::Totals,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}
