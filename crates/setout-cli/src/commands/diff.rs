//! `setout diff`: what differs between two revisions, or between a revision and the files.

mod markdown;
mod sides;
mod text;

use clap::Args;
use serde::Serialize;

use super::Run;
use crate::call::{Call, Outcome};
use crate::changes::Changes;
use crate::draw::changes::{self, Tense};
use crate::draw::{Answer, Page, count, json, review};
use crate::flags::{Form, Strict};
use crate::status::Status;
use crate::trouble::Trouble;
use sides::{Side, Sides};

/// Compare two revisions, or one with the files as they stand
#[derive(Debug, Args)]
#[command(after_help = "Revisions are named as git names them: HEAD~2, v1.0, a branch, the first \
digits of a commit. Without any, HEAD is compared with the files; with one, that one. A B or \
A..B compares two; A...B what B did since it left A. --format markdown is for a review, annotations \
and sarif for what newly fails. Exit \
status 0 whatever differs; with --strict 1 if a check or limit newly fails or is unknown.")]
pub(crate) struct Flags {
    /// The earlier revision, or both as in v1.0..v1.1
    #[arg(value_name = "A")]
    before: Option<String>,
    /// The later revision
    #[arg(value_name = "B")]
    after: Option<String>,
    #[command(flatten)]
    strict: Strict,
}

impl Run for Flags {
    const FORMS: &'static [Form] = &[Form::Markdown, Form::Sarif, Form::Annotations];

    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let pair = sides::pair(self.before.as_deref(), self.after.as_deref())?;
        let (sides, before, after) = Sides::evaluated(&call.here, &pair)?;
        let troubles = sides.troubles(&before, &after);
        let changes = Changes::of(&before, after);
        let fails = self.strict.strict && changes.found.makes_something_fail();
        let compared = Compared { sides: &sides, changes: &changes, troubles: &troubles };
        let outcome = call.show(&compared, &troubles, Status::failing_if(fails));
        call.leave((before, changes));
        outcome
    }
}

/// Two states of a design and what differs.
struct Compared<'a> {
    sides: &'a Sides,
    changes: &'a Changes,
    troubles: &'a [Trouble],
}

impl Compared<'_> {
    /// All of it in a sentence.
    fn sentence(&self) -> String {
        let found = &self.changes.found;
        if !self.changes.is_nothing() {
            let edits = match found.edits.len() {
                0 => "No edit in the tables".to_owned(),
                edits => count(edits, "edit"),
            };
            return format!("{edits}: {}.", changes::clauses(found, Tense::Made));
        }
        match (self.troubles.is_empty(), self.sides.are_identical()) {
            (false, _) => "Nothing differs in what could be computed.".to_owned(),
            (true, true) => "Nothing differs.".to_owned(),
            (true, false) => "Nothing differs but layout, comments or order.".to_owned(),
        }
    }
}

impl Answer for Compared<'_> {
    fn text(&self, page: &mut Page) {
        text::draw(self, page);
    }

    fn markdown(&self) -> String {
        markdown::markdown(self)
    }

    fn report(&self) -> setout::Report {
        let found = &self.changes.found;
        let design = self.changes.after.design().name();
        let caution = changes::caution(self.changes).map(str::to_owned);
        let mut report = review::report(design, caution.into_iter().collect());
        let checks = found.checks.iter().filter(|check| check.got_worse());
        let checks = checks.filter_map(|check| check.result.after.as_ref());
        report.findings.extend(checks.map(review::check));
        let limits = found.limits.iter().filter(|limit| limit.newly_fails());
        let limits = limits.filter_map(|limit| limit.result.after.as_ref());
        report.findings.extend(limits.map(review::limit));
        report
    }

    fn json(&self) -> impl Serialize {
        Keys {
            before: Revision::of(&self.sides.before),
            after: Revision::of(&self.sides.after),
            edits: self.changes.edits().map(Into::into).collect(),
            consequences: self.changes.found.changed.iter().map(Into::into).collect(),
            followed: self.changes.into(),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    before: Revision<'a>,
    after: Revision<'a>,
    edits: Vec<json::Edit<'a>>,
    consequences: Vec<json::Consequence<'a>>,
    #[serde(flatten)]
    followed: json::Followed<'a>,
}

/// One of the two states; all null for the files as they stand.
#[derive(Serialize)]
struct Revision<'a> {
    revision: Option<&'a str>,
    short: Option<&'a str>,
    summary: Option<&'a str>,
    author: Option<&'a str>,
}

impl<'a> Revision<'a> {
    fn of(side: &'a Side) -> Self {
        let revision = side.revision();
        Self {
            revision: revision.map(setout::Revision::id),
            short: revision.map(setout::Revision::short),
            summary: revision.map(setout::Revision::summary),
            author: revision.map(setout::Revision::author_name),
        }
    }
}
