//! What else a change touches, and the sentence that sums it up.

use setout::{Amount, Both, CheckResult, Comparison, LimitResult, Verdict};

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
    let told = [("cost", &found.cost), ("mass", &found.mass)];
    let told = told.into_iter().filter_map(|(what, both)| Some(format!("{what} {}", total(both)?)));
    let told: Vec<String> = told.collect();
    if !told.is_empty() {
        page.say(0, &format!("All parts together: {}.", told.join(", ")));
    }
}

fn total(both: &Both<Option<Amount>>) -> Option<String> {
    let (before, after) = (both.before.as_ref(), both.after.as_ref());
    let figures = pair(before, after);
    match (before, after) {
        (None, None) => None,
        (before, after) if before == after => Some(format!("{} as before", figures.after)),
        _ => Some(format!("{} {TO} {}", figures.before, figures.after)),
    }
}

/// What a change comes to, as the clauses of a sentence without its full stop.
pub(crate) fn sentence(found: &Comparison, tense: Tense) -> String {
    let dimensions = found.changed.len();
    let mut clauses = vec![match tense {
        Tense::Would => verbed(dimensions, "dimension", "changes", "change"),
        Tense::Made => format!("{} changed", count(dimensions, "dimension")),
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

fn verdicts<T>(both: &Both<Option<T>>, of: fn(&T) -> Verdict) -> [Option<Verdict>; 2] {
    [both.before.as_ref().map(of), both.after.as_ref().map(of)]
}

/// The usual caution, if something that differs can hurt somebody.
pub(crate) fn caution(changes: &Changes) -> Option<&'static str> {
    let found = &changes.found;
    let amount = |name: &str, amount: &Option<Amount>| match amount {
        Some(Amount::Number { unit, .. }) => bears_on_safety(unit, [name]),
        _ => false,
    };
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
