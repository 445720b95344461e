//! Schedules as they stand on a drawing: rows and columns with a head.

use setout::{ScheduleResult, Unit};

use super::amounts::amount;
use super::columns::{Cell, Columns, GAP};
use super::ink::Ink;
use super::page::{Line, Page};
use super::safe::width;

/// How far in a grid stands, below its name.
const INDENT: usize = 2;

/// Draws a schedule under a name, so far in. One that is wider than the page is continued below
/// itself.
pub(crate) fn schedule(schedule: &ScheduleResult, name: &str, indent: usize, page: &mut Page) {
    let start = Line::indented(indent).put(Ink::Heading, name);
    let indent = indent + INDENT;
    match &schedule.about {
        Some(about) => page.wrap(&start.put(Ink::Plain, ": "), indent, Ink::Plain, about),
        None => page.line(&start),
    }
    for columns in strips(schedule, page.width.saturating_sub(indent)) {
        strip(schedule, &columns).draw(indent, page);
    }
}

/// The columns that go side by side in so much room, strip by strip.
fn strips(schedule: &ScheduleResult, width_of_page: usize) -> Vec<Vec<usize>> {
    let names = schedule.rows.iter().map(|(name, _)| width(name)).max().unwrap_or(0);
    let (mut strips, mut room) = (vec![Vec::new()], width_of_page.saturating_sub(names));
    for column in 0..schedule.columns.len() {
        let breadth = strip(schedule, &[column]).breadth(1) + GAP;
        match strips.last_mut() {
            Some(strip) if strip.is_empty() || breadth <= room => strip.push(column),
            _ => {
                strips.push(vec![column]);
                room = width_of_page.saturating_sub(names);
            }
        }
        room = room.saturating_sub(breadth);
    }
    strips
}

fn strip(schedule: &ScheduleResult, columns: &[usize]) -> Columns {
    let mut grid = Columns::whole();
    let head = |text: &str| Cell::text(Ink::Faint, text);
    let named = columns.iter().map(|column| head(&schedule.columns[*column]));
    grid.row([Cell::empty()].into_iter().chain(named));
    let units = columns.iter().map(|column| head(unit(schedule, *column)));
    grid.row([Cell::empty()].into_iter().chain(units));
    for (name, cells) in &schedule.rows {
        let values = columns.iter().map(|column| {
            let ink = if cells[*column].value.is_some() { Ink::Plain } else { Ink::Unknown };
            Cell::number(ink, &value(cells, *column))
        });
        grid.row([Cell::text(Ink::Plain, name)].into_iter().chain(values));
    }
    grid
}

fn unit(schedule: &ScheduleResult, column: usize) -> &str {
    schedule.units[column].as_ref().map_or("", Unit::symbol)
}

/// The value of a cell without its unit, which stands at the head of the column.
fn value(cells: &[setout::DimensionResult], column: usize) -> String {
    let shown = amount(cells[column].value.as_ref());
    let unit = cells[column].value.as_ref().map_or("", |value| value.unit());
    shown.strip_suffix(unit).unwrap_or(&shown).trim_end().to_owned()
}
