//! What else a change touches, and the sentence that sums it up.

use setout::{Amount, Both, CheckChange, CheckResult, Comparison, LimitResult, Verdict};

use super::TO;
use super::figures::pair;
use crate::changes::Changes;
use crate::draw::amounts::{count, list, verbed};
use crate::draw::caution::{CAUTION, bears_on_safety};
use crate::draw::ink::Ink;
use crate::draw::page::{Line, Page};

/// Whether a change is being thought of or has been made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tense {
    Would,
    Made,
}

/// Says which schedules and exports differ.
pub(crate) fn around(found: &Comparison, page: &mut Page) {
    for (names, what) in [(&found.schedules, "Schedules"), (&found.exports, "Exports")] {
        if !names.is_empty() {
            page.wrap(
                &Line::default(),
                2,
                Ink::Plain,
                &format!("{what} with other values: {}.", list(names)),
            );
        }
    }
}

/// Says what everything costs and weighs, before and after where that differs.
pub(crate) fn totals(found: &Comparison, page: &mut Page) {
    let text = totals_text(found);
    if !text.is_empty() {
        page.say(0, &text);
    }
}

/// The same as a sentence; nothing where nothing has a cost or a mass.
pub(crate) fn totals_text(found: &Comparison) -> String {
    let told = [("cost", &found.cost), ("mass", &found.mass)];
    let told = told.into_iter().filter(|(_, both)| both.before.is_some() || both.after.is_some());
    let told: Vec<String> =
        told.map(|(what, both)| format!("{what} {}", total_text(both))).collect();
    if told.is_empty() {
        String::new()
    } else {
        format!("All parts together: {}.", told.join(", "))
    }
}

/// A cost or a mass before and after, or once where it is the same; nothing where there is none.
pub(crate) fn total_text(both: &Both<Option<Amount>>) -> String {
    let (before, after) = (both.before.as_ref(), both.after.as_ref());
    let figures = pair(before, after);
    match (before, after) {
        (None, None) => String::new(),
        (before, after) if before == after => format!("{} as before", figures.after),
        _ => format!("{} {TO} {}", figures.before, figures.after),
    }
}

/// What a change comes to.
pub(crate) fn sentence(found: &Comparison, tense: Tense) -> String {
    let clauses = clauses(found, tense);
    let mut rest = clauses.chars();
    let first = rest.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", rest.as_str())
}

/// The same as the clauses of a sentence without its full stop.
pub(crate) fn clauses(found: &Comparison, tense: Tense) -> String {
    let dimensions = match found.changed.len() {
        0 => "no dimension".to_owned(),
        changed => count(changed, "dimension"),
    };
    let mut clauses = vec![match tense {
        Tense::Would if found.changed.len() < 2 => format!("{dimensions} changes"),
        Tense::Would => format!("{dimensions} change"),
        Tense::Made => format!("{dimensions} changed"),
    }];
    let again = found.parts.iter().filter(|part| part.remake).count();
    if again > 0 {
        clauses.push(format!("{} to be made again", verbed(again, "part", "has", "have")));
    }
    let turns = turns(found, tense);
    match (turns.is_empty(), tense) {
        (false, _) => clauses.extend(turns),
        (true, Tense::Would) => clauses.push("no check or limit would get worse".to_owned()),
        (true, Tense::Made) => clauses.push("no check or limit got worse".to_owned()),
    }
    let better = found.checks.iter().filter(|check| is_better(check)).count();
    match (better, tense) {
        (0, _) => {}
        (better, Tense::Would) => {
            clauses.push(format!("{} would get better", count(better, "check")))
        }
        (better, Tense::Made) => clauses.push(format!("{} got better", count(better, "check"))),
    }
    clauses.join(", ")
}

/// How many checks and limits turned, and what to.
fn turns(found: &Comparison, tense: Tense) -> Vec<String> {
    let checks = found.checks.iter().map(|check| verdicts(&check.result, |of| of.verdict));
    let checks: Vec<_> = checks.collect();
    let limits = found.limits.iter().map(|limit| verdicts(&limit.result, |of| of.verdict));
    let limits: Vec<_> = limits.collect();
    let mut clauses = Vec::new();
    for (verdict, would, now) in [
        (Verdict::Fails, ["would fail"; 2], ["fails", "fail"]),
        (Verdict::Unknown, ["would be unknown"; 2], ["is unknown", "are unknown"]),
        (Verdict::Tight, ["would be tight"; 2], ["is tight", "are tight"]),
    ] {
        for (thing, sides) in [("check", &checks), ("limit", &limits)] {
            let number = sides.iter().filter(|sides| worse(**sides, verdict)).count();
            let [one, many] = if tense == Tense::Would { would } else { now };
            if number > 0 {
                clauses.push(verbed(number, thing, one, many));
            }
        }
    }
    clauses
}

/// Whether something is this bad now and was better before.
fn worse([before, after]: [Option<Verdict>; 2], verdict: Verdict) -> bool {
    after == Some(verdict) && before.is_none_or(|before| before < verdict)
}

fn is_better(check: &CheckChange) -> bool {
    matches!(verdicts(&check.result, |of| of.verdict), [Some(before), Some(after)] if after < before)
}

fn verdicts<T>(both: &Both<Option<T>>, of: fn(&T) -> Verdict) -> [Option<Verdict>; 2] {
    [both.before.as_ref().map(of), both.after.as_ref().map(of)]
}

/// The usual caution, if something that differs can hurt somebody.
pub(crate) fn caution(changes: &Changes) -> Option<&'static str> {
    let found = &changes.found;
    let amount = |name: &str, amount: &Option<Amount>| is_dangerous(name, amount.as_ref());
    let check = |check: &CheckResult| {
        let why = check.why.as_deref().unwrap_or_default();
        bears_on_safety(&check.unit, [&*check.name, &*check.requirement, why])
    };
    let limit = |limit: &LimitResult| bears_on_safety(&limit.unit, [&*limit.name]);
    let dangerous = changes.edits().any(|(edit, values)| amount(&edit.name, &values.after))
        || found.changed.iter().any(|changed| amount(&changed.name, &changed.after))
        || found.checks.iter().filter_map(|of| of.result.after.as_ref()).any(check)
        || found.limits.iter().filter_map(|of| of.result.after.as_ref()).any(limit);
    dangerous.then_some(CAUTION)
}

/// Whether a value can hurt somebody.
pub(crate) fn is_dangerous(name: &str, amount: Option<&Amount>) -> bool {
    matches!(amount, Some(Amount::Number { unit, .. }) if bears_on_safety(unit, [name]))
}
