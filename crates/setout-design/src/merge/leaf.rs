//! One entry that both sides changed, in fields of its own: made of one side's lines, with the
//! fields of the other set in them.

use super::meaning::Meaning;
use crate::yaml::{Edit, Entry, New, NewEntries, Node, Scalar, Word, comments, insert, lines_in};
use crate::yaml::{node_at, read, relist, splice_all, without};

/// The lines of an entry as a text of their own, its key not indented.
pub(super) struct Leaf {
    text: String,
}

impl Leaf {
    pub(super) fn of(body: &str, column: usize) -> Option<Self> {
        let lines: Option<Vec<&str>> = body
            .split_inclusive('\n')
            .map(|line| {
                let blanks = line.len() - line.trim_start_matches(' ').len();
                match blanks < column {
                    true if line.trim().is_empty() => Some("\n"),
                    // A comment says the same wherever it stands.
                    true if line[blanks..].starts_with('#') => Some(&line[blanks..]),
                    true => None,
                    false => Some(&line[column..]),
                }
            })
            .collect();
        Some(Self { text: lines?.concat() })
    }

    /// The lines with another indentation.
    pub(super) fn indented(&self, column: usize) -> String {
        let indent = " ".repeat(column);
        let lines = self.text.split_inclusive('\n');
        lines
            .map(
                |line| {
                    if line.trim().is_empty() { line.to_owned() } else { format!("{indent}{line}") }
                },
            )
            .collect()
    }

    fn entry(&self) -> Option<Entry> {
        match read(&self.text) {
            (Some(Node::Map(map)), problems) if problems.is_empty() => {
                let [entry] = <[Entry; 1]>::try_from(map.entries).ok()?;
                Some(entry)
            }
            _ => None,
        }
    }

    /// The comments in its lines.
    pub(super) fn comments(&self) -> Option<Vec<String>> {
        let entry = self.entry()?;
        Some(comments(&self.text, 0..self.text.len(), &entry))
    }

    /// The same under another key.
    pub(super) fn called(self, key: &str) -> Option<Self> {
        let entry = self.entry()?;
        if entry.key.value == key {
            return Some(self);
        }
        let edit = Edit { scalar: &entry.key, new: key, in_flow: false };
        let text = splice_all(&self.text, &[edit]).ok()?;
        Some(Self { text })
    }

    /// The same, saying what is wanted. `now` is what it says, `columns` those of its schedule in
    /// the merged table if it is a row.
    pub(super) fn saying(
        self,
        now: &Meaning,
        wanted: &Meaning,
        columns: &[String],
    ) -> Option<Self> {
        let entry = self.entry()?;
        let key = entry.key.value.clone();
        let text = match (&entry.value, wanted) {
            (Node::Scalar(scalar), Meaning::Text(word)) => over(&self.text, scalar, word, false)?,
            (Node::List(_), _) => {
                let words = words(wanted, columns)?;
                relist(&self.text, &[&key], &words).ok()?
            }
            _ => fields(&self.text, &[&key], now, wanted)?,
        };
        Some(Self { text })
    }
}

/// The items of a list: as they stand, cells by their columns, or names of a set.
fn words(wanted: &Meaning, columns: &[String]) -> Option<Vec<Word>> {
    let word = |of: &Meaning| match of {
        Meaning::Text(word) => Some(word.clone()),
        _ => None,
    };
    if let Meaning::List(items) = wanted {
        return items.iter().map(word).collect();
    }
    if columns.is_empty() {
        return wanted.entries().iter().map(|(_, value)| word(value)).collect();
    }
    let has_others = wanted.entries().len() != columns.len();
    let cells = columns.iter().map(|column| word(wanted.get(column)?));
    (!has_others).then(|| cells.collect())?
}

/// A text with other fields in the entry at a path.
fn fields(text: &str, path: &[&str], now: &Meaning, wanted: &Meaning) -> Option<String> {
    let mut text = text.to_owned();
    for (field, value) in wanted.entries() {
        match now.get(field) {
            Some(same) if same == value => {}
            Some(was) => text = set(&text, path, field, [was, value])?,
            None => {
                let entries = vec![(field.as_str(), new(value)?)];
                let group = NewEntries { path: path.to_vec(), own_key: "value", entries };
                text = insert(&text, &[group]).ok()?;
            }
        }
    }
    for (field, _) in now.entries().iter().filter(|(field, _)| wanted.get(field).is_none()) {
        text = without(&text, path, field).ok()?;
    }
    Some(text)
}

/// What is written for a value; nothing for what has fields of its own.
fn new(value: &Meaning) -> Option<New> {
    let word = |of: &Meaning| match of {
        Meaning::Text(word) => Some(word.clone()),
        _ => None,
    };
    match value {
        Meaning::Text(word) => Some(New::One(word.clone())),
        Meaning::List(items) => Some(New::List(items.iter().map(word).collect::<Option<_>>()?)),
        // A set of names.
        Meaning::Map(_) if value.entries().iter().all(|(key, of)| of.is_text(key)) => {
            let names = value.entries().iter().map(|(_, of)| word(of));
            Some(New::List(names.collect::<Option<_>>()?))
        }
        Meaning::Map(_) | Meaning::Nothing => None,
    }
}

/// A text with another value for a field that is there.
fn set(text: &str, path: &[&str], field: &str, [was, value]: [&Meaning; 2]) -> Option<String> {
    let (tree, _) = read(text);
    let tree = tree?;
    let inner = [path, &[field]].concat();
    let node = match node_at(&tree, path)? {
        Node::Map(map) => map.get(field)?,
        // The short form is the value.
        node => node,
    };
    let has_fields = [was, value].iter().all(|of| matches!(of, Meaning::Map(_)));
    if has_fields && !matches!(node, Node::List(_)) {
        return fields(text, &inner, was, value);
    }
    match (node, new(value)?) {
        (Node::Scalar(scalar), New::One(word)) => over(text, scalar, &word, in_flow(&tree, path)),
        (Node::List(_), New::List(words)) => relist(text, &inner, &words).ok(),
        _ => None,
    }
}

/// Whether anything on the way to what stands at a path is written in braces.
fn in_flow(tree: &Node, path: &[&str]) -> bool {
    let is_flow = |length: usize| match node_at(tree, &path[..length]) {
        Some(Node::Map(map)) => map.flow,
        _ => false,
    };
    (0..=path.len()).any(is_flow)
}

/// A text with another word where a scalar stands.
fn over(text: &str, scalar: &Scalar, word: &Word, in_flow: bool) -> Option<String> {
    let line_end = if scalar.value.ends_with('\n') { "\n" } else { "" };
    let new = format!("{}{line_end}", word.text);
    let scalar = word.over(scalar);
    splice_all(text, &[Edit { scalar: &scalar, new: &new, in_flow }]).ok()
}

/// Whether lines are the same but for their indentation.
pub(super) fn same_lines(a: (&str, usize), b: (&str, usize)) -> bool {
    if a.1 == b.1 {
        return a.0 == b.0;
    }
    match (Leaf::of(a.0, a.1), Leaf::of(b.0, b.1)) {
        (Some(a), Some(b)) => a.text == b.text,
        _ => false,
    }
}

/// The comments of the lines above an entry.
pub(super) fn comment_lines(lead: &str) -> Vec<&str> {
    lines_in(lead).into_iter().map(str::trim).filter(|line| line.starts_with('#')).collect()
}
