//! What a table says, free of layout, comments, quoting and order.

use std::collections::HashMap;

use crate::yaml::{Node, Scalar, Style, Word, file_of};

/// What stands at one place of a table.
#[derive(Clone, Debug)]
pub(super) enum Meaning {
    Text(Word),
    List(Vec<Meaning>),
    /// Entries by their keys. Rows of a schedule have their cells by the names of the columns, what
    /// a part uses is a set of names, and a dimension has a `value` in its short form too.
    Map(Entries),
    Nothing,
}

/// Meanings by their keys, in the order of the text.
#[derive(Clone, Debug, Default)]
pub(super) struct Entries {
    list: Vec<(String, Meaning)>,
    places: HashMap<String, usize>,
}

impl FromIterator<(String, Meaning)> for Entries {
    fn from_iter<I: IntoIterator<Item = (String, Meaning)>>(entries: I) -> Self {
        let list: Vec<(String, Meaning)> = entries.into_iter().collect();
        let places = list.iter().enumerate().map(|(place, (key, _))| (key.clone(), place));
        Self { places: places.collect(), list }
    }
}

impl Entries {
    fn get(&self, key: &str) -> Option<&Meaning> {
        self.places.get(key).map(|place| &self.list[*place].1)
    }
}

/// Equal whatever the order of entries and the quotes round a text.
impl PartialEq for Meaning {
    fn eq(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Text(a), Self::Text(b)) => a.text == b.text,
            (Self::List(a), Self::List(b)) => a == b,
            (Self::Map(a), Self::Map(b)) => {
                a.list.len() == b.list.len()
                    && a.list.iter().all(|(key, value)| b.get(key) == Some(value))
            }
            (Self::Nothing, Self::Nothing) => true,
            _ => false,
        }
    }
}

impl Meaning {
    pub(super) fn get(&self, key: &str) -> Option<&Self> {
        if let Self::Map(entries) = self { entries.get(key) } else { None }
    }

    pub(super) fn entries(&self) -> &[(String, Self)] {
        if let Self::Map(entries) = self { &entries.list } else { &[] }
    }

    /// Whether it is this text.
    pub(super) fn is_text(&self, text: &str) -> bool {
        matches!(self, Self::Text(word) if word.text == text)
    }

    /// What stands behind a path of keys.
    pub(super) fn at(&self, path: &[String]) -> Option<&Self> {
        path.iter().try_fold(self, |meaning, key| meaning.get(key))
    }

    /// The same without an entry.
    pub(super) fn without(&self, key: &str) -> Self {
        match self {
            Self::Map(entries) => {
                Self::Map(entries.list.iter().filter(|(own, _)| own != key).cloned().collect())
            }
            other => other.clone(),
        }
    }

    /// What a whole table says.
    pub(super) fn of_table(tree: Option<&Node>) -> Self {
        match tree {
            None => Self::Map(Entries::default()),
            Some(tree) => Self::of(&mut Vec::new(), tree, &[]),
        }
    }

    /// What a node says; `columns` are those of the schedule that it stands in.
    pub(super) fn of(path: &mut Vec<String>, node: &Node, columns: &[String]) -> Self {
        match node {
            Node::Empty(_) if path.len() == 1 && path[0] != "about" => {
                Self::Map(Entries::default())
            }
            Node::Empty(_) => Self::Nothing,
            Node::Scalar(scalar) if is_dimension(path) => {
                Self::Map([("value".to_owned(), Self::Text(word(scalar)))].into_iter().collect())
            }
            Node::Scalar(scalar) => Self::Text(word(scalar)),
            Node::Map(map) => {
                let own = if path.len() == 2 && path[0] == "schedules" {
                    columns_of(node)
                } else {
                    Vec::new()
                };
                let columns = if own.is_empty() { columns } else { &own };
                let entry = |path: &mut Vec<String>, entry: &crate::yaml::Entry| {
                    path.push(entry.key.value.to_string());
                    let meaning = Self::of(path, &entry.value, columns);
                    path.pop();
                    (entry.key.value.to_string(), meaning)
                };
                Self::Map(map.entries.iter().map(|of| entry(path, of)).collect())
            }
            Node::List(list) => Self::of_list(path, &list.items, columns),
        }
    }

    fn of_list(path: &mut Vec<String>, items: &[Node], columns: &[String]) -> Self {
        let plain = |path: &mut Vec<String>| -> Vec<Self> {
            // Below an item nothing is told apart by its place.
            items.iter().map(|item| Self::of(path, item, &[])).collect()
        };
        if is_row(path) && items.len() == columns.len() && !columns.is_empty() {
            let mut inside = path.clone();
            inside.push(String::new());
            let cells = items.iter().map(|item| Self::of(&mut inside, item, &[]));
            return Self::Map(columns.iter().cloned().zip(cells).collect());
        }
        let keys: Option<Vec<String>> = match () {
            () if is_uses(path) => {
                items.iter().map(|item| Some(item.as_scalar()?.value.trim().to_owned())).collect()
            }
            () if path.len() == 1 => items.iter().map(file_of).collect(),
            () => None,
        };
        match keys {
            Some(keys) if is_set(&keys) => Self::Map(keys.into_iter().zip(plain(path)).collect()),
            _ => Self::List(plain(path)),
        }
    }
}

fn is_set(keys: &[String]) -> bool {
    let mut sorted: Vec<&String> = keys.iter().collect();
    sorted.sort_unstable();
    sorted.windows(2).all(|two| two[0] != two[1])
}

fn word(scalar: &Scalar) -> Word {
    let quoted = matches!(scalar.style, Style::Single | Style::Double);
    Word { text: scalar.value.trim().to_owned(), quoted }
}

/// The names of a schedule's columns, in their order.
pub(super) fn columns_of(schedule: &Node) -> Vec<String> {
    let columns = schedule.as_map().and_then(|map| map.get("columns")).and_then(Node::as_map);
    columns.map_or_else(Vec::new, |map| {
        map.entries.iter().map(|of| of.key.value.to_string()).collect()
    })
}

pub(super) fn is_dimension(path: &[String]) -> bool {
    path.len() == 2 && path[0] == "dimensions"
}

pub(super) fn is_row(path: &[String]) -> bool {
    path.len() == 4 && path[0] == "schedules" && path[2] == "rows"
}

pub(super) fn is_uses(path: &[String]) -> bool {
    path.len() == 3 && path[0] == "parts" && path[2] == "uses"
}

/// Whether what stands here is only a place for things with names: those of both sides can stand
/// beside each other.
pub(super) fn is_container(path: &[String]) -> bool {
    match path {
        [] => true,
        [section] => section != "about",
        _ => false,
    }
}

/// What is called so in messages: `width.min`, `servo.jaw_left.stall_current`.
pub(super) fn name_of(path: &[String]) -> String {
    let sections = ["dimensions", "schedules", "checks", "parts"];
    let named: &[String] = match path {
        [section, rest @ ..] if sections.contains(&&**section) && !rest.is_empty() => rest,
        path => path,
    };
    let is_schedule = path.first().is_some_and(|section| section == "schedules");
    let kept = named.iter().enumerate().filter(|(index, key)| {
        !(is_schedule && *index == 1 && named.len() > 2 && ["rows", "columns"].contains(&&***key))
    });
    kept.map(|(_, key)| key.as_str()).collect::<Vec<_>>().join(".")
}
