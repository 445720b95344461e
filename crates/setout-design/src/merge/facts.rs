//! A table as facts, a line each: what git shows of it where two states are compared.

use super::meaning::{Meaning, name_of};
use crate::document::keys;
use crate::yaml::read;

/// What a table's text says, a line for each value, without comments, layout and quotes. Names
/// follow the alphabet and fields the format, whatever the order of the text: two tables that say
/// the same have the same lines. `None` for a text that is no table.
///
/// ```
/// use setout_design::merge::facts;
/// let text = "dimensions:\n  width: { min: 55 mm, value: '62 mm' }   # over all\n  gap: 2 mm\n";
/// assert_eq!(facts(text).unwrap(), "gap: 2 mm\nwidth: 62 mm\nwidth.min: 55 mm\n");
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
            let order = keys_of(path);
            let place = |key: &str| order.iter().position(|known| *known == key);
            let mut entries: Vec<&(String, Meaning)> = meaning.entries().iter().collect();
            entries.sort_by_key(|(key, _)| (place(key).unwrap_or(order.len()), key));
            for (key, value) in entries {
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

/// The keys that may stand here, in the order of the format; none where names stand.
fn keys_of(path: &[String]) -> Vec<&'static str> {
    match path {
        [] => [&keys::DESIGN[..], &keys::TABLE[..]].concat(),
        [section, _] => match section.as_str() {
            "dimensions" => keys::DIMENSION.to_vec(),
            "schedules" => keys::SCHEDULE.to_vec(),
            "checks" => keys::CHECK.to_vec(),
            "parts" => keys::PART.to_vec(),
            "processes" => keys::PROCESS.to_vec(),
            "exports" => keys::EXPORT.to_vec(),
            _ => Vec::new(),
        },
        _ => Vec::new(),
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
