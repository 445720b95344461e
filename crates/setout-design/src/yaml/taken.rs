//! An entry that was taken out of a text, with its comments.

use super::row::Row;
use super::words::{column, line_end, lines};
use super::{Entry, Lines, Map, Node, Scalar, Span, Style};

/// An entry taken out of a text.
#[derive(Clone, Debug)]
pub(crate) struct Taken {
    /// Its lines, with the comments that belong to it, without line breaks.
    pub(crate) lines: Vec<String>,
    /// Which of them begins with its key.
    pub(super) key_line: usize,
    /// The column of its key.
    pub(super) column: usize,
    /// Whether it stood in braces.
    pub(super) flow: bool,
    /// What it is.
    pub(super) entry: Entry,
    /// From its key to the end of its value, as it stood there.
    pub(super) source: String,
    /// The comments among its lines.
    pub(super) comments: Vec<String>,
    /// Those of them that stand above the key or behind the value.
    pub(super) outer: Vec<String>,
    /// The number of its first line in the text.
    pub(crate) first_line: usize,
}

impl Taken {
    pub(super) fn of(text: &str, row: &Row<'_>, map: &Map, index: usize) -> Self {
        let span = row.span(index);
        let whole = row.lines(index);
        let own = whole.clone().unwrap_or_else(|| span.clone());
        let comma = whole.and_then(|_| row.comma(index)).filter(|comma| own.contains(comma));
        let source = match comma {
            Some(comma) => format!("{}{}", &text[own.start..comma], &text[comma + 1..own.end]),
            None => text[own.clone()].to_owned(),
        };
        Self {
            lines: lines(&source).into_iter().map(str::to_owned).collect(),
            key_line: lines(&text[own.start..span.start]).len() - 1,
            column: column(text, span.start),
            flow: map.flow,
            entry: map.entries[index].clone(),
            source: text[span.clone()].to_owned(),
            comments: comments(text, own.clone(), &map.entries[index]),
            outer: [own.start..span.start, span.end..own.end]
                .into_iter()
                .flat_map(|part| comments(text, part, &map.entries[index]))
                .collect(),
            first_line: Lines::new(text).line(own.start),
        }
    }
}

impl Taken {
    /// The same under another key; none if the old one is written with escapes.
    pub(crate) fn under(mut self, key: &str) -> Option<Self> {
        let old = std::mem::replace(&mut self.entry.key.value, key.into());
        let renamed = |text: &str| {
            let at = text.len() - text.trim_start_matches([' ', '\'', '"']).len();
            let rest = text[at..].strip_prefix(old.as_str())?;
            Some(format!("{}{key}{rest}", &text[..at]))
        };
        self.lines[self.key_line] = renamed(&self.lines[self.key_line])?;
        self.source = renamed(&self.source)?;
        Some(self)
    }
}

/// The comments in a stretch of the text that holds this entry alone.
pub(crate) fn comments(text: &str, span: Span, entry: &Entry) -> Vec<String> {
    let mut scalars = Vec::new();
    scalars_of(&entry.key, &entry.value, text, &mut scalars);
    let (mut found, mut at) = (Vec::new(), span.start);
    let mut scalars = scalars.into_iter().peekable();
    while let Some(sign) = text[at..span.end].find('#').map(|sign| at + sign) {
        while scalars.next_if(|scalar| scalar.end <= sign).is_some() {}
        at = match scalars.peek().filter(|scalar| scalar.start <= sign) {
            Some(scalar) => scalar.end,
            None => {
                let end = line_end(text, sign).min(span.end);
                found.push(text[sign..end].trim_end().to_owned());
                end
            }
        };
        if at >= span.end {
            break;
        }
    }
    found
}

/// The bytes of all scalars, in order; those of a block begin behind its header.
fn scalars_of(key: &Scalar, value: &Node, text: &str, found: &mut Vec<Span>) {
    found.push(key.span.clone());
    let mut nodes = vec![value];
    while let Some(node) = nodes.pop() {
        match node {
            Node::Scalar(scalar) => {
                let block = matches!(scalar.style, Style::Literal | Style::Folded);
                let start = scalar.span.start;
                let start = if block { line_end(text, start) } else { start };
                found.push(start..scalar.span.end.max(start));
            }
            Node::List(list) => nodes.extend(list.items.iter().rev()),
            Node::Map(map) => {
                for entry in map.entries.iter().rev() {
                    nodes.push(&entry.value);
                }
                found.extend(map.entries.iter().map(|entry| entry.key.span.clone()));
            }
            Node::Empty(_) => {}
        }
    }
    found.sort_by_key(|span| span.start);
}
