//! Markdown for a review: a comment on a host that renders tables and folds, never larger than
//! such hosts take, and inert whatever the design says.

use setout::Verdict;

use super::safe::{one_line, shortened, visible};
use crate::trouble::Trouble;

/// Hosts take 65,536 characters. What no longer fits is counted.
pub(crate) const LARGEST: usize = 60_000;
/// A cell of a table is cut to so many columns.
const CELL: usize = 240;

/// A document in the making.
#[derive(Debug, Default)]
pub(crate) struct Markdown {
    text: String,
}

impl Markdown {
    /// The document.
    pub(crate) fn finish(self) -> String {
        self.text
    }

    /// Adds a paragraph, which is Markdown already.
    pub(crate) fn paragraph(&mut self, text: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.text.push_str(text);
        self.text.push('\n');
    }

    /// Adds a table whose rows take at most so many characters together, and says how many more
    /// there are. Cells are Markdown already.
    pub(crate) fn table(&mut self, head: &[&str], rows: &[Vec<String>], most: usize) {
        let line = |cells: &[String]| format!("| {} |\n", cells.join(" | "));
        let head: Vec<String> = head.iter().map(|cell| (*cell).to_owned()).collect();
        self.text.push('\n');
        self.text.push_str(&line(&head));
        self.text.push_str(&line(&vec!["---".to_owned(); head.len()]));
        let mut room = most;
        for (index, row) in rows.iter().enumerate() {
            let row = line(row);
            if row.len() > room {
                self.paragraph(&format!("and {} more", rows.len() - index));
                return;
            }
            room -= row.len();
            self.text.push_str(&row);
        }
    }

    /// Adds something that is folded away behind a line.
    pub(crate) fn folded(&mut self, summary: &str, inside: impl FnOnce(&mut Self)) {
        self.paragraph(&format!("<details><summary>{summary}</summary>"));
        inside(self);
        self.paragraph("</details>");
    }
}

/// A verdict. What fails or cannot be computed stands out.
pub(crate) fn verdict(verdict: Verdict) -> String {
    if verdict >= Verdict::Unknown { format!("**{verdict}**") } else { verdict.to_string() }
}

/// Adds faults as a table whose rows take at most so many characters.
pub(crate) fn faults(troubles: &[Trouble], most: usize, page: &mut Markdown) {
    if troubles.is_empty() {
        return;
    }
    let row = |trouble: &Trouble| {
        let place = trouble.place.as_ref().map(ToString::to_string);
        vec![code(&place.unwrap_or_default()), prose(&trouble.message), prose(&trouble.help)]
    };
    let rows: Vec<Vec<String>> = troubles.iter().map(row).collect();
    page.table(&["place", "fault", "mend"], &rows, most);
}

/// Prose of the design: inert, but read as prose.
pub(crate) fn prose(text: &str) -> String {
    let text = shortened(&visible(&one_line(text)), CELL);
    if would_link(&text) { code(&text) } else { escaped(&text) }
}

/// Whether hosts would find people, issues, labels or addresses in a text. They look in what is
/// left after escapes, but not in code.
fn would_link(text: &str) -> bool {
    let lower = text.to_lowercase();
    let signs = ["@", "#", "$", "://", "www.", "gh-", "mailto:", "xmpp:"];
    let refers = |(sign, next): (char, char)| {
        matches!(sign, '!' | '~' | '%' | '&' | '^' | '*') && (next.is_alphanumeric() || next == '"')
    };
    signs.iter().any(|sign| lower.contains(sign))
        || lower.chars().zip(lower.chars().skip(1)).any(refers)
}

/// A name, a value or a formula: a span of code, in which nothing is obeyed. A sign that ends a
/// span or a cell stands between two spans.
pub(crate) fn code(text: &str) -> String {
    let text = shortened(&visible(&one_line(text)), CELL);
    let mut written = String::with_capacity(text.len() + 2);
    let mut span = String::new();
    for c in text.chars() {
        if ENDS_CODE.contains(&c) {
            close(&mut span, &mut written);
            written.push_str(&format!("&#{};", u32::from(c)));
        } else {
            span.push(c);
        }
    }
    close(&mut span, &mut written);
    written
}

/// Writes a span of code, if there is anything in it.
fn close(span: &mut String, written: &mut String) {
    if span.trim().is_empty() {
        written.push_str(span);
    } else {
        written.push_str(&format!("`{span}`"));
    }
    span.clear();
}

/// What ends a span of code, or the cell of a table round it. A backslash does neither: in a span it
/// is a character like others, and it never stands before a `|`.
const ENDS_CODE: [char; 2] = ['|', '`'];

/// What Markdown, HTML, a table or a host obeys in prose.
const OBEYED: [char; 14] = ['|', '<', '>', '&', '@', '`', '$', '\\', '*', '_', '[', ']', '~', '#'];

/// The text without anything that would be obeyed.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        if OBEYED.contains(&c) {
            escaped.push_str(&format!("&#{};", u32::from(c)));
        } else {
            escaped.push(c);
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_inert() {
        assert_eq!(
            prose("a | b\n<img src=x> & `c`"),
            "a &#124; b &#60;img src=x&#62; &#38; &#96;c&#96;"
        );
        assert_eq!(prose("ask @bracken"), "`ask @bracken`");
        assert_eq!(prose("see WWW.example.org"), "`see WWW.example.org`");
        assert_eq!(prose("as in !7"), "`as in !7`");
        assert_eq!(prose("10% wider"), "10% wider");
        assert_eq!(code("max(a, b) * 2"), "`max(a, b) * 2`");
        assert_eq!(code("a_b >= 2"), "`a_b >= 2`");
        assert_eq!(code("a || `b\\|<i>"), "`a `&#124;&#124; &#96;`b\\`&#124;`<i>`");
        assert_eq!(code(""), "");
        assert!(prose(&"x".repeat(1000)).len() < 300);
    }

    #[test]
    fn what_does_not_fit_is_counted() {
        let rows: Vec<Vec<String>> = (0..9).map(|n| vec![format!("row {n}")]).collect();
        let mut page = Markdown::default();
        page.table(&["name"], &rows, 30);
        let text = page.finish();
        assert_eq!(text, "\n| name |\n| --- |\n| row 0 |\n| row 1 |\n| row 2 |\n\nand 6 more\n");
    }
}
