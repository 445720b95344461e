//! A table as facts, a line each: what git shows of it where two states are compared.

use super::meaning::{Meaning, name_of};
use crate::yaml::read;

/// What a table's text says, a line for each value: in the order of the text, without comments,
/// layout and quotes. `None` for a text that is no table.
///
/// ```
/// use setout_design::merge::facts;
/// let text = "dimensions:\n  width: { value: '62 mm', min: 55 mm }   # over all\n";
/// assert_eq!(facts(text).unwrap(), "width: 62 mm\nwidth.min: 55 mm\n");
/// assert_eq!(facts("dimensions: ["), None);
/// ```
pub fn facts(text: &str) -> Option<String> {
    let (tree, problems) = read(text);
    if !problems.is_empty() {
        return None;
    }
    let mut lines = String::new();
    put(&Meaning::of_table(tree.as_ref()), &mut Vec::new(), &mut lines);
    Some(lines)
}

fn put(meaning: &Meaning, path: &mut Vec<String>, lines: &mut String) {
    let is_set = |of: &Meaning| of.entries().iter().all(|(key, value)| value.is_text(key));
    match meaning {
        Meaning::Map(_) if path.len() == 3 && is_set(meaning) => {
            let mut names: Vec<&str> =
                meaning.entries().iter().map(|(key, _)| key.as_str()).collect();
            names.sort_unstable();
            line(path, &names.join(", "), lines);
        }
        Meaning::Map(_) => {
            for (key, value) in meaning.entries() {
                path.push(key.clone());
                put(value, path, lines);
                path.pop();
            }
        }
        Meaning::Text(word) => line(path, &word.text, lines),
        Meaning::List(items) => {
            let items: Vec<String> = items.iter().map(told).collect();
            line(path, &format!("[{}]", items.join(", ")), lines);
        }
        Meaning::Nothing => line(path, "", lines),
    }
}

/// An item of a list in a line.
fn told(item: &Meaning) -> String {
    match item {
        Meaning::Text(word) => word.text.clone(),
        Meaning::List(items) => {
            format!("[{}]", items.iter().map(told).collect::<Vec<_>>().join(", "))
        }
        Meaning::Map(_) => {
            let entries =
                item.entries().iter().map(|(key, value)| format!("{key}: {}", told(value)));
            format!("{{ {} }}", entries.collect::<Vec<_>>().join(", "))
        }
        Meaning::Nothing => String::new(),
    }
}

fn line(path: &[String], value: &str, lines: &mut String) {
    let name = name_of(path);
    // A value stands for the dimension itself.
    let is_value = path.len() == 3 && path[0] == "dimensions" && path[2] == "value";
    let name = if is_value { name.strip_suffix(".value").unwrap_or(&name) } else { &name };
    let value: Vec<&str> = value.split_whitespace().collect();
    let shown = format!("{name}: {}", value.join(" "));
    lines.push_str(shown.trim_end());
    lines.push('\n');
}
