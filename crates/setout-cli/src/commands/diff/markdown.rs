//! What differs between two states of a design, as a comment on a change.

use setout::{Amount, CheckChange, LimitChange, Verdict};

use super::Compared;
use crate::draw::changes::{self as draw, TO};
use crate::draw::markdown::{LARGEST, Markdown, code, faults as draw_faults, prose, verdict};
use crate::draw::{count, limits, list, measure, verbed};

pub(super) fn markdown(compared: &Compared<'_>) -> String {
    let found = &compared.changes.found;
    let mut page = Markdown::default();
    page.paragraph(&format!("**{}**", compared.sentence()));
    let (before, after) = (compared.sides.before.title(), compared.sides.after.title());
    page.paragraph(&format!("- before: {}\n- after: {}", prose(&before), prose(&after)));
    faults(compared, &mut page);
    turned(compared, &mut page);
    edits(compared, &mut page);
    consequences(compared, &mut page);
    parts(compared, &mut page);
    margins(compared, &mut page);
    let totals = draw::totals_text(found);
    if !totals.is_empty() {
        page.paragraph(&prose(&totals));
    }
    if let Some(caution) = draw::caution(compared.changes) {
        page.paragraph(caution);
    }
    page.finish()
}

/// The characters that the rows of each table may take: faults, checks that turned, edits,
/// consequences, parts, margins.
const SHARES: [usize; 6] = [6_000, 12_000, 14_000, 14_000, 6_000, 4_000];
/// What stands round the tables: titles, heads, sentences. A summary of a revision is cut.
const ROUND: usize = 4_000;

const _: () = {
    let [a, b, c, d, e, f] = SHARES;
    assert!(a + b + c + d + e + f + ROUND <= LARGEST);
};

fn faults(compared: &Compared<'_>, page: &mut Markdown) {
    if compared.troubles.is_empty() {
        return;
    }
    let number = count(compared.troubles.len(), "fault");
    page.paragraph(&format!("**{number}; what could be compared follows.**"));
    draw_faults(compared.troubles, SHARES[0], page);
}

fn turned(compared: &Compared<'_>, page: &mut Markdown) {
    let found = &compared.changes.found;
    let checks = draw::turned(&found.checks);
    let limits = draw::limits_that_turned(&found.limits);
    let worst = |verdict: Option<Verdict>| std::cmp::Reverse(verdict);
    let of_checks = checks
        .iter()
        .map(|of| (worst(of.result.after.as_ref().map(|check| check.verdict)), check(of)));
    let of_limits = limits
        .iter()
        .map(|of| (worst(of.result.after.as_ref().map(|limit| limit.verdict)), limit(of)));
    let mut rows: Vec<_> = of_checks.chain(of_limits).collect();
    if rows.is_empty() {
        return;
    }
    // Stable, so that those of one verdict stay in the order of the tables.
    rows.sort_by_key(|(verdict, _)| *verdict);
    let rows: Vec<Vec<String>> = rows.into_iter().map(|(_, row)| row).collect();
    let told = [(checks.len(), "check"), (limits.len(), "limit")];
    let told = told.into_iter().filter(|(number, _)| *number > 0);
    let told: Vec<String> = told.map(|(number, thing)| count(number, thing)).collect();
    page.paragraph(&format!("{} turned:", list(&told)));
    page.table(&["now", "name", "margin", "requires", "because"], &rows, SHARES[1]);
}

fn check(change: &CheckChange) -> Vec<String> {
    let Some(check) = &change.result.after else { return Vec::new() };
    vec![
        verdict(check.verdict),
        code(&change.name),
        draw::margin_text(change),
        code(&check.requirement),
        prose(check.why.as_deref().unwrap_or_default()),
    ]
}

fn limit(change: &LimitChange) -> Vec<String> {
    let Some(limit) = &change.result.after else { return Vec::new() };
    let margin = limit.margin.map(|margin| measure(margin, limit.unit.symbol()));
    let between = limits(limit.min, limit.max, limit.unit.symbol());
    vec![
        verdict(limit.verdict),
        code(&change.name),
        margin.unwrap_or_default(),
        between.unwrap_or_default(),
        String::new(),
    ]
}

fn edits(compared: &Compared<'_>, page: &mut Markdown) {
    let edits: Vec<_> = compared.changes.edits().collect();
    if edits.is_empty() {
        return;
    }
    page.paragraph(&format!("{} by hand:", count(edits.len(), "edit")));
    let side = |text: Option<&str>, value: Option<&Amount>| match (text, value) {
        (Some(text), Some(value)) if !draw::is_plain(text, Some(value)) => {
            format!("{} = {}", code(text), code(&value.to_string()))
        }
        (text, _) => code(text.unwrap_or_default()),
    };
    let row = |(edit, values): &(&setout::Edited, &setout::Both<Option<Amount>>)| {
        vec![
            code(&edit.name),
            edit.what.to_string(),
            side(edit.before.as_deref(), values.before.as_ref()),
            side(edit.after.as_deref(), values.after.as_ref()),
        ]
    };
    let rows: Vec<Vec<String>> = edits.iter().map(row).collect();
    page.table(&["name", "what", "before", "after"], &rows, SHARES[2]);
}

fn consequences(compared: &Compared<'_>, page: &mut Markdown) {
    let changed = &compared.changes.found.changed;
    if changed.is_empty() {
        return;
    }
    let row = |change: &setout::Changed| {
        let figures = draw::pair(change.before.as_ref(), change.after.as_ref());
        let because = list(&change.because.iter().map(|name| code(name)).collect::<Vec<_>>());
        vec![
            code(&change.name),
            code(&format!("{} {TO} {}", figures.before, figures.after)),
            if change.any_of { format!("any of {because}") } else { because },
        ]
    };
    let rows: Vec<Vec<String>> = changed.iter().map(row).collect();
    let summary = verbed(changed.len(), "dimension", "follows", "follow");
    page.folded(&summary, |page| page.table(&["name", "value", "because"], &rows, SHARES[3]));
}

fn parts(compared: &Compared<'_>, page: &mut Markdown) {
    let parts = &compared.changes.found.parts;
    if parts.is_empty() {
        return;
    }
    let again = parts.iter().filter(|part| part.remake).count();
    let row = |part: &setout::PartChange| {
        let uses: Vec<String> = part.uses.iter().map(|name| code(name)).collect();
        vec![
            code(&part.name),
            if part.remake { "make again" } else { "keep" }.to_owned(),
            draw::total_text(&part.cost),
            draw::total_text(&part.mass),
            list(&uses),
        ]
    };
    let rows: Vec<Vec<String>> = parts.iter().map(row).collect();
    let have = verbed(again, "part", "has", "have");
    page.folded(&format!("{have} to be made again"), |page| {
        page.table(&["part", "", "cost", "mass", "of what it uses changed"], &rows, SHARES[4]);
    });
}

fn margins(compared: &Compared<'_>, page: &mut Markdown) {
    let moved = draw::moved(&compared.changes.found.checks);
    if moved.is_empty() {
        return;
    }
    let row = |change: &&CheckChange| {
        let verdict = change.result.after.as_ref().map_or("", |check| check.verdict.as_str());
        vec![verdict.to_owned(), code(&change.name), draw::margin_text(change)]
    };
    let rows: Vec<Vec<String>> = moved.iter().map(row).collect();
    let summary = format!("{} with another margin", count(moved.len(), "check"));
    page.folded(&summary, |page| page.table(&["still", "check", "margin"], &rows, SHARES[5]));
}
