//! Texts of the design, made inert for the places they are written to.

/// Whether a character is invisible and acts on what stands round it: controls, marks that turn
/// the direction of writing, line and paragraph separators, byte-order marks, tags. They let a
/// text look like something else than it is. The joiners that emoji and some scripts need
/// (U+200C, U+200D) are not among them.
pub(crate) fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{61c}' | '\u{180e}' | '\u{200b}' | '\u{200e}' | '\u{200f}'
            | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
            | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
}

/// The text on one line without hidden characters, fit for a comment: blanks of every kind
/// become single blanks, and what opens or closes a block comment is taken apart.
pub fn one_line(text: &str) -> String {
    let breaks = |c: char| c.is_whitespace() || c.is_control();
    let words = text.split(breaks).map(visible).filter(|word| !word.is_empty());
    let line = words.collect::<Vec<_>>().join(" ");
    line.replace("/*", "/ *").replace("*/", "* /")
}

fn visible(word: &str) -> String {
    word.chars().filter(|&c| !is_hidden(c)).collect()
}

#[cfg(test)]
mod tests {
    use super::one_line;

    #[test]
    fn one_line_is_inert() {
        assert_eq!(one_line(" a\r\nb\tc\u{2028}d\u{85}e\0f "), "a b c d e f");
        assert_eq!(one_line("up\u{202e}side\u{feff}\u{e0041}"), "upside");
        assert_eq!(one_line("a */ b /* c /*/ d **//"), "a * / b / * c / * / d ** //");
        assert_eq!(one_line("*\u{200b}/"), "* /");
        assert_eq!(one_line("nose — 鼻 👩\u{200d}🔧"), "nose — 鼻 👩\u{200d}🔧");
    }
}
