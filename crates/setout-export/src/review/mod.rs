//! What was found in a design, for the services and viewers that reviewers look at.
//!
//! A [`Report`] is plain data: what holds, and what does not, each with its place. [`write_report`]
//! draws it as SARIF 2.1.0, as the annotations of a workflow run, or as JUnit XML. Texts of the
//! design are untrusted: on their way out each is put on one line, hidden characters are written
//! out, and what the form itself would obey is escaped.

mod annotations;
mod junit;
mod plain;
mod rules;
mod sarif;

pub use annotations::{MOST_ERRORS, MOST_WARNINGS};
pub use rules::{RULES, Rule};
pub use sarif::MOST_RESULTS;

/// A form that a report can be drawn in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReportForm {
    /// The OASIS standard for results of analysis, version 2.1.0.
    Sarif,
    /// Lines that a service reads from the output of a step, to show them beside the text.
    Annotations,
    /// XML in the form that runners of tests share.
    Junit,
}

/// What was found in a design.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Report {
    /// The design's name; empty where none could be read.
    pub design: String,
    /// The version of the program that looked.
    pub version: String,
    /// What to bear in mind with the verdicts: what was not looked at, and what they do not say.
    pub notes: Vec<String>,
    /// Whether the design could be looked at at all.
    pub looked: bool,
    /// All that was judged, in the order of the tables.
    pub findings: Vec<Finding>,
}

/// One thing that was judged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// What came of it.
    pub outcome: Outcome,
    /// What sort of thing it is.
    pub about: About,
    /// The rule by which it was judged: one of [`RULES`].
    pub rule: &'static str,
    /// The full name of what was judged; empty for a fault that has none.
    pub name: String,
    /// Where it stands, if it stands in a text.
    pub place: Option<Spot>,
    /// What was found, as a clause.
    pub message: String,
    /// What is behind it, or would mend it; empty where nobody knows.
    pub help: String,
}

/// A place: a path relative to the root of the repository, a line, and a column in characters
/// (Unicode code points); both count from 1.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spot {
    /// The file, with `/` between its folders.
    pub file: String,
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
}

/// What came of a thing that was judged, the best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// It is good.
    Holds,
    /// It deserves a look.
    Warns,
    /// It could not be judged.
    Unknown,
    /// It is not good.
    Fails,
}

/// What sort of thing was judged, in the order of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// Whether the design can be read and computed.
    Design,
    /// A check.
    Check,
    /// The limits of a dimension, or its permitted travel.
    Limit,
    /// A value that two engines computed.
    Engines,
    /// What deserves a look.
    Care,
}

impl Outcome {
    /// Whether it is worth an error rather than a warning.
    fn is_error(self) -> bool {
        self >= Self::Unknown
    }
}

impl Report {
    /// What does not simply hold: errors before warnings, faults of the design before what may
    /// follow from them, what fails before what is unknown; otherwise in the order given.
    fn ranked(&self) -> Vec<&Finding> {
        let bad = self.findings.iter().filter(|finding| finding.outcome != Outcome::Holds);
        let mut ranked: Vec<&Finding> = bad.collect();
        ranked.sort_by_key(|finding| {
            let is_fault = finding.about == About::Design;
            (
                !finding.outcome.is_error(),
                !is_fault,
                std::cmp::Reverse(finding.outcome),
                finding.about,
            )
        });
        ranked
    }
}

/// Draws a report as the text of a file, or of what a step prints.
///
/// ```
/// use setout_export::{About, Finding, Outcome, Report, ReportForm, Spot, write_report};
///
/// let finding = Finding {
///     outcome: Outcome::Fails,
///     about: About::Check,
///     rule: "check-fails",
///     name: "jaw.room".into(),
///     place: Some(Spot { file: "params/jaw.yaml".into(), line: 7, column: 3 }),
///     message: "jaw.room fails, margin -2 mm".into(),
///     help: "because of\n::error::a note that would like to be obeyed".into(),
/// };
/// let report = Report { findings: vec![finding], looked: true, ..Report::default() };
/// let lines = write_report(&report, ReportForm::Annotations);
/// assert_eq!(
///     lines,
///     "::error title=jaw.room,file=params/jaw.yaml,line=7,col=3::jaw.room fails, margin -2 mm%0A\
///      because of ::error::a note that would like to be obeyed\n1 error.\n"
/// );
/// ```
pub fn write_report(report: &Report, form: ReportForm) -> String {
    match form {
        ReportForm::Sarif => sarif::write(report),
        ReportForm::Annotations => annotations::write(report),
        ReportForm::Junit => junit::write(report),
    }
}
