//! Names that keep the rules of a table.

use std::collections::{HashMap, HashSet};

use setout_design::limits::LONGEST_NAME;

use crate::report::Renamed;

/// Whether a dimension or a table can be called so.
pub fn is_name(name: &str) -> bool {
    let good = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_';
    name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.len() <= LONGEST_NAME
        && name.bytes().all(good)
        && !matches!(name, "true" | "false" | "pi")
}

/// The nearest thing to a name that is one; `otherwise` where nothing of it is left.
pub fn plain_name(name: &str, otherwise: &str) -> String {
    let snake = snake(name);
    let start = snake.trim_start_matches(|c: char| !c.is_ascii_lowercase());
    let mut plain: String = start.chars().take(LONGEST_NAME - 8).collect();
    plain.truncate(plain.trim_end_matches('_').len());
    match plain.as_str() {
        "" => format!("{otherwise}{}", snake.trim_matches('_')).chars().take(40).collect(),
        "true" | "false" | "pi" => format!("{plain}_value"),
        _ => plain,
    }
}

fn snake(name: &str) -> String {
    let mut snake = String::with_capacity(name.len());
    let mut before = '_';
    for c in name.chars() {
        let new_word =
            (before.is_ascii_lowercase() || before.is_ascii_digit()) && c.is_ascii_uppercase();
        if (new_word || !c.is_alphanumeric()) && !snake.ends_with('_') {
            snake.push('_');
        }
        match c.to_lowercase().next().unwrap_or(c) {
            'ä' => snake.push_str("ae"),
            'ö' => snake.push_str("oe"),
            'ü' => snake.push_str("ue"),
            'ß' => snake.push_str("ss"),
            lower if lower.is_ascii_alphanumeric() => snake.push(lower),
            _ => {}
        }
        before = c;
    }
    snake
}

/// Gives each name of a file a name of the table, no two the same.
#[derive(Debug, Default)]
pub(crate) struct Names {
    given: HashSet<String>,
    /// The last number behind each name that is taken, so that a thousand alike take no million
    /// tries.
    numbers: HashMap<String, usize>,
}

impl Names {
    /// A name that is good as it stands keeps its place before those that must change.
    pub(crate) fn keeping<'a>(names: impl Iterator<Item = &'a str>) -> Self {
        Self {
            given: names.filter(|name| is_name(name)).map(str::to_owned).collect(),
            numbers: HashMap::new(),
        }
    }

    /// The table's name for one, and whether it changed.
    pub(crate) fn give(&mut self, from: &str) -> (String, Option<Renamed>) {
        if is_name(from) {
            return (from.to_owned(), None);
        }
        let to = self.free(plain_name(from, "dimension_"));
        (to.clone(), Some(Renamed { from: from.to_owned(), to }))
    }

    /// The name for an element of a vector, which is always told.
    pub(crate) fn give_element(&mut self, from: &str, wanted: &str) -> (String, Option<Renamed>) {
        let plain = plain_name(wanted, "dimension_");
        let to = self.free(plain);
        (to.clone(), Some(Renamed { from: from.to_owned(), to }))
    }

    fn free(&mut self, plain: String) -> String {
        let number = self.numbers.entry(plain.clone()).or_insert(1);
        let mut free = plain.clone();
        while !self.given.insert(free.clone()) {
            *number += 1;
            free = format!("{plain}_{number}");
        }
        free
    }
}
