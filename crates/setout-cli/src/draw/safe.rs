//! Texts of a design, made fit for a terminal.

use std::borrow::Cow;

use unicode_width::UnicodeWidthStr;

/// Whether a character would steer the terminal or the reader's eye instead of being seen:
/// controls, marks that turn the direction of writing, separators of lines, invisible ones.
/// The joiners that emoji and some scripts need (U+200C, U+200D) are not among them.
pub(super) fn is_hidden(c: char) -> bool {
    c.is_control()
        // What Unicode keeps for no character.
        || u32::from(c) & 0xfffe == 0xfffe
        || matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
            | '\u{fdd0}'..='\u{fdef}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The text with every hidden character written out, as in `\u{202e}`, and with it the first
/// character of what the runner of a workflow would obey in the output of a step: `::` where a
/// line may be broken before it, and `##[` anywhere.
pub(crate) fn visible(text: &str) -> Cow<'_, str> {
    if !text.contains(is_hidden) && !text.contains("::") && !text.contains("##[") {
        return Cow::Borrowed(text);
    }
    let mut written = String::with_capacity(text.len());
    let mut breaks = true;
    for (at, c) in text.char_indices() {
        let rest = &text[at..];
        if is_hidden(c) {
            written.extend(c.escape_default());
        } else if breaks && rest.starts_with("::") || rest.starts_with("##[") {
            written.extend(c.escape_unicode());
        } else {
            written.push(c);
        }
        breaks = c.is_whitespace();
    }
    Cow::Owned(written)
}

/// The columns that a text takes on a terminal, once it is visible.
pub(crate) fn width(text: &str) -> usize {
    text.width()
}

/// The text on one line, with single blanks between its words.
pub(crate) fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text, or as much of it as fits, with a sign that there is more.
pub(crate) fn shortened(text: &str, columns: usize) -> String {
    if width(text) <= columns {
        return text.to_owned();
    }
    let mut kept = String::new();
    for c in text.chars() {
        let mut longer = kept.clone();
        longer.push(c);
        if width(&longer) + 1 > columns {
            break;
        }
        kept = longer;
    }
    format!("{}…", kept.trim_end())
}

/// The text in lines of so many columns, broken between words. A longer word has a line of its
/// own.
pub(crate) fn wrapped(text: &str, columns: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace().map(visible) {
        let full = width(&line) + 1 + width(&word) > columns;
        if full && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word);
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_hidden_reaches_a_terminal() {
        assert_eq!(visible("a\u{1b}[2Jb"), "a\\u{1b}[2Jb");
        assert_eq!(visible("x\u{202e}y\tz\r\n"), "x\\u{202e}y\\tz\\r\\n");
        assert_eq!(
            visible("::error::a ::b c::d ###[e"),
            "\\u{3a}:error::a \\u{3a}:b c::d #\\u{23}#[e"
        );
        assert_eq!(visible("nose — 鼻 👩\u{200d}🔧"), "nose — 鼻 👩\u{200d}🔧");
    }

    #[test]
    fn texts_fit_their_columns() {
        assert_eq!(shortened("long enough for the horn", 12), "long enough…");
        assert_eq!(shortened("鼻鼻鼻", 5), "鼻鼻…");
        assert_eq!(shortened("short", 5), "short");
        assert_eq!(wrapped("one two  three\nfour", 9), ["one two", "three", "four"]);
        assert_eq!(wrapped("", 9), [""]);
    }
}
