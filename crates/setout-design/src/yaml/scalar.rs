//! A text of the table, and where each of its bytes stands in the source.

use smol_str::SmolStr;

use super::Span;

/// How a scalar is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// Without quotes.
    Plain,
    /// `'…'`
    Single,
    /// `"…"`
    Double,
    /// A block behind `|`.
    Literal,
    /// A block behind `>`.
    Folded,
}

/// A text of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scalar {
    /// The bytes it takes up, with its quotes or its block header, without the line break that
    /// ends a block.
    pub span: Span,
    /// The text it stands for.
    pub value: SmolStr,
    /// How it is written.
    pub style: Style,
    pub(super) places: Places,
}

impl Scalar {
    /// The byte of the source at which a byte of the value is written. The length of the value
    /// gives the end of the content; so does anything beyond it.
    #[must_use]
    pub fn source_offset(&self, decoded_byte: usize) -> usize {
        self.places.source(decoded_byte.min(self.value.len()))
    }
}

/// Where the bytes of a value stand. Nearly every scalar stands in the source as it is, and then
/// one number says it all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Places {
    /// The value is a slice of the source that begins here.
    Verbatim(usize),
    /// Each piece runs up to the next; the first begins at 0, the last at the value's length.
    Pieces(Box<[Piece]>),
}

/// A stretch of the value that stands in the source without a gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    pub(super) decoded: usize,
    pub(super) source: usize,
}

impl Places {
    fn source(&self, decoded: usize) -> usize {
        let pieces = match self {
            Self::Verbatim(start) => return start + decoded,
            Self::Pieces(pieces) => pieces,
        };
        let next = pieces.partition_point(|piece| piece.decoded <= decoded);
        let Some(piece) = next.checked_sub(1).and_then(|i| pieces.get(i)) else { return 0 };
        let source = piece.source + (decoded - piece.decoded);
        // An escape may be shorter than what it stands for: `\L` is two bytes for three.
        pieces.get(next).map_or(source, |next| source.min(next.source))
    }
}

/// Gathers pieces while a value is decoded.
#[derive(Debug, Default)]
pub(super) struct PieceList(Vec<Piece>);

impl PieceList {
    /// The byte `decoded` of the value stands at `source`; so do the next ones until told
    /// otherwise.
    pub(super) fn put(&mut self, decoded: usize, source: usize) {
        let goes_on = |last: &Piece| {
            decoded > last.decoded && source == last.source + (decoded - last.decoded)
        };
        if !self.0.last().is_some_and(goes_on) {
            self.0.push(Piece { decoded, source });
        }
    }

    /// The finished list, for a value of this length whose content ends at `end`.
    pub(super) fn finish(mut self, length: usize, end: usize) -> Places {
        self.0.push(Piece { decoded: length, source: end });
        Places::Pieces(self.0.into_boxed_slice())
    }
}

impl Scalar {
    /// What stands for a value that is missing, or that is no scalar.
    pub(crate) fn absent(span: Span) -> Self {
        let places = Places::Verbatim(span.start);
        Self { span, value: SmolStr::default(), style: Style::Plain, places }
    }

    /// A scalar that is a whole text of its own, for values that come from a call, not a file.
    pub(crate) fn of_text(text: &str) -> Self {
        Self {
            span: 0..text.len(),
            value: text.into(),
            style: Style::Plain,
            places: Places::Verbatim(0),
        }
    }
}
