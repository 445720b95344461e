//! Checks and limits of which the verdict turned, and margins that changed.

use setout::{Amount, CheckChange, CheckResult, LimitChange, Unit, Verdict};

use super::TO;
use super::figures::{Figures, pair, set};
use super::rows::{self, Remark, Row};
use crate::draw::amounts::{amount as in_words, list, verbed};
use crate::draw::ink::Ink;
use crate::draw::page::{Line, Page};
use crate::draw::verdicts;

/// Where a name begins, behind its verdict.
const NAME: usize = 9;

/// The checks whose verdict turned, the worst first.
pub(crate) fn turned(checks: &[CheckChange]) -> Vec<&CheckChange> {
    let mut turned: Vec<&CheckChange> = checks.iter().filter(|check| is_told(check)).collect();
    // Stable, so that those of one verdict stay in the order of the tables.
    turned.sort_by_key(|check| std::cmp::Reverse(after(check)));
    turned
}

/// Whether a check is told of at length. A new one that holds, and one that is gone, are told
/// among the edits.
fn is_told(check: &CheckChange) -> bool {
    let is_new = check.result.before.is_none();
    check.turned()
        && check.result.after.is_some()
        && !(is_new && after(check) == Some(Verdict::Holds))
}

fn after(check: &CheckChange) -> Option<Verdict> {
    check.result.after.as_ref().map(|check| check.verdict)
}

/// Draws a check whose verdict turned, and with several edits those that it follows from.
pub(crate) fn check(change: &CheckChange, several: bool, page: &mut Page) {
    let Some(check) = &change.result.after else { return };
    let now = verdicts::margin(check.verdict, check.margin, check.unit.symbol());
    let line = Line::default().put(Ink::of(check.verdict), check.verdict.as_str());
    let line = line.put(Ink::Plain, " ").to(NAME).put(Ink::Heading, &change.name);
    let said = format!("{now}; {}", before(change.result.before.as_ref()));
    page.wrap(&line.put(Ink::Plain, ", "), NAME, Ink::Plain, &said);
    if check.verdict != Verdict::Holds {
        page.entry(NAME, "requires", &check.requirement);
        if let Some(numbers) = verdicts::numbers(check) {
            page.entry(NAME, "that is", &numbers);
        }
        if let Some(why) = &check.why {
            page.entry(NAME, "because", why);
        }
    }
    if several && !change.because.is_empty() {
        page.entry(NAME, "from", &list(&change.because));
    }
}

fn before(check: Option<&CheckResult>) -> String {
    let Some(check) = check else { return "it is new".to_owned() };
    let size = |of: f64| in_words(Some(&amount(of, &check.unit)));
    match (check.verdict, check.margin) {
        (Verdict::Holds, Some(margin)) => format!("it held by {}", size(margin)),
        (Verdict::Holds, None) => "it held".to_owned(),
        (Verdict::Tight, Some(margin)) => format!("it was tight with {}", size(margin)),
        (Verdict::Tight, None) => "it was tight".to_owned(),
        (Verdict::Fails, Some(margin)) => format!("it failed by {}", size(-margin)),
        (Verdict::Fails, None) => "it failed".to_owned(),
        (Verdict::Unknown, _) => "it was unknown".to_owned(),
    }
}

/// The checks that keep their verdict with another margin, the worst first.
pub(crate) fn moved(checks: &[CheckChange]) -> Vec<&CheckChange> {
    let still = checks.iter().filter(|check| !check.turned() && check.differs());
    let mut moved: Vec<&CheckChange> = still.collect();
    moved.sort_by_key(|check| std::cmp::Reverse(after(check)));
    moved
}

/// Draws the margins that changed without turning a verdict, and counts the other checks that
/// were reached.
pub(crate) fn margins(checks: &[CheckChange], page: &mut Page) {
    let moved = moved(checks);
    let same = checks.iter().filter(|check| !check.turned() && !check.differs()).count();
    if !moved.is_empty() {
        page.gap();
        let keep = verbed(moved.len(), "check", "keeps its verdict", "keep their verdict");
        page.say(0, &format!("{keep} with another margin:"));
        rows::draw(&rows_of(&moved), page);
    }
    match same {
        0 => {}
        1 => page.say(0, "1 check was reached and keeps its margin."),
        same => page.say(0, &format!("{same} checks were reached and keep their margins.")),
    }
}

fn rows_of(moved: &[&CheckChange]) -> Vec<Row> {
    let figures: Vec<Figures> = moved.iter().map(|change| figures(change)).collect();
    let row = |(change, figures): (&&CheckChange, String)| {
        let verdict = after(change).unwrap_or(Verdict::Unknown);
        let cells = vec![
            (Ink::of(verdict), verdict.as_str().to_owned()),
            (Ink::Plain, change.name.clone()),
            (Ink::Plain, figures),
        ];
        Row { cells, remark: Remark::Nothing }
    };
    moved.iter().zip(set(&figures)).map(row).collect()
}

fn figures(change: &CheckChange) -> Figures {
    let margin = |check: &Option<CheckResult>| {
        let check = check.as_ref()?;
        Some(amount(check.margin?, &check.unit))
    };
    pair(margin(&change.result.before).as_ref(), margin(&change.result.after).as_ref())
}

/// The margin of a check before and after, in one text.
pub(crate) fn margin_text(change: &CheckChange) -> String {
    let figures = figures(change);
    match &change.result.before {
        Some(_) => format!("{} {TO} {}", figures.before, figures.after),
        None => figures.after,
    }
}

fn amount(number: f64, unit: &Unit) -> Amount {
    Amount::Number { number, unit: unit.clone() }
}

/// The limits whose verdict turned.
pub(crate) fn limits_that_turned(limits: &[LimitChange]) -> Vec<&LimitChange> {
    let told = |change: &&LimitChange| {
        let is_new = change.result.before.is_none();
        let verdict = change.result.after.as_ref().map(|limit| limit.verdict);
        change.turned() && verdict.is_some() && !(is_new && verdict == Some(Verdict::Holds))
    };
    limits.iter().filter(told).collect()
}

/// Draws the limits whose verdict turned.
pub(crate) fn limits(limits: &[LimitChange], page: &mut Page) {
    for limit in limits_that_turned(limits).iter().filter_map(|of| of.result.after.as_ref()) {
        page.gap();
        verdicts::limit(limit, page);
    }
}
