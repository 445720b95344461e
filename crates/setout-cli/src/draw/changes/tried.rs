//! The values that somebody tries or sets.

use setout::{Amount, Both, Edited};

use super::figures::{pair, set};
use super::rows::{self, Remark, Row};
use crate::draw::ink::Ink;
use crate::draw::page::Page;

/// Draws edits of values, each with what it came to before and after.
pub(crate) fn tried<'a>(
    edits: impl Iterator<Item = (&'a Edited, &'a Both<Option<Amount>>)>,
    page: &mut Page,
) {
    let edits: Vec<_> = edits.collect();
    let figures = edits.iter().map(|(_, of)| pair(of.before.as_ref(), of.after.as_ref()));
    let figures = set(&figures.collect::<Vec<_>>());
    let row = |((edit, values), figures): (&(&Edited, &Both<Option<Amount>>), String)| Row {
        cells: vec![(Ink::Plain, edit.name.clone()), (Ink::Plain, figures)],
        remark: remark(edit, values),
    };
    let rows: Vec<Row> = edits.iter().zip(figures).map(row).collect();
    rows::draw(&rows, page);
}

fn remark(edit: &Edited, values: &Both<Option<Amount>>) -> Remark {
    let was = edit.before.as_deref().filter(|_| edit.overridden);
    let is = edit.after.as_deref().filter(|text| !is_plain(text, values.after.as_ref()));
    match (was, is) {
        (Some(formula), _) => Remark::Text(format!("overridden: {formula}")),
        (None, Some(formula)) => Remark::Text(format!("by {formula}")),
        (None, None) => Remark::Nothing,
    }
}

/// Whether a text says no more than the amount that it came to.
pub(crate) fn is_plain(text: &str, amount: Option<&Amount>) -> bool {
    let bare = |text: &str| text.split_whitespace().collect::<String>();
    match amount {
        Some(Amount::Text(_)) => true,
        Some(amount) => {
            let unit = amount.unit();
            let number = bare(text);
            let number = number.strip_suffix(&*bare(unit)).unwrap_or(&number);
            number.parse::<f64>().ok() == amount.number() && amount.number().is_some()
        }
        None => false,
    }
}
