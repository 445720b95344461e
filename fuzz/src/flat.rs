//! What a table says, key by key, however it is written.

use std::collections::BTreeMap;

use setout::yaml::{Node, read};

/// Every text of a table by the keys on the way to it. A dimension's value has one place, be it
/// the short form, `value` or `text`.
pub(super) type Flat = BTreeMap<Vec<String>, String>;

pub(super) fn flat(text: &str) -> Flat {
    let mut found = Flat::new();
    if let (Some(tree), _) = read(text) {
        walk(&tree, &mut Vec::new(), &mut found);
    }
    found
}

fn walk(node: &Node, way: &mut Vec<String>, found: &mut Flat) {
    let mut further = |key: String, node: &Node, found: &mut Flat| {
        way.push(key);
        walk(node, way, found);
        way.pop();
    };
    match node {
        Node::Map(map) => {
            map.entries.iter().for_each(|of| further(of.key.value.to_string(), &of.value, found));
        }
        Node::List(list) => {
            let items = list.items.iter().enumerate();
            items.for_each(|(index, item)| further(index.to_string(), item, found));
        }
        Node::Scalar(scalar) => {
            found.insert(place(way), scalar.value.trim().to_owned());
        }
        Node::Empty(_) => {
            found.insert(place(way), String::new());
        }
    }
}

fn place(way: &[String]) -> Vec<String> {
    let mut place = way.to_vec();
    let in_dimensions = place.first().is_some_and(|section| section == "dimensions");
    match place.len() {
        2 if in_dimensions => place.push("value".to_owned()),
        3 if in_dimensions && place[2] == "text" => place[2] = "value".to_owned(),
        _ => {}
    }
    place
}

/// What one field of one thing holds, and the table without it.
pub(super) fn field_apart(all: Flat, thing: &str, key: &str) -> (Flat, Flat) {
    let is_field = |way: &[String]| {
        let in_things = ["dimensions", "checks", "parts"].contains(&&*way[0]);
        let named = |index: usize, name: &str| way.get(index).is_some_and(|of| of == name);
        in_things && named(1, thing) && named(2, key)
    };
    all.into_iter().partition(|(way, _)| is_field(way))
}

/// The table without a schedule's rows.
pub(super) fn without_rows(mut all: Flat, schedule: &str) -> Flat {
    let is_row = |way: &Vec<String>| {
        way.len() > 2 && way[0] == "schedules" && way[1] == schedule && way[2] == "rows"
    };
    all.retain(|way, _| !is_row(way));
    all
}
