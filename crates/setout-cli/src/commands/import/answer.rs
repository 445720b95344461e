//! What an import brought, drawn.

use serde::Serialize;
use setout::Imported;

use crate::draw::{self, Answer, Cell, Columns, Ink, Page};

/// A table that was made, and its report.
pub(super) struct Brought<'a> {
    pub(super) imported: &'a Imported,
    pub(super) table: &'a str,
    /// The file that was written.
    pub(super) file: Option<&'a str>,
    /// Whether the document holds the table's text.
    pub(super) text: bool,
}

impl Answer for Brought<'_> {
    fn text(&self, page: &mut Page) {
        let Imported { taken, assumed, left_out, renamed, .. } = self.imported;
        let taken = draw::count(taken.len(), "value");
        match self.file {
            Some(file) => page.say(0, &format!("Wrote {file}: {taken}.")),
            None => page.say(0, &format!("{taken}, and nothing was written.")),
        }
        if !assumed.is_empty() {
            page.gap();
            page.heading("Assumed");
            assumed.iter().for_each(|assumed| page.say(2, assumed));
        }
        if !renamed.is_empty() {
            page.gap();
            page.heading("Renamed");
            let mut columns = Columns::default();
            for renamed in renamed {
                let cell = |text: &str| Cell::text(Ink::Plain, text);
                columns.row(vec![cell(&renamed.from), cell("to"), cell(&renamed.to)]);
            }
            columns.draw(2, page);
        }
        if !left_out.is_empty() {
            page.gap();
            page.heading("Left out");
            for out in left_out {
                page.say(2, &format!("line {}: {}", out.line, out.text));
                page.say(4, &out.why);
            }
        }
    }

    fn json(&self) -> impl Serialize {
        let Imported { taken, assumed, left_out, renamed, text } = self.imported;
        Keys {
            table: self.table,
            file: self.file,
            taken: taken.len(),
            names: taken,
            assumed,
            left_out: left_out
                .iter()
                .map(|out| Out { line: out.line, text: &out.text, why: &out.why })
                .collect(),
            renamed: renamed.iter().map(|new| New { from: &new.from, to: &new.to }).collect(),
            text: self.text.then_some(text),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    table: &'a str,
    file: Option<&'a str>,
    taken: usize,
    names: &'a [String],
    assumed: &'a [String],
    left_out: Vec<Out<'a>>,
    renamed: Vec<New<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    text: Option<&'a String>,
}

#[derive(Serialize)]
struct Out<'a> {
    line: usize,
    text: &'a str,
    why: &'a str,
}

#[derive(Serialize)]
struct New<'a> {
    from: &'a str,
    to: &'a str,
}
