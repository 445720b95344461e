//! Markdown for a review: a comment on a host that renders tables and folds, never larger than
//! such hosts take, and inert whatever the design says.

use super::safe::{one_line, shortened, visible};

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

/// Prose of the design: inert, but read as prose.
pub(crate) fn prose(text: &str) -> String {
    let text = shortened(&visible(&one_line(text)), CELL);
    // Hosts look for people, issues and addresses in what is left after escapes, but not in code.
    let would_link = ["@", "#", "://", "www."].iter().any(|sign| text.contains(sign));
    if would_link { code(&text) } else { escaped(&text) }
}

/// A name, a value or a formula.
pub(crate) fn code(text: &str) -> String {
    let text = shortened(&visible(&one_line(text)), CELL);
    if text.is_empty() {
        String::new()
    } else if text.contains(OBEYED) {
        format!("<code>{}</code>", escaped(&text))
    } else {
        format!("`{text}`")
    }
}

/// What Markdown, HTML, a table or a host obeys in places where a plain code span stands.
const OBEYED: [char; 8] = ['|', '<', '>', '&', '@', '`', '$', '\\'];

/// The text without anything that would be obeyed elsewhere.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        if OBEYED.contains(&c) || matches!(c, '*' | '_' | '[' | ']' | '~' | '#') {
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
        assert_eq!(prose("ask @bracken"), "<code>ask &#64;bracken</code>");
        assert_eq!(code("max(a, b) * 2"), "`max(a, b) * 2`");
        assert_eq!(code("a_b >= 2"), "<code>a&#95;b &#62;= 2</code>");
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
