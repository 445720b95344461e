//! Text in lines: the one way on which anything reaches a terminal.

use super::ink::Ink;
use super::safe::{visible, width, wrapped};

/// A text that grows line by line. Whatever is put on it is made visible first, and no line
/// ends in blanks.
#[derive(Debug)]
pub(crate) struct Page {
    text: String,
    /// How many columns a line may have.
    pub(super) width: usize,
    coloured: bool,
}

/// A line in pieces of different ink.
#[derive(Clone, Debug, Default)]
pub(crate) struct Line {
    pieces: Vec<(Ink, String)>,
    width: usize,
}

/// Where the text of an entry begins, behind its label.
const LABEL: usize = 12;
/// The fewest columns that text is wrapped into, however narrow the page is.
const NARROWEST: usize = 20;

impl Line {
    /// A line that begins with so many blanks.
    pub(crate) fn indented(columns: usize) -> Self {
        Self::default().put(Ink::Plain, &" ".repeat(columns))
    }

    /// The line with a text behind it.
    pub(crate) fn put(mut self, ink: Ink, text: &str) -> Self {
        let text = visible(text).into_owned();
        self.width += width(&text);
        self.pieces.push((ink, text));
        self
    }

    /// How many columns it takes so far.
    pub(crate) fn width(&self) -> usize {
        self.width
    }

    /// The line with blanks behind it up to a column.
    pub(crate) fn to(self, column: usize) -> Self {
        let missing = column.saturating_sub(self.width);
        self.put(Ink::Plain, &" ".repeat(missing))
    }
}

impl Page {
    /// An empty page.
    pub(crate) fn new(width: usize, coloured: bool) -> Self {
        Self { text: String::new(), width, coloured }
    }

    /// The text.
    pub(crate) fn finish(self) -> String {
        self.text
    }

    /// Adds a line.
    pub(crate) fn line(&mut self, line: &Line) {
        let last = line.pieces.iter().rposition(|(_, text)| !text.trim_end().is_empty());
        for (index, (ink, text)) in line.pieces.iter().enumerate() {
            match last {
                Some(last) if index < last => self.piece(*ink, text),
                Some(last) if index == last => self.piece(*ink, text.trim_end()),
                _ => {}
            }
        }
        self.text.push('\n');
    }

    fn piece(&mut self, ink: Ink, text: &str) {
        if self.coloured && ink != Ink::Plain {
            let style = ink.style();
            self.text.push_str(&format!("{style}{text}{style:#}"));
        } else {
            self.text.push_str(text);
        }
    }

    /// Leaves a line free, unless the page begins here or one is free already.
    pub(crate) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    /// Adds a heading.
    pub(crate) fn heading(&mut self, text: &str) {
        for line in wrapped(text, self.width) {
            self.line(&Line::default().put(Ink::Heading, &line));
        }
    }

    /// Adds a text, wrapped, that begins after so many blanks.
    pub(crate) fn say(&mut self, indent: usize, text: &str) {
        self.wrap(&Line::indented(indent), indent, Ink::Plain, text);
    }

    /// Adds a text behind a label, wrapped beside it.
    pub(crate) fn entry(&mut self, indent: usize, label: &str, text: &str) {
        let start = Line::indented(indent).put(Ink::Faint, label).put(Ink::Plain, " ");
        let start = start.to(indent + LABEL);
        let hang = start.width;
        self.wrap(&start, hang, Ink::Plain, text);
    }

    /// Adds a text behind the start of a line, its further lines `hang` blanks in.
    pub(crate) fn wrap(&mut self, start: &Line, hang: usize, ink: Ink, text: &str) {
        let room = self.width.saturating_sub(hang.max(start.width)).max(NARROWEST);
        let mut start = Some(start.clone());
        for line in wrapped(text, room) {
            let begun = start.take().unwrap_or_else(|| Line::indented(hang));
            self.line(&begun.put(ink, &line));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_wrap_beside_their_label() {
        let mut page = Page::new(34, false);
        page.entry(2, "because", "a tongue that touches stalls the servos");
        page.entry(2, "a longer label", "text");
        page.line(&Line::indented(4));
        assert_eq!(
            page.finish(),
            "  because     a tongue that\n              touches stalls the\n              servos\n  a longer label text\n\n"
        );
    }

    #[test]
    fn colour_ends_with_the_piece() {
        let mut page = Page::new(80, true);
        page.line(&Line::default().put(Ink::Heading, "a").put(Ink::Plain, " b  "));
        assert_eq!(page.finish(), "\u{1b}[1ma\u{1b}[0m b\n");
    }
}
