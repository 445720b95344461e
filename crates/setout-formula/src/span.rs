//! Places in a formula.

use std::ops::Range;

/// A range of bytes of a formula's text. Formulas are short, so two bytes a side do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Span {
    /// The first byte.
    pub start: u16,
    /// The byte behind the last.
    pub end: u16,
}

impl Span {
    /// From byte offsets; what lies beyond a formula's greatest length is cut to it.
    pub fn new(start: usize, end: usize) -> Self {
        let cut = |at: usize| u16::try_from(at).unwrap_or(u16::MAX);
        Self { start: cut(start), end: cut(end) }
    }

    /// The smallest span that holds both.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        Self { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// As a range of indexes.
    pub fn range(self) -> Range<usize> {
        usize::from(self.start)..usize::from(self.end)
    }

    /// The text that stands there.
    pub fn of(self, text: &str) -> &str {
        text.get(self.range()).unwrap_or("")
    }
}
