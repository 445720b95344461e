//! Texts side by side.

use super::ink::Ink;
use super::page::{Line, Page};
use super::safe::{one_line, shortened, visible, width};

/// One cell of a row.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    ink: Ink,
    text: String,
    /// How much of the text stands before the line along which its column is set.
    before: usize,
}

impl Cell {
    /// A text, set along its beginning.
    pub(crate) fn text(ink: Ink, text: &str) -> Self {
        Self { ink, text: visible(&one_line(text)).into_owned(), before: 0 }
    }

    /// A number with what follows it, set along its point, so that units stand under units and
    /// sizes can be compared by eye. What is no number is set along its beginning.
    pub(crate) fn number(ink: Ink, text: &str) -> Self {
        let cell = Self::text(ink, text);
        let digits = cell.text.strip_prefix('-').unwrap_or(&cell.text);
        let whole = digits.bytes().take_while(u8::is_ascii_digit).count();
        let before = if whole == 0 { 0 } else { cell.text.len() - digits.len() + whole };
        Self { before, ..cell }
    }

    /// Nothing.
    pub(crate) fn empty() -> Self {
        Self::text(Ink::Plain, "")
    }

    fn after(&self) -> usize {
        width(&self.text) - self.before
    }
}

/// Rows of cells.
#[derive(Debug, Default)]
pub(crate) struct Columns {
    rows: Vec<Vec<Cell>>,
    whole: bool,
}

/// Between two columns.
pub(super) const GAP: usize = 2;
/// With less room than this, a last column says nothing.
const NARROWEST: usize = 12;

/// The room that a column takes.
#[derive(Clone, Copy, Debug, Default)]
struct Breadth {
    /// The most that stands before the line along which numbers are set.
    before: usize,
    after: usize,
    text: usize,
}

impl Breadth {
    fn add(&mut self, cell: &Cell) {
        if cell.before == 0 {
            self.text = self.text.max(cell.after());
        } else {
            self.before = self.before.max(cell.before);
            self.after = self.after.max(cell.after());
        }
    }

    fn total(self) -> usize {
        self.text.max(self.before + self.after)
    }
}

impl Columns {
    /// Columns of which the last is not shortened to the page either.
    pub(crate) fn whole() -> Self {
        Self { whole: true, ..Self::default() }
    }

    /// Adds a row.
    pub(crate) fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// Draws all rows. Columns without any text are left out. Only the last column is shortened
    /// to the page: what stands before is to be read or copied whole.
    pub(crate) fn draw(&self, indent: usize, page: &mut Page) {
        let breadths = self.breadths();
        let end = if self.whole { usize::MAX } else { page.width };
        for row in &self.rows {
            page.line(&drawn(row, &breadths, indent, end));
        }
    }

    /// The room that a column takes.
    pub(super) fn breadth(&self, column: usize) -> usize {
        self.breadths().get(column).map_or(0, |breadth| breadth.total())
    }

    fn breadths(&self) -> Vec<Breadth> {
        let count = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let mut breadths = vec![Breadth::default(); count];
        for row in &self.rows {
            for (cell, breadth) in row.iter().zip(&mut breadths) {
                breadth.add(cell);
            }
        }
        breadths
    }
}

fn drawn(row: &[Cell], breadths: &[Breadth], indent: usize, end: usize) -> Line {
    let mut line = Line::indented(indent);
    let mut at = indent;
    for (index, (cell, breadth)) in row.iter().zip(breadths).enumerate() {
        if breadth.total() == 0 {
            continue;
        }
        let start = if cell.before == 0 { at } else { at + breadth.before - cell.before };
        if index + 1 < breadths.len() {
            line = line.to(start).put(cell.ink, &cell.text);
        } else if let Some(room) = end.checked_sub(start).filter(|room| *room >= NARROWEST) {
            line = line.to(start).put(cell.ink, &shortened(&cell.text, room));
        }
        at += breadth.total() + GAP;
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_stand_along_their_point() {
        let mut columns = Columns::default();
        let plain = |text: &str| Cell::text(Ink::Plain, text);
        for (name, value, note) in [
            ("width", "62 mm", "of the jaw, measured over its outer faces"),
            ("gap", "-1234.25 mm", ""),
            ("screw", "M4", "bought"),
        ] {
            let value = Cell::number(Ink::Plain, value);
            columns.row([plain(name), value, Cell::empty(), plain(note)]);
        }
        let mut page = Page::new(44, false);
        columns.draw(2, &mut page);
        let expected = "  width     62 mm     of the jaw, measured…\n  \
                          gap    -1234.25 mm\n  \
                          screw  M4           bought\n";
        assert_eq!(page.finish(), expected);
    }
}
