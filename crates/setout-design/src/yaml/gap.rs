//! What stands between the tokens: blanks, comments, colons, dashes and commas.
//!
//! The parser passes over all of this in silence. Every gap is looked at once, so the cost is
//! that of the text's length.

use super::problem::Faults;
use super::words::{column, is_break, line_end, rest_of_line};
use super::{Problem, Span, quote};

/// What ends where the gap begins, or where one has got to in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Behind {
    /// The start of a line.
    LineStart,
    /// A bare scalar that began at this byte.
    Plain(usize),
    /// A colon, a dash, a comma, an opening bracket: a value may follow.
    Sign,
    /// A closing quote or bracket: nothing can be meant to belong to it.
    Closed,
}

/// Walks over the gaps of a text, in order.
#[derive(Debug)]
pub(super) struct Gaps<'t> {
    text: &'t str,
    at: usize,
    behind: Behind,
    /// Whether there is a tab anywhere: mostly there is none to look for.
    has_tabs: bool,
    tabs: usize,
    last_tab: usize,
    pub(super) faults: Faults,
}

/// How many lines with tabs are named, one by one.
const MOST_TABS: usize = 10;

impl<'t> Gaps<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        Self {
            text,
            at: 0,
            behind: Behind::LineStart,
            has_tabs: memchr::memchr(b'\t', text.as_bytes()).is_some(),
            tabs: 0,
            last_tab: 0,
            faults: Faults::default(),
        }
    }

    /// The end of the last token.
    pub(super) fn at(&self) -> usize {
        self.at
    }

    /// A token ends here.
    pub(super) fn token(&mut self, end: usize, behind: Behind) {
        self.at = self.at.max(end);
        self.behind = behind;
    }

    /// Looks at everything up to the next token.
    pub(super) fn pass(&mut self, to: usize) {
        while self.at < to {
            self.step(to);
        }
    }

    /// Looks at the gap up to and with the first such sign, if there is one before `to`.
    pub(super) fn pass_sign(&mut self, sign: u8, to: usize) -> bool {
        let found = self.find(sign, to);
        if let Some(found) = found {
            self.pass(found + 1);
        }
        found.is_some()
    }

    /// Where a sign stands in the gap, outside of comments.
    pub(super) fn find(&self, sign: u8, to: usize) -> Option<usize> {
        let bytes = self.text.as_bytes();
        let mut at = self.at;
        while at < to {
            match bytes.get(at)? {
                b if *b == sign => return Some(at),
                b'#' => at = line_end(self.text, at),
                _ => at += 1,
            }
        }
        None
    }

    fn step(&mut self, to: usize) {
        let at = self.at;
        self.at += 1;
        match self.text.as_bytes()[at] {
            b'\n' | b'\r' => self.behind = Behind::LineStart,
            b'\t' => self.tab(at),
            b'#' => self.comment(at, to),
            b'%' if self.behind == Behind::LineStart => self.directive(at),
            b'?' => self.question_mark(at),
            b':' | b'-' | b',' => self.behind = Behind::Sign,
            _ => {}
        }
    }

    fn comment(&mut self, at: usize, to: usize) {
        self.at = line_end(self.text, at).min(to).max(at + 1);
        let digit = self.text.as_bytes().get(at + 1).is_some_and(u8::is_ascii_digit);
        if !digit || matches!(self.behind, Behind::LineStart | Behind::Closed) {
            return;
        }
        let span = at..self.at;
        let cut_off = quote::shown(&self.text[span.clone()]);
        let message =
            format!("a blank and # begin a comment, so {cut_off} does not belong to the value");
        let help = format!(
            "put a blank behind the # if it is a comment; if not, {}",
            quote::advice(self.meant(&span))
        );
        self.faults.push(Problem::yaml(span, message, help));
    }

    /// The value that was perhaps meant to go on behind the `#`.
    fn meant(&self, comment: &Span) -> &'t str {
        let start = if let Behind::Plain(start) = self.behind { start } else { comment.start };
        self.text[start..comment.end].trim_end()
    }

    fn tab(&mut self, at: usize) {
        let bytes = self.text.as_bytes();
        if at > 0 && bytes[at - 1] == b'\t' {
            return;
        }
        let end = at + bytes[at..].iter().take_while(|b| **b == b'\t').count();
        self.report_tab(at..end);
    }

    /// Reports a tab outside of quotes and comments.
    pub(super) fn report_tab(&mut self, span: Span) {
        self.tabs += 1;
        if self.tabs > MOST_TABS {
            return;
        }
        self.last_tab = self.faults.len();
        self.faults.push(tab(self.text, span));
    }

    /// A tab inside a bare scalar or the indentation of a block.
    pub(super) fn tab_inside(&mut self, span: Span) {
        if !self.has_tabs {
            return;
        }
        if let Some(i) = self.text[span.clone()].bytes().position(|b| b == b'\t') {
            self.report_tab(span.start + i..span.start + i + 1);
        }
    }

    fn directive(&mut self, at: usize) {
        self.at = line_end(self.text, at);
        self.faults.push(directive(at..self.at));
    }

    fn question_mark(&mut self, at: usize) {
        self.behind = Behind::Sign;
        let rest = rest_of_line(self.text, at + 1);
        let first = rest.chars().next();
        let help = if first.is_none_or(|first| "|>-&*!'\"".contains(first))
            || rest.contains([':', '[', '{'])
        {
            "write name: value, without the question mark".to_owned()
        } else {
            format!("write {rest}: and the value behind it, without the question mark")
        };
        let message = "a question mark and a blank begin a name of several parts";
        self.faults.push(Problem::yaml(at..at + 1, message, help));
    }

    /// Looks at the rest of the text and gives up the faults.
    pub(super) fn finish(mut self) -> Vec<Problem> {
        self.pass(self.text.len());
        self.into_problems()
    }

    /// Gives up the faults as they are.
    pub(super) fn into_problems(mut self) -> Vec<Problem> {
        let more = self.tabs.saturating_sub(MOST_TABS);
        if more > 0 {
            self.faults.append(self.last_tab, &format!("; {more} more follow"));
        }
        self.faults.into_problems()
    }
}

/// A tab outside of quotes and comments.
pub(super) fn tab(text: &str, span: Span) -> Problem {
    let before = &text[span.start - column(text, span.start)..span.start];
    let (message, help) = if before.trim().is_empty() {
        ("this line is indented with a tab", "indent with blanks, two for each step")
    } else {
        ("there is a tab here", "put a blank in its place")
    };
    Problem::yaml(span, message, help)
}

/// A line that begins with `%`.
pub(super) fn directive(span: Span) -> Problem {
    let message = "a line that begins with % is a directive, which a table has no use for";
    Problem::yaml(span, message, "delete the line")
}

/// Where a quoted scalar that begins at `start` ends, behind its closing quote.
pub(super) fn quoted_end(text: &str, start: usize, limit: usize) -> usize {
    let bytes = &text.as_bytes()[..limit];
    let mark = bytes[start];
    let mut at = start + 1;
    while let Some(byte) = bytes.get(at) {
        at += match byte {
            b'\\' if mark == b'"' => 2,
            b'\'' if mark == b'\'' && bytes.get(at + 1) == Some(&mark) => 2,
            b if *b == mark => return at + 1,
            _ => 1,
        };
    }
    limit
}

/// Where the tags and anchors that begin at `start` end, and the blanks behind them.
pub(super) fn properties_end(text: &str, start: usize, limit: usize) -> (usize, usize) {
    let bytes = &text.as_bytes()[..limit];
    let (mut end, mut at) = (start, start);
    while matches!(bytes.get(at), Some(b'!' | b'&' | b'*')) {
        let ends = |b: &u8| b.is_ascii_whitespace() || b",[]{}".contains(b);
        end = bytes[at..].iter().position(ends).map_or(limit, |length| at + length);
        at = skip_white(bytes, end);
    }
    (end, at)
}

fn skip_white(bytes: &[u8], mut at: usize) -> usize {
    while let Some(byte) = bytes.get(at) {
        match byte {
            b' ' | b'\t' | b'\n' | b'\r' => at += 1,
            b'#' => at += bytes[at..].iter().take_while(|b| !is_break(**b)).count(),
            _ => break,
        }
    }
    at
}
