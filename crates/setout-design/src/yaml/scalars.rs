//! The parser's scalars with their true bytes.

use saphyr_parser::ScalarStyle;

use super::build::{Builder, Frame, Kind, Slot};
use super::gap::{Behind, quoted_end};
use super::words::{break_len, column, line_end, skip_blanks};
use super::{Node, Problem, Scalar, Span, Style};
use super::{decode, quote, scalar::PieceList, torn};

impl Builder<'_> {
    /// A scalar of the parser, whose span is its own for bare ones only: that of a quoted one
    /// runs on over a comment, that of a block begins behind its header.
    pub(super) fn scalar(&mut self, value: &str, style: ScalarStyle, start: usize, end: usize) {
        let mut scalar = match style {
            ScalarStyle::Plain => self.plain(start, end),
            ScalarStyle::SingleQuoted => self.quoted(Style::Single, start, end),
            ScalarStyle::DoubleQuoted => self.quoted(Style::Double, start, end),
            ScalarStyle::Literal => self.block(Style::Literal, value, start, end),
            ScalarStyle::Folded => self.block(Style::Folded, value, start, end),
        };
        let span = scalar.span.clone();
        if scalar.value != value && self.text[span.clone()] == self.parsed[span.clone()] {
            debug_assert!(false, "{scalar:?} is read as {value:?}");
            let mut pieces = PieceList::default();
            pieces.put(0, span.start);
            scalar.value = value.into();
            scalar.places = pieces.finish(value.len(), span.end);
        }
        self.last_scalar = scalar.span.clone();
        if self.in_flow() && !self.is_whole(&scalar) {
            return;
        }
        self.attach(Node::Scalar(scalar));
    }

    fn plain(&mut self, start: usize, end: usize) -> Scalar {
        self.gaps.pass(start);
        self.gaps.token(end, Behind::Plain(start));
        self.gaps.tab_inside(start..end);
        let decoded = decode::flow(self.text, start..end, Style::Plain);
        Scalar {
            span: start..end,
            value: decoded.value,
            style: Style::Plain,
            places: decoded.places,
        }
    }

    fn quoted(&mut self, style: Style, start: usize, end: usize) -> Scalar {
        self.gaps.pass(start);
        let end = quoted_end(self.parsed, start, end);
        self.gaps.token(end, Behind::Closed);
        let decoded = decode::flow(self.text, start + 1..(end - 1).max(start + 1), style);
        self.tabs_before_lines(&(start..end), usize::MAX);
        let invisible = |c: char| c != '\n' && c != '\t' && c.is_control();
        // The line ends of other systems are no characters that somebody put there.
        let seen = self.text[start..end].contains(|c| c != '\r' && invisible(c));
        if style == Style::Double && !seen && decoded.value.contains(invisible) {
            let message = format!(
                "{} stands for an invisible control character",
                quote::shown(&self.text[start..end])
            );
            self.fault(Problem::yaml(start..end, message, "take the escape out"));
        }
        Scalar { span: start..end, value: decoded.value, style, places: decoded.places }
    }

    fn block(&mut self, style: Style, value: &str, content: usize, end: usize) -> Scalar {
        let sign = if style == Style::Literal { b'|' } else { b'>' };
        let header = self.gaps.find(sign, self.text.len()).unwrap_or(content);
        self.gaps.pass(header);
        let behind = self.text.as_bytes().get(header + 1..).unwrap_or_default();
        let indicators = behind.iter().take_while(|b| b"+-0123456789".contains(b)).count();
        let header_end = (header + 1 + indicators).min(self.text.len());
        let indent = column(self.parsed, content);
        let aligned = value.bytes().any(|b| b != b'\n');
        let found = aligned.then(|| decode::block(self.parsed, header, indent, value)).flatten();
        let (places, end) = found.unwrap_or_else(|| {
            let end = if aligned { end.max(content) } else { header_end };
            let mut pieces = PieceList::default();
            pieces.put(0, content.min(end));
            (pieces.finish(value.len(), end), end)
        });
        self.gaps.token(end, Behind::Closed);
        let mut scalar = Scalar { span: header..end, value: value.into(), style, places };
        self.restore_tabs(&mut scalar, indent);
        scalar
    }

    /// Puts the tabs of a block back, where the parser was given blanks.
    fn restore_tabs(&mut self, scalar: &mut Scalar, indent: usize) {
        if !self.text[scalar.span.clone()].contains('\t') {
            return;
        }
        self.tab_in_header(scalar.span.start);
        self.tabs_before_lines(&scalar.span, indent);
        let is_tab = |at: usize| self.text.as_bytes().get(at) == Some(&b'\t');
        let restored = scalar
            .value
            .char_indices()
            .map(|(i, c)| if c == ' ' && is_tab(scalar.source_offset(i)) { '\t' } else { c });
        scalar.value = restored.collect();
    }

    fn tab_in_header(&mut self, start: usize) {
        let header = &self.text[start..line_end(self.text, start)];
        let header = &header[..header.find('#').unwrap_or(header.len())];
        if let Some(i) = header.find('\t') {
            self.gaps.report_tab(start + i..start + i + 1);
        }
    }

    /// Names the tabs among the first bytes of each line but the first, up to `indent`. They are
    /// no part of the value, so nobody else looks at them; and where they stand decides how deep
    /// a block is, which the parser cannot know from blanks.
    fn tabs_before_lines(&mut self, span: &Span, indent: usize) {
        let text = self.text;
        let mut line = line_end(text, span.start);
        while line < span.end {
            let start = line + break_len(text, line);
            line = line_end(text, start);
            let blanks =
                start..skip_blanks(text, start).min(start.saturating_add(indent)).min(line);
            if let Some(i) = text[blanks.clone()].find('\t') {
                let at = blanks.start + i;
                let length = text[at..blanks.end].bytes().take_while(|b| *b == b'\t').count();
                self.gaps.report_tab(at..at + length);
            }
        }
    }

    /// Whether a scalar inside brackets is one, and no piece of a torn formula. The first piece is
    /// put in with all that belongs to it, the others are passed over.
    fn is_whole(&mut self, scalar: &Scalar) -> bool {
        if scalar.span.start < self.torn_until {
            self.pass_over();
            return false;
        }
        if scalar.style != Style::Plain || torn::open_parentheses(&scalar.value) == 0 {
            return true;
        }
        let (span, complete) = torn::whole(self.text, scalar.span.start);
        self.fault(torn::problem(self.text, &span, complete));
        self.torn_until = span.end;
        let decoded = decode::flow(self.text, span.clone(), Style::Plain);
        let (value, places) = (decoded.value, decoded.places);
        self.attach(Node::Scalar(Scalar { span, value, style: Style::Plain, places }));
        false
    }

    fn pass_over(&mut self) {
        if let Some(Frame { kind: Kind::Map(_, slot), .. }) = self.stack.last_mut() {
            *slot = if matches!(slot, Slot::Key) { Slot::Dropped } else { Slot::Key };
        }
    }
}
