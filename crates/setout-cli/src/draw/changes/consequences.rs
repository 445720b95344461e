//! The values that followed, in order of dependency.

use std::collections::HashMap;

use setout::Changed;

use super::figures::{pair, set};
use super::rows::{self, Remark, Row};
use crate::draw::amounts::list;
use crate::draw::ink::Ink;
use crate::draw::page::{Line, Page};

/// Draws values that changed. Where there are several edits, those that follow from the same
/// ones stand together; those that came first stand first.
pub(crate) fn consequences(changed: &[Changed], several: bool, page: &mut Page) {
    let lines = rows::lines(&rows_of(changed), page);
    let mut groups: Vec<(&Changed, Vec<&Line>)> = Vec::new();
    let mut places = HashMap::new();
    for (change, lines) in changed.iter().zip(&lines) {
        let cause = several.then_some((&change.because, change.any_of));
        let place = *places.entry(cause).or_insert(groups.len());
        if place == groups.len() {
            groups.push((change, Vec::new()));
        }
        groups[place].1.extend(lines);
    }
    for (change, lines) in &groups {
        if several {
            page.gap();
            page.wrap(&Line::default(), 2, Ink::Plain, &from(change));
        }
        lines.iter().for_each(|line| page.line(line));
    }
}

fn rows_of(changed: &[Changed]) -> Vec<Row> {
    let figures: Vec<_> =
        changed.iter().map(|of| pair(of.before.as_ref(), of.after.as_ref())).collect();
    let row = |(change, figures): (&Changed, String)| {
        let between = change.path.get(1..change.path.len().saturating_sub(1)).unwrap_or_default();
        Row {
            cells: vec![(Ink::Plain, change.name.clone()), (Ink::Plain, figures)],
            remark: Remark::Via(between.to_vec()),
        }
    };
    changed.iter().zip(set(&figures)).map(row).collect()
}

fn from(change: &Changed) -> String {
    match (change.because.as_slice(), change.any_of) {
        ([], _) => "From no one edit:".to_owned(),
        ([one], _) => format!("From {one}:"),
        (several, false) => format!("From {}:", list(several)),
        (several, true) => format!("From {}, none of them alone:", list(several)),
    }
}

/// So many names are told; the others are counted.
const MOST: usize = 24;

/// Says what was reached and came out the same.
pub(crate) fn unchanged(names: &[String], page: &mut Page) {
    if names.is_empty() {
        return;
    }
    let shown = match names.len().checked_sub(MOST).filter(|more| *more > 0) {
        Some(more) => format!("{} and {more} more", names[..MOST].join(", ")),
        None => list(names),
    };
    page.wrap(&Line::default(), 2, Ink::Plain, &format!("Reached, with the same value: {shown}."));
}
