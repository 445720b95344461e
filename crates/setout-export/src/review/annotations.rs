//! Lines that a service reads from the output of a step.
//!
//! `::error file=F,line=L,col=C,title=T::MESSAGE`, one a line. In a message `%`, CR and LF are
//! written `%25`, `%0D` and `%0A`; in a property `:` and `,` are `%3A` and `%2C` as well (the
//! toolkit of the workflow runner, documented with its commands). A line that does not begin with
//! `::` is only shown. Services show a limited number a step, so the worst come first and the
//! others are counted in a notice.

use super::plain::{count, plain, two_lines};
use super::{Finding, Outcome, Report};

/// So many errors of a step are shown.
pub const MOST_ERRORS: usize = 10;
/// So many warnings of a step are shown.
pub const MOST_WARNINGS: usize = 10;

pub(super) fn write(report: &Report) -> String {
    let ranked = report.ranked();
    let errors = ranked.iter().filter(|finding| finding.outcome.is_error()).count();
    let (errors, warnings) = ranked.split_at(errors);
    let mut text = String::new();
    for finding in errors.iter().take(MOST_ERRORS) {
        text.push_str(&line("error", finding));
    }
    for finding in warnings.iter().take(MOST_WARNINGS) {
        text.push_str(&line("warning", finding));
    }
    let more = [
        (errors.len().saturating_sub(MOST_ERRORS), "error"),
        (warnings.len().saturating_sub(MOST_WARNINGS), "warning"),
    ];
    let more = told(&more, "more ");
    if !more.is_empty() {
        text.push_str(&format!("::notice::and {more} that a service would not show here\n"));
    }
    for note in &report.notes {
        text.push_str(&format!("::notice::{}\n", escaped(&plain(note))));
    }
    text.push_str(&closing(report, errors.len(), warnings.len()));
    text
}

/// What it all comes to. It begins with a number or a word of ours, so that nothing obeys it.
fn closing(report: &Report, errors: usize, warnings: usize) -> String {
    let held = report.findings.iter().filter(|finding| finding.outcome == Outcome::Holds).count();
    match told(&[(errors, "error"), (warnings, "warning")], "") {
        told if !told.is_empty() => format!("{told}.\n"),
        _ if held == 0 => "Nothing to tell of.\n".to_owned(),
        _ => "Everything that was assessed holds.\n".to_owned(),
    }
}

fn told(numbers: &[(usize, &str)], before: &str) -> String {
    let told = numbers.iter().filter(|(number, _)| *number > 0);
    let told: Vec<String> =
        told.map(|(number, thing)| count(*number, &format!("{before}{thing}"))).collect();
    told.join(", ")
}

fn line(level: &str, finding: &Finding) -> String {
    let title = if finding.name.is_empty() { finding.rule } else { &finding.name };
    let mut properties = format!("title={}", property(&plain(title)));
    if let Some(place) = &finding.place {
        let file = property(&plain(&place.file));
        properties.push_str(&format!(",file={file},line={},col={}", place.line, place.column));
    }
    let message = escaped(&two_lines(&finding.message, &finding.help));
    format!("::{level} {properties}::{message}\n")
}

fn escaped(text: &str) -> String {
    text.replace('%', "%25").replace('\r', "%0D").replace('\n', "%0A")
}

fn property(text: &str) -> String {
    escaped(text).replace(':', "%3A").replace(',', "%2C")
}
