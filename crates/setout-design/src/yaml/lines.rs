//! From a byte to the line and column that an editor shows.

use super::words::floor_boundary;

/// Where the lines of a text begin. LF, CRLF and a lone CR end a line.
#[derive(Clone, Debug)]
pub struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    /// Finds the line ends of a text.
    #[must_use]
    pub fn new(text: &'t str) -> Self {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        for (i, byte) in bytes.iter().enumerate() {
            let ends = *byte == b'\n' || *byte == b'\r' && bytes.get(i + 1) != Some(&b'\n');
            if ends {
                starts.push(i + 1);
            }
        }
        Self { text, starts }
    }

    /// The line of a byte, from 1.
    #[must_use]
    pub fn line(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte).max(1)
    }

    /// The line and the column of a byte, both from 1, the column in characters. A byte-order
    /// mark at the start of the text is not counted. A byte beyond the end is the end.
    #[must_use]
    pub fn place(&self, byte: usize) -> (usize, usize) {
        let byte = floor_boundary(self.text, byte);
        let line = self.line(byte);
        let start = self.starts[line - 1];
        let before = self.text.get(start..byte).unwrap_or_default();
        let before = before.strip_prefix('\u{feff}').filter(|_| line == 1).unwrap_or(before);
        (line, before.chars().count() + 1)
    }
}
