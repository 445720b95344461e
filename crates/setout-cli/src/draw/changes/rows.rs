//! Lines with names, values before and after, and a remark.

use crate::draw::ink::Ink;
use crate::draw::page::{Line, Page};
use crate::draw::safe::{one_line, shortened, visible, width};

/// One line in the making.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub(crate) cells: Vec<(Ink, String)>,
    pub(crate) remark: Remark,
}

/// What stands behind everything else.
#[derive(Clone, Debug)]
pub(crate) enum Remark {
    Nothing,
    /// A text, shortened at its end.
    Text(String),
    /// Names on the way, shortened in the middle.
    Via(Vec<String>),
    /// Names of which the last are counted.
    Names(Vec<String>),
    /// The same on a line of their own.
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
    let faint = |line: Line, text: &str| line.put(Ink::Faint, text);
    match row.remark.beside(page.saturating_sub(behind)) {
        Some(text) => vec![faint(line.to(behind), &text)],
        None => match row.remark.below(page.saturating_sub(BELOW).max(REMARK)) {
            text if text.is_empty() => vec![line],
            text => vec![line, faint(Line::indented(BELOW), &text)],
        },
    }
}

/// Draws all lines of all rows.
pub(crate) fn draw(rows: &[Row], page: &mut Page) {
    lines(rows, page).iter().flatten().for_each(|line| page.line(line));
}

impl Remark {
    /// The text behind a line with so much room, if it says enough there.
    fn beside(&self, room: usize) -> Option<String> {
        match self {
            Self::Nothing | Self::Below(_) => None,
            Self::Text(text) => {
                let text = one_line(text);
                let fits = room >= REMARK || width(&visible(&text)) <= room;
                fits.then(|| shortened(&visible(&text), room))
            }
            Self::Via(names) => via(names).find(|text| width(text) <= room),
            Self::Names(names) => (room >= REMARK).then(|| counted(names, room)),
        }
    }

    /// The text on a line of its own.
    fn below(&self, room: usize) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Text(text) => shortened(&visible(&one_line(text)), room),
            Self::Via(names) => {
                let fitting = via(names).find(|text| width(text) <= room);
                fitting.or_else(|| via(names).last()).unwrap_or_default()
            }
            Self::Names(names) | Self::Below(names) => counted(names, room),
        }
    }
}

/// More names than this fit on no line.
const MOST: usize = 64;

/// `via a, b, c`, and the same with more and more of the middle left out. The last name is the
/// one that stands in the formula, so it stays.
fn via(names: &[String]) -> impl Iterator<Item = String> {
    let fits = (1..=MOST).contains(&names.len());
    let whole = fits.then(|| format!("via {}", names.join(", ")));
    // A long way comes with its middle left out already; one such gap is enough.
    let gap = names.iter().position(|name| name == "…").unwrap_or(names.len());
    let without_middle = (1..names.len().min(MOST)).rev().map(move |kept| {
        let first = (kept / 2).min(gap);
        let end = (names.len() - (kept - first)).max(first);
        let parts = [&names[..first], &["…".to_owned()], &names[end..]].concat();
        format!("via {}", parts.join(", "))
    });
    whole.into_iter().chain(without_middle)
}

/// As many names as fit, and how many more there are.
fn counted(names: &[String], room: usize) -> String {
    let text = |shown: usize| match names.len() - shown {
        0 => names.join(", "),
        more => format!("{} and {more} more", names[..shown].join(", ")),
    };
    let most = names.len().min(MOST);
    let fits = (1..=most).rev().map(text).find(|text| width(text) <= room);
    fits.unwrap_or_else(|| shortened(&names[..most].join(", "), room))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_is_shortened_in_its_middle() {
        let names = ["a.one", "b.two", "c.three", "d.four"].map(str::to_owned);
        let all: Vec<String> = via(&names).collect();
        assert_eq!(
            all,
            [
                "via a.one, b.two, c.three, d.four",
                "via a.one, …, c.three, d.four",
                "via a.one, …, d.four",
                "via …, d.four"
            ]
        );
        assert_eq!(via(&names[..0]).count(), 0);
        let cut = ["…", "b.two", "c.three", "d.four"].map(str::to_owned);
        assert_eq!(via(&cut).nth(2).as_deref(), Some("via …, c.three, d.four"));
        assert_eq!(counted(&names, 24), "a.one, b.two and 2 more");
    }
}
