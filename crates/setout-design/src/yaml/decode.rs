//! What a scalar's source stands for, with the place of every byte.
//!
//! The parser gives a value without saying where its bytes come from. So the source is read a
//! second time, here; where the two readings differ the parser's value stands, with coarse places.

use memchr::{memchr2, memchr3};
use smol_str::SmolStr;

use super::scalar::{PieceList, Places};
use super::words::{break_len, is_blank, is_break, line_end};
use super::{Span, Style};

/// A value and where it stands.
pub(super) struct Decoded {
    pub(super) value: SmolStr,
    pub(super) places: Places,
}

/// Decodes a plain or quoted scalar. `content` is what stands between the quotes.
pub(super) fn flow(text: &str, content: Span, style: Style) -> Decoded {
    let slice = &text[content.clone()];
    let bytes = slice.as_bytes();
    let special = match style {
        Style::Plain => memchr2(b'\n', b'\r', bytes),
        Style::Single => memchr3(b'\n', b'\r', b'\'', bytes),
        _ => memchr3(b'\n', b'\r', b'\\', bytes),
    };
    if special.is_none() {
        return Decoded { value: slice.into(), places: Places::Verbatim(content.start) };
    }
    let mut decoder = Decoder {
        text,
        at: content.start,
        end: content.end,
        value: String::new(),
        pieces: PieceList::default(),
    };
    while let Some(byte) = decoder.byte() {
        match byte {
            b' ' | b'\t' | b'\n' | b'\r' => decoder.white(),
            b'\\' if style == Style::Double => decoder.escape(),
            b'\'' if style == Style::Single => decoder.put("'", 2),
            _ => decoder.word(style),
        }
    }
    let length = decoder.value.len();
    Decoded { value: decoder.value.into(), places: decoder.pieces.finish(length, content.end) }
}

struct Decoder<'t> {
    text: &'t str,
    at: usize,
    end: usize,
    value: String,
    pieces: PieceList,
}

impl Decoder<'_> {
    fn byte(&self) -> Option<u8> {
        self.text.as_bytes()[..self.end].get(self.at).copied()
    }

    fn put(&mut self, decoded: &str, source_length: usize) {
        self.pieces.put(self.value.len(), self.at);
        self.value.push_str(decoded);
        self.at += source_length;
    }

    /// Takes what stands for itself.
    fn word(&mut self, style: Style) {
        let ends = |b: &u8| match b {
            b'\\' => style == Style::Double,
            b'\'' => style == Style::Single,
            _ => is_blank(*b) || is_break(*b),
        };
        let bytes = &self.text.as_bytes()[self.at..self.end];
        let length = bytes.iter().position(ends).unwrap_or(bytes.len()).max(1);
        let text = self.text;
        self.put(&text[self.at..self.at + length], length);
    }

    /// Blanks inside a line stay; a line break with the blanks round it is one blank, further
    /// ones are line breaks.
    fn white(&mut self) {
        let blanks = self.count_blanks();
        let breaks_at = self.at + blanks;
        if breaks_at == self.end || break_len(self.text, breaks_at) == 0 {
            let text = self.text;
            self.put(&text[self.at..breaks_at], blanks);
            return;
        }
        let fold = breaks_at;
        self.at = breaks_at + break_len(self.text, breaks_at);
        if !self.empty_lines() {
            self.pieces.put(self.value.len(), fold);
            self.value.push(' ');
        }
    }

    /// Skips the blanks that begin a line, and takes the breaks of empty lines.
    fn empty_lines(&mut self) -> bool {
        let mut any = false;
        loop {
            self.at += self.count_blanks();
            let length = break_len(self.text, self.at).min(self.end - self.at);
            if length == 0 {
                return any;
            }
            self.put("\n", length);
            any = true;
        }
    }

    fn count_blanks(&self) -> usize {
        self.text.as_bytes()[self.at..self.end].iter().take_while(|b| is_blank(**b)).count()
    }

    fn escape(&mut self) {
        let line_break = break_len(self.text, self.at + 1);
        if line_break > 0 {
            self.at += 1 + line_break;
            self.empty_lines();
            return;
        }
        let (decoded, length) = escaped(&self.text[self.at + 1..self.end]);
        self.put(decoded.encode_utf8(&mut [0; 4]), length + 1);
    }
}

/// What an escape stands for, and how long it is without its backslash. One that is none cannot
/// come here, as the parser has refused it.
fn escaped(behind: &str) -> (char, usize) {
    let mut chars = behind.chars();
    let first = chars.next().unwrap_or('\\');
    let digits = match first {
        'x' => 2,
        'u' => 4,
        'U' => 8,
        _ => return (short_escape(first), first.len_utf8()),
    };
    let code = behind.get(1..=digits).and_then(|hex| u32::from_str_radix(hex, 16).ok());
    (code.and_then(char::from_u32).unwrap_or('\u{fffd}'), 1 + digits)
}

fn short_escape(letter: char) -> char {
    match letter {
        '0' => '\0',
        'a' => '\u{7}',
        'b' => '\u{8}',
        't' => '\t',
        'n' => '\n',
        'v' => '\u{b}',
        'f' => '\u{c}',
        'r' => '\r',
        'e' => '\u{1b}',
        'N' => '\u{85}',
        '_' => '\u{a0}',
        'L' => '\u{2028}',
        'P' => '\u{2029}',
        other => other,
    }
}

/// Where a block scalar's value stands in `text`, and where its last line of content ends.
/// `header` is the byte of its `|` or `>`, `indent` how many blanks begin each line.
pub(super) fn block(
    text: &str,
    header: usize,
    indent: usize,
    value: &str,
) -> Option<(Places, usize)> {
    let mut pieces = PieceList::default();
    let mut decoded = 0;
    let mut end = header;
    let mut line = line_end(text, header);
    line += break_len(text, line);
    while decoded < value.len() && line < text.len() {
        let blanks = text.as_bytes()[line..].iter().take(indent).take_while(|b| **b == b' ');
        let start = line + blanks.count();
        let stop = line_end(text, start);
        let content = &text[start..stop];
        if !content.is_empty() {
            value[decoded..].strip_prefix(content)?;
            pieces.put(decoded, start);
            decoded += content.len();
            end = stop;
        }
        // A folded line break is one blank, or nothing before an empty line.
        let folded = !content.is_empty() && value[decoded..].starts_with(' ');
        if folded || value[decoded..].starts_with('\n') {
            pieces.put(decoded, stop);
            decoded += 1;
        }
        line = stop + break_len(text, stop);
    }
    // The parser ends the last line of a text with a break even if there is none.
    matches!(&value[decoded..], "" | "\n").then(|| (pieces.finish(value.len(), end), end))
}
