//! From a byte to the line and column that an editor shows.

use std::borrow::Cow;

use memchr::memchr2_iter;

use super::words::floor_boundary;

/// Where the lines of a text begin. LF, CRLF and a lone CR end a line.
#[derive(Clone, Debug)]
pub struct Lines<'t> {
    text: &'t str,
    index: Cow<'t, LineIndex>,
}

/// What lines and columns are looked up in. It is made in one pass, and no look-up walks along a
/// whole line: a table may well be a single one.
#[derive(Clone, Debug)]
pub(crate) struct LineIndex {
    /// The byte at which each line begins.
    starts: Vec<usize>,
    /// How many characters begin before each block of bytes.
    blocks: Vec<usize>,
}

/// How many bytes a block has.
const BLOCK: usize = 1024;

impl LineIndex {
    pub(crate) fn new(text: &str) -> Self {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        let ends = |at: &usize| bytes[*at] == b'\n' || bytes.get(at + 1) != Some(&b'\n');
        starts.extend(memchr2_iter(b'\n', b'\r', bytes).filter(ends).map(|at| at + 1));
        let count_up = |before: &mut usize, block: &[u8]| {
            let here = *before;
            *before += characters(block);
            Some(here)
        };
        Self { starts, blocks: bytes.chunks(BLOCK).scan(0, count_up).collect() }
    }

    /// How many characters of the text begin before a byte.
    fn characters_before(&self, text: &str, byte: usize) -> usize {
        let Some(block) = self.blocks.len().checked_sub(1).map(|last| last.min(byte / BLOCK))
        else {
            return 0;
        };
        self.blocks[block] + characters(&text.as_bytes()[block * BLOCK..byte])
    }
}

fn characters(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| **byte & 0xc0 != 0x80).count()
}

impl<'t> Lines<'t> {
    /// Finds the line ends of a text.
    #[must_use]
    pub fn new(text: &'t str) -> Self {
        Self { text, index: Cow::Owned(LineIndex::new(text)) }
    }

    /// The lines of a text whose index has been made before.
    pub(crate) fn indexed(text: &'t str, index: &'t LineIndex) -> Self {
        Self { text, index: Cow::Borrowed(index) }
    }

    /// The line of a byte, from 1.
    #[must_use]
    pub fn line(&self, byte: usize) -> usize {
        self.index.starts.partition_point(|start| *start <= byte).max(1)
    }

    /// The second byte of a CRLF stands where the first does: an editor shows nothing between.
    fn before_break(&self, byte: usize) -> usize {
        let bytes = self.text.as_bytes();
        let within = byte > 0 && bytes.get(byte) == Some(&b'\n') && bytes[byte - 1] == b'\r';
        if within { byte - 1 } else { byte }
    }

    /// The line and the column of a byte, both from 1, the column in characters. A byte-order
    /// mark at the start of the text is not counted. A byte beyond the end is the end.
    #[must_use]
    pub fn place(&self, byte: usize) -> (usize, usize) {
        let byte = self.before_break(floor_boundary(self.text, byte));
        let line = self.line(byte);
        let start = self.index.starts[line - 1];
        let along = if byte - start <= BLOCK {
            characters(&self.text.as_bytes()[start..byte])
        } else {
            let before = |byte| self.index.characters_before(self.text, byte);
            before(byte) - before(start)
        };
        let mark = usize::from(line == 1 && byte > 0 && self.text.starts_with('\u{feff}'));
        (line, along - mark + 1)
    }
}
