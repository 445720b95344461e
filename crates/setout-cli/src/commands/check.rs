//! `setout check`: what holds, what does not, and why.

mod independent;
mod markdown;
mod text;

use clap::{Args, ValueEnum};
use serde::Serialize;
use setout::independent::{Repeat, repeat};
use setout::{CheckResult, Evaluation, LimitResult, Report, Verdict, Warning, assess};

use super::Run;
use crate::call::{Call, Outcome};
use crate::draw::{self, Answer, CAUTION, Page, json, review};
use crate::flags::{Form, Strict};
use crate::status::Status;
use crate::trouble::Trouble;

/// Compute everything, and say which checks and limits hold
#[derive(Debug, Args)]
#[command(after_help = "Exit status 0: all hold; 1: something fails or is unknown, \
or the two engines of --independent differ; 2: the design has faults. For a review: --format \
annotations, sarif, junit or markdown.")]
pub(crate) struct Flags {
    /// Assess less: `rest`, with every axis where it stands and every dimension as wanted
    #[arg(long, value_name = "STATE", hide_possible_values = true)]
    at: Option<At>,
    /// Show what holds as well
    #[arg(long)]
    all: bool,
    /// Evaluate every formula and tolerance a second time with another engine, and report any
    /// difference
    #[arg(long)]
    independent: bool,
    #[command(flatten)]
    strict: Strict,
}

/// The states that can be asked for alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum At {
    Rest,
}

impl Run for Flags {
    const FORMS: &'static [Form] = &[Form::Markdown, Form::Sarif, Form::Annotations, Form::Junit];

    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        let troubles = opened.troubles();
        let evaluation = match self.at {
            Some(At::Rest) => opened.evaluation.clone(),
            None => {
                let watch = call.watch("judging all checks and limits");
                assess(&opened.evaluation, &watch.work())
            }
        };
        let checked = Checked {
            evaluation: &evaluation,
            troubles: &troubles,
            warnings: warnings(&evaluation),
            all: self.all,
            strict: self.strict.strict,
            repeat: self.independent.then(|| repeat(&opened.evaluation)),
        };
        let warned = self.strict.strict && !checked.warnings.is_empty();
        let status = Status::failing_if(
            warned || checked.differs() || checked.verdict() >= Verdict::Unknown,
        );
        let outcome = call.show(&checked, &troubles, status);
        call.leave((checked.warnings, evaluation, opened));
        outcome
    }
}

/// A design's verdicts.
struct Checked<'a> {
    evaluation: &'a Evaluation,
    warnings: Vec<Warning>,
    all: bool,
    strict: bool,
    troubles: &'a [Trouble],
    /// What came of a second evaluation, if one was asked for.
    repeat: Option<Repeat>,
}

impl Checked<'_> {
    fn differs(&self) -> bool {
        self.repeat.as_ref().is_some_and(|repeat| !repeat.agrees())
    }

    /// The worst verdict. With faults nobody can say that all holds.
    fn verdict(&self) -> Verdict {
        let known = self.evaluation.verdict();
        if self.troubles.is_empty() { known } else { known.max(Verdict::Unknown) }
    }

    fn caution(&self) -> Option<&'static str> {
        let check = |check: &CheckResult| {
            let why = check.why.as_deref().unwrap_or_default();
            draw::bears_on_safety(&check.unit, [&*check.name, &*check.requirement, why])
        };
        let limit = |limit: &LimitResult| draw::bears_on_safety(&limit.unit, [&*limit.name]);
        let found = self.evaluation.checks().iter().any(check)
            || self.evaluation.limits().iter().any(limit);
        found.then_some(CAUTION)
    }
}

/// The warnings of the design, and its tight checks.
fn warnings(evaluation: &Evaluation) -> Vec<Warning> {
    let tight = evaluation.checks().iter().filter(|check| check.verdict == Verdict::Tight);
    let tight = tight.map(|check| Warning {
        place: check.place.clone(),
        slug: "tight",
        name: check.name.clone(),
        message: format!("`{}` holds with less margin than it asks for", check.name),
        help: "give it more room, or ask for less".to_owned(),
    });
    let mut warnings: Vec<Warning> = evaluation.warnings();
    warnings.extend(tight);
    warnings.sort();
    warnings
}

impl Answer for Checked<'_> {
    fn text(&self, page: &mut Page) {
        text::draw(self, page);
    }

    fn markdown(&self) -> String {
        markdown::markdown(self)
    }

    fn report(&self) -> Report {
        let evaluation = self.evaluation;
        let mut notes = text::not_assessed(self);
        notes.extend(self.caution().map(str::to_owned));
        let mut report = review::report(evaluation.design().name(), notes);
        let found = &mut report.findings;
        found.extend(evaluation.checks().iter().map(review::check));
        found.extend(evaluation.limits().iter().map(review::limit));
        let differences = self.repeat.iter().flat_map(|repeat| &repeat.differences);
        found.extend(differences.map(review::difference));
        // Tight checks are among the checks.
        let warnings = self.warnings.iter().filter(|warning| warning.slug != "tight");
        found.extend(warnings.map(review::warning));
        if self.strict {
            report.findings = report.findings.into_iter().map(review::strict).collect();
        }
        report
    }

    fn json(&self) -> impl Serialize {
        let evaluation = self.evaluation;
        Keys {
            design: evaluation.design().name(),
            fingerprint: evaluation.fingerprint(),
            verdict: self.verdict().as_str(),
            checks: evaluation.checks().iter().map(Into::into).collect(),
            limits: evaluation.limits().iter().map(Into::into).collect(),
            warnings: self.warnings.iter().map(Into::into).collect(),
            independent: self.repeat.as_ref().map(Into::into),
            totals: json::Totals::of(evaluation),
            caution: self.caution(),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    design: &'a str,
    fingerprint: String,
    verdict: &'a str,
    checks: Vec<json::Check<'a>>,
    limits: Vec<json::Limit<'a>>,
    warnings: Vec<json::Warned<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    independent: Option<json::Repeated<'a>>,
    #[serde(flatten)]
    totals: json::Totals,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}
