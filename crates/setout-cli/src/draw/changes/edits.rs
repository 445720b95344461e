//! What a hand changed, table by table.

use std::collections::HashMap;

use setout::{Amount, Both, Edited, What};

use super::TO;
use super::figures::pair;
use super::tried::is_plain;
use super::words::was_and_is;
use crate::changes::Changes;
use crate::draw::ink::Ink;
use crate::draw::page::{Line, Page};
use crate::draw::safe::{one_line, visible, width};

/// How far in the names of a table stand.
const INDENT: usize = 2;
/// How far in a text before and after stands, below its line.
const BELOW: usize = 6;
/// What was edited has so much room, behind the name.
const WHAT: usize = 13;
/// Longer names push on what stands behind them.
const NAME: usize = 32;

/// Draws all edits.
pub(crate) fn edits(changes: &Changes, page: &mut Page) {
    let names = changes.edits().map(|(edit, _)| width(&visible(bare(edit))));
    let name = names.max().unwrap_or(0).min(NAME);
    let mut last: Option<&Edited> = None;
    for (edit, values) in in_order(changes) {
        if last.is_none_or(|last| table(last) != table(edit)) {
            page.gap();
            page.heading(table(edit));
            last = None;
        }
        let again = last.is_some_and(|last| last.name == edit.name);
        let named = if again { "" } else { bare(edit) };
        let line = Line::indented(INDENT).put(Ink::Plain, named).put(Ink::Plain, "  ");
        let line = line.to(INDENT + name + 2);
        draw(edit, values, line, page);
        last = Some(edit);
    }
}

type Edit<'a> = (&'a Edited, &'a Both<Option<Amount>>);

/// Table by table and thing by thing, in the order in which they stand there.
fn in_order(changes: &Changes) -> Vec<Edit<'_>> {
    let mut edits: Vec<Edit<'_>> = changes.edits().collect();
    let mut lines = HashMap::new();
    for (edit, _) in &edits {
        let line = lines.entry(&*edit.name).or_insert(edit.place.line);
        *line = edit.place.line.min(*line);
    }
    edits.sort_by(|(a, _), (b, _)| {
        let key = |edit: &Edited| (lines[&*edit.name], edit.what);
        (&a.place.file, table(a), key(a), &a.name).cmp(&(&b.place.file, table(b), key(b), &b.name))
    });
    edits
}

fn table(edit: &Edited) -> &str {
    edit.name.split('.').next().unwrap_or_default()
}

/// The name within its table; what is about the table itself has none.
fn bare(edit: &Edited) -> &str {
    edit.name.split_once('.').map_or("itself", |(_, bare)| bare)
}

fn draw(edit: &Edited, values: &Both<Option<Amount>>, line: Line, page: &mut Page) {
    let line = line.put(Ink::Faint, edit.what.as_str());
    let behind = line.width() + WHAT.saturating_sub(edit.what.as_str().len());
    let line = line.put(Ink::Plain, " ").to(behind);
    let (before, after) = (edit.before.as_deref(), edit.after.as_deref());
    match edit.what {
        What::Added => page.wrap(&line, BELOW, Ink::Plain, &with_value(after, &values.after)),
        What::Removed => page.wrap(&line, BELOW, Ink::Plain, &with_value(before, &values.before)),
        What::Renamed => {
            page.wrap(&line, BELOW, Ink::Plain, &format!("was {}", before.unwrap_or_default()));
        }
        What::Value if values.before.is_some() || values.after.is_some() => {
            value(edit, values, line, page);
        }
        _ => text(before, after, line, page),
    }
}

/// What was added or removed: as written, and what that comes to.
fn with_value(written: Option<&str>, value: &Option<Amount>) -> String {
    let written = written.unwrap_or_default();
    match value {
        Some(amount) if !is_plain(written, Some(amount)) => format!("{amount}, by {written}"),
        _ => written.to_owned(),
    }
}

/// A value in figures, and below it the formulas that it had.
fn value(edit: &Edited, values: &Both<Option<Amount>>, line: Line, page: &mut Page) {
    let (before, after) = (values.before.as_ref(), values.after.as_ref());
    let figures = pair(before, after);
    page.line(&line.put(Ink::Plain, &format!("{} {TO} {}", figures.before, figures.after)));
    let plain =
        |text: &Option<String>, amount| text.as_deref().is_none_or(|text| is_plain(text, amount));
    if !(plain(&edit.before, before) && plain(&edit.after, after)) {
        was_and_is(edit.before.as_deref(), edit.after.as_deref(), BELOW, page);
    }
}

/// Any other text: on one line if it is short.
fn text(before: Option<&str>, after: Option<&str>, line: Line, page: &mut Page) {
    let shown = |side: Option<&str>| one_line(side.unwrap_or("none"));
    let both = format!("{} {TO} {}", shown(before), shown(after));
    if line.width() + width(&visible(&both)) <= page.width {
        page.line(&line.put(Ink::Plain, &both));
    } else {
        page.line(&line);
        was_and_is(before, after, BELOW, page);
    }
}
