//! Values as points beside their revisions: time goes down, from new to old.

use setout::{Change, History, value_of};

use super::keys::number;
use super::text::{short_date, shown};
use crate::draw::{Ink, Line, Page, measure};

/// So many revisions are drawn.
const MOST_ROWS: usize = 200;
/// How many columns the field of points has.
const FIELD: usize = 36;
/// The widest value that is written out.
const WIDEST: usize = 16;

pub(super) fn draw(history: &History, page: &mut Page) {
    let rows: Vec<(&Change, Option<f64>)> = history
        .changes
        .iter()
        .take(MOST_ROWS)
        .map(|change| (change, of(change, history)))
        .collect();
    let numbers = || rows.iter().filter_map(|(_, number)| *number);
    let low = numbers().fold(f64::INFINITY, f64::min);
    let high = numbers().fold(f64::NEG_INFINITY, f64::max);
    let short = rows.iter().map(|(change, _)| change.revision.short().len()).max().unwrap_or(0);
    let field = short + 2 + 10 + 2 + WIDEST + 2;
    if low <= high {
        let unit = history.unit.as_ref().map_or("", setout::Unit::symbol);
        let (low, high) = (measure(low, unit), measure(high, unit));
        let ends = match low == high {
            true => low,
            false => {
                let used = low.chars().count() + high.chars().count();
                format!("{low}{}{high}", " ".repeat(FIELD.saturating_sub(used).max(1)))
            }
        };
        page.line(&Line::indented(field).put(Ink::Faint, &ends));
    }
    for (change, number) in &rows {
        let row = Line::default().put(Ink::Place, change.revision.short()).to(short + 2);
        let row = row.put(Ink::Faint, &short_date(change.revision.date())).to(short + 14);
        let value = shown(&change.standing);
        let value: String = value.split(", margin ").last().unwrap_or(&value).to_owned();
        let kept: String = value.chars().take(WIDEST).collect();
        let row = row.put(Ink::Plain, &kept).to(field);
        page.line(&match number {
            Some(number) => row.put(Ink::Plain, &point(*number, low, high)),
            None => row,
        });
    }
    if history.changes.len() > MOST_ROWS {
        page.say(0, &format!("and {} before", history.changes.len() - MOST_ROWS));
    }
}

fn of(change: &Change, history: &History) -> Option<f64> {
    let number = number(&value_of(&change.standing)?, history.unit.as_ref())?;
    number.is_finite().then_some(number)
}

/// A point in the field; halved first, so that no difference is too large for a number.
fn point(number: f64, low: f64, high: f64) -> String {
    let span = high / 2.0 - low / 2.0;
    let share = if span > 0.0 { (number / 2.0 - low / 2.0) / span } else { 0.0 };
    let column = (share.clamp(0.0, 1.0) * (FIELD - 1) as f64).round() as usize;
    format!("{}o", "·".repeat(column))
}
