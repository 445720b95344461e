//! Lines with names, values before and after, and a remark.

use crate::draw::ink::Ink;
use crate::draw::page::{Line, Page};
use crate::draw::safe::{one_line, shortened, visible, width};

/// One line in the making.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) cells: Vec<(Ink, String)>,
    pub(super) remark: Remark,
}

/// What stands behind everything else.
#[derive(Clone, Debug)]
pub(super) enum Remark {
    Nothing,
    /// A text, shortened at its end.
    Text(String),
    /// Names on the way, shortened in the middle.
    Via(Vec<String>),
    /// Names of which the last are counted, on a line of their own.
    Below(Vec<String>),
}

/// How far in the lines stand.
const INDENT: usize = 2;
/// Between two columns.
const GAP: usize = 2;
/// A remark with less room than this goes below its line.
const REMARK: usize = 24;
/// A remark below its line stands so far in.
const BELOW: usize = 6;

/// The lines of each row, their columns under each other.
pub(super) fn lines(rows: &[Row], page: &Page) -> Vec<Vec<Line>> {
    let columns = rows.iter().map(|row| row.cells.len()).max().unwrap_or(0);
    let widest = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.cells.get(column));
        cells.map(|(_, text)| width(&visible(text))).max().unwrap_or(0)
    };
    let mut starts = vec![INDENT];
    for column in 0..columns {
        let width = widest(column);
        starts.push(starts[column] + width + if width == 0 { 0 } else { GAP });
    }
    rows.iter().map(|row| drawn(row, &starts, page.width)).collect()
}

fn drawn(row: &Row, starts: &[usize], page: usize) -> Vec<Line> {
    let mut line = Line::default();
    for ((ink, text), start) in row.cells.iter().zip(starts) {
        line = line.to(*start).put(*ink, text);
    }
    let behind = starts.last().copied().unwrap_or(INDENT);
    let room = page.saturating_sub(behind);
    let whole = row.remark.text(usize::MAX);
    let beside = row.remark.text(room);
    let below = matches!(row.remark, Remark::Below(_)) || (room < REMARK && beside != whole);
    if whole.is_empty() {
        vec![line]
    } else if below {
        let text = row.remark.text(page.saturating_sub(BELOW).max(REMARK));
        vec![line, Line::indented(BELOW).put(Ink::Faint, &text)]
    } else {
        vec![line.to(behind).put(Ink::Faint, &beside)]
    }
}

/// Draws all lines of all rows.
pub(super) fn draw(rows: &[Row], page: &mut Page) {
    lines(rows, page).iter().flatten().for_each(|line| page.line(line));
}

impl Remark {
    fn text(&self, room: usize) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Text(text) => shortened(&visible(&one_line(text)), room),
            Self::Via(names) => via(names, room),
            Self::Below(names) => counted(names, room),
        }
    }
}

/// `via a, b, c`, or with the middle left out as far as it must be. The last name is the one
/// that stands in the formula, so it stays longest.
fn via(names: &[String], room: usize) -> String {
    let Some(last) = names.last() else { return String::new() };
    let whole = format!("via {}", names.join(", "));
    let without_middle = (1..names.len()).rev().map(|kept| {
        let (first, end) = (kept / 2, names.len() - (kept - kept / 2));
        let parts = [&names[..first], &["…".to_owned()], &names[end..]].concat();
        format!("via {}", parts.join(", "))
    });
    let mut all = std::iter::once(whole).chain(without_middle);
    all.find(|text| width(text) <= room).unwrap_or_else(|| shortened(&format!("via {last}"), room))
}

/// As many names as fit, and how many more there are.
fn counted(names: &[String], room: usize) -> String {
    let text = |shown: usize| match names.len() - shown {
        0 => names.join(", "),
        more => format!("{} and {more} more", names[..shown].join(", ")),
    };
    let fits = (1..=names.len()).rev().map(text).find(|text| width(text) <= room);
    fits.unwrap_or_else(|| shortened(&names.join(", "), room))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_is_shortened_in_its_middle() {
        let names = ["a.one", "b.two", "c.three", "d.four"].map(str::to_owned);
        assert_eq!(via(&names, 80), "via a.one, b.two, c.three, d.four");
        assert_eq!(via(&names, 30), "via a.one, …, c.three, d.four");
        assert_eq!(via(&names, 20), "via a.one, …, d.four");
        assert_eq!(via(&names, 15), "via …, d.four");
        assert_eq!(via(&names, 11), "via d.four");
        assert_eq!(via(&names[..0], 11), "");
        assert_eq!(counted(&names, 24), "a.one, b.two and 2 more");
    }
}
