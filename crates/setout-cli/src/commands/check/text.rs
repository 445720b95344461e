//! The verdicts of a design, drawn for people.

use setout::{CheckResult, LimitResult, Verdict, Warning};

use super::{Checked, independent};
use crate::draw::{self, Cell, Columns, Ink, Page, count, verbed};

/// The verdicts that are shown at length, in this order.
const AT_LENGTH: [Verdict; 3] = [Verdict::Fails, Verdict::Unknown, Verdict::Tight];

pub(super) fn draw(checked: &Checked<'_>, page: &mut Page) {
    draw::title(checked.evaluation, page);
    for verdict in AT_LENGTH {
        at_length(checked, verdict, page);
    }
    holding(checked, page);
    unlooked(checked, page);
    warned(checked, page);
    page.gap();
    draw::totals(checked.evaluation, page);
    page.say(0, &sentence(checked));
    if let Some(repeat) = &checked.repeat {
        page.gap();
        independent::draw(repeat, page);
    }
    if let Some(caution) = checked.caution() {
        page.gap();
        page.say(0, caution);
    }
}

pub(super) fn checks<'a>(
    checked: &Checked<'a>,
    verdict: Verdict,
) -> impl Iterator<Item = &'a CheckResult> {
    checked.evaluation.checks().iter().filter(move |check| check.verdict == verdict)
}

pub(super) fn limits<'a>(
    checked: &Checked<'a>,
    verdict: Verdict,
) -> impl Iterator<Item = &'a LimitResult> {
    checked.evaluation.limits().iter().filter(move |limit| limit.verdict == verdict)
}

fn at_length(checked: &Checked<'_>, verdict: Verdict, page: &mut Page) {
    for check in checks(checked, verdict) {
        page.gap();
        draw::check(check, page);
    }
    for limit in limits(checked, verdict) {
        page.gap();
        draw::limit(limit, page);
    }
}

/// What holds: a line for all, or with `--all` a line for each.
fn holding(checked: &Checked<'_>, page: &mut Page) {
    let Some(sentence) = held(checked) else { return };
    page.gap();
    if checked.all {
        each_holding(checked, page);
        page.gap();
    }
    page.say(0, &sentence);
}

/// How much holds, if anything does.
pub(super) fn held(checked: &Checked<'_>) -> Option<String> {
    let held = checks(checked, Verdict::Holds).count();
    let limited = limits(checked, Verdict::Holds).count();
    if held + limited == 0 {
        return None;
    }
    let evaluation = checked.evaluation;
    let of =
        [(held, evaluation.checks().len(), "check"), (limited, evaluation.limits().len(), "limit")];
    let of = of.into_iter().filter(|(_, all, _)| *all > 0);
    let of: Vec<String> = of.map(|(held, all, thing)| share(held, all, thing)).collect();
    let verb = if held + limited == 1 { "holds" } else { "hold" };
    Some(format!("{} {verb}.", draw::list(&of)))
}

/// `3 checks`, or `2 of 3 checks`.
fn share(held: usize, all: usize, thing: &str) -> String {
    let things = count(all, thing);
    if held == all { things } else { format!("{held} of {things}") }
}

fn each_holding(checked: &Checked<'_>, page: &mut Page) {
    let mut columns = Columns::default();
    let row = |name: &str, size: Option<String>, what: &str| {
        [
            Cell::text(Ink::Holds, Verdict::Holds.as_str()),
            Cell::text(Ink::Plain, name),
            Cell::number(Ink::Plain, &size.unwrap_or_default()),
            Cell::text(Ink::Faint, what),
        ]
    };
    for check in checks(checked, Verdict::Holds) {
        let margin = check.margin.map(|margin| draw::measure(margin, check.unit.symbol()));
        columns.row(row(&check.name, margin, &check.requirement));
    }
    for limit in limits(checked, Verdict::Holds) {
        let margin = limit.margin.map(|margin| draw::measure(margin, limit.unit.symbol()));
        let between = draw::limits(limit.min, limit.max, limit.unit.symbol());
        columns.row(row(&limit.name, margin, &between.unwrap_or_default()));
    }
    columns.draw(0, page);
}

/// Draws which states nobody looked at, with `--all` of which checks.
fn unlooked(checked: &Checked<'_>, page: &mut Page) {
    for (index, (names, sentence)) in unlooked_states(checked).into_iter().enumerate() {
        if index == 0 {
            page.gap();
        }
        page.say(0, &sentence);
        if checked.all {
            page.say(2, &names.join(", "));
        }
    }
}

/// The states that nobody looked at, lest their silence be taken for a verdict.
pub(super) fn not_assessed(checked: &Checked<'_>) -> Vec<String> {
    unlooked_states(checked).into_iter().map(|(_, sentence)| sentence).collect()
}

fn unlooked_states(checked: &Checked<'_>) -> Vec<(Vec<String>, String)> {
    let moving = names(checked, |check| check.travel.is_none());
    let made = names(checked, |check| check.travel.is_some() && check.worst.is_none());
    let states = [
        (moving, "on axes that move", "at rest only"),
        (made, "on tolerances", "at nominal dimensions only"),
    ];
    let sentence = |(names, what, how): (Vec<String>, &str, &str)| {
        let depend = verbed(names.len(), "check", "depends", "depend");
        let they = if names.len() == 1 { "it was" } else { "they were" };
        (names, format!("{depend} {what}; {they} assessed {how}."))
    };
    states.into_iter().filter(|(names, ..)| !names.is_empty()).map(sentence).collect()
}

fn names(checked: &Checked<'_>, wanted: impl Fn(&CheckResult) -> bool) -> Vec<String> {
    let checks = checked.evaluation.checks().iter().filter(|check| wanted(check));
    checks.map(|check| check.name.clone()).collect()
}

/// So many warnings of one sort are drawn; the others are counted.
const MOST_ALIKE: usize = 5;

/// Warnings, sort by sort; tight checks have been shown already.
fn warned(checked: &Checked<'_>, page: &mut Page) {
    let warnings = checked.warnings.iter().filter(|warning| warning.slug != "tight");
    let mut sorts: Vec<(&str, Vec<&Warning>)> = Vec::new();
    for warning in warnings {
        match sorts.iter_mut().find(|(slug, _)| *slug == warning.slug) {
            Some((_, alike)) => alike.push(warning),
            None => sorts.push((warning.slug, vec![warning])),
        }
    }
    for (_, alike) in sorts {
        page.gap();
        warned_alike(&alike, page);
    }
}

/// Warnings of one sort. What helps against several in a row is said once behind them.
fn warned_alike(alike: &[&Warning], page: &mut Page) {
    let shown = &alike[..alike.len().min(MOST_ALIKE)];
    for (index, warning) in shown.iter().enumerate() {
        draw::warning(warning, page);
        if shown.get(index + 1).is_none_or(|next| next.help != warning.help) {
            draw::help(&warning.help, page);
        }
    }
    let more = alike.len() - shown.len();
    if more > 0 {
        page.say(0, &format!("and {more} more like these; --format json lists all"));
    }
}

/// The answer in a sentence or two.
pub(super) fn sentence(checked: &Checked<'_>) -> String {
    let number = |verdict| checks(checked, verdict).count() + limits(checked, verdict).count();
    let faults = match checked.troubles.len() {
        0 => String::new(),
        faults => format!("The design has {}. ", count(faults, "fault")),
    };
    let bad = [
        (Verdict::Fails, "fails", "fail"),
        (Verdict::Unknown, "is unknown", "are unknown"),
        (Verdict::Tight, "is tight", "are tight"),
    ];
    let bad = bad.map(|(verdict, one, many)| match number(verdict) {
        1 => format!("1 {one}"),
        several => format!("{several} {many}"),
    });
    let bad: Vec<String> = bad.into_iter().filter(|said| !said.starts_with("0 ")).collect();
    let verdicts = if !bad.is_empty() {
        format!("Of the checks and limits {}.", draw::list(&bad))
    } else if number(Verdict::Holds) == 0 {
        "There is no check or limit in this design yet.".to_owned()
    } else {
        "Everything that was assessed holds.".to_owned()
    };
    faults + &verdicts
}
