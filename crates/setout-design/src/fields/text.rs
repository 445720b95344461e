//! The text of a table with other fields in its things.
//!
//! First what is there is changed in place, then what is new is put in, each for all things at
//! once: a file of edits may name every dimension of a table.

use super::Field;
use super::wanted::Wanted;
use crate::yaml::{Edit, Map, New, NewEntries, Node, Scalar, SpliceError, Word};
use crate::yaml::{insert, node_at, read, relist, splice_all, without};

/// The text with all that is wanted of it.
pub(super) fn written(text: &str, wanted: &[&Wanted<'_>]) -> Result<String, SpliceError> {
    let (tree, _) = read(text);
    let tree = tree.ok_or(SpliceError::Stale { at: 0 })?;
    let mut in_place = Vec::new();
    let mut new: Vec<NewEntries<'_>> = Vec::new();
    let mut lists = Vec::new();
    let mut gone = Vec::new();
    for one in wanted {
        match plan(&tree, one)? {
            Plan::Nothing => {}
            Plan::InPlace(edits) => in_place.extend(edits),
            Plan::Relist(words) => lists.push((one, words)),
            Plan::Gone => gone.push(one),
            Plan::New(value) => {
                let entry = (one.field.key(), value);
                match new.iter_mut().find(|group| group.path == one.path) {
                    Some(group) => group.entries.push(entry),
                    None => {
                        let (path, own_key) = (one.path.clone(), Field::Value.key());
                        new.push(NewEntries { path, own_key, entries: vec![entry] });
                    }
                }
            }
        }
    }
    for group in &mut new {
        group.entries.sort_by_key(|(key, _)| Field::of_key(key));
    }
    let edits: Vec<Edit<'_>> = in_place.iter().map(InPlace::edit).collect();
    let mut text = if edits.is_empty() { text.to_owned() } else { splice_all(text, &edits)? };
    if !new.is_empty() {
        text = insert(&text, &new)?;
    }
    for (one, words) in lists {
        let path: Vec<&str> = one.path.iter().copied().chain([one.field.key()]).collect();
        text = relist(&text, &path, words)?;
    }
    for one in gone {
        text = without(&text, &one.path, one.field.key())?;
    }
    Ok(text)
}

/// What is to be done for one field.
enum Plan<'w> {
    Nothing,
    InPlace(Vec<InPlace>),
    New(New),
    Relist(&'w [Word]),
    Gone,
}

/// A scalar that is there, and what it is to hold.
struct InPlace {
    scalar: Scalar,
    new: String,
    in_flow: bool,
}

impl InPlace {
    fn of(scalar: &Scalar, word: &Word, in_flow: bool) -> Self {
        // A block keeps the line end that it had.
        let line_end = if scalar.value.ends_with('\n') { "\n" } else { "" };
        Self { scalar: word.over(scalar), new: format!("{}{line_end}", word.text), in_flow }
    }

    fn edit(&self) -> Edit<'_> {
        Edit { scalar: &self.scalar, new: &self.new, in_flow: self.in_flow }
    }
}

fn plan<'w>(tree: &Node, one: &'w Wanted<'_>) -> Result<Plan<'w>, SpliceError> {
    if let (Some((scalar, flow)), Some(New::One(word))) = (&one.cell, &one.new) {
        return Ok(Plan::InPlace(vec![InPlace::of(scalar, word, *flow)]));
    }
    let node = node_at(tree, &one.path).ok_or(SpliceError::Stale { at: 0 })?;
    let found = field_of(node, one.field);
    let flow = match node {
        Node::Map(map) => map.flow,
        _ => node_at(tree, &one.path[..1]).and_then(Node::as_map).is_some_and(|map| map.flow),
    };
    Ok(match (found, &one.new) {
        (None, None) => Plan::Nothing,
        (Some(_), None) => Plan::Gone,
        (None, Some(new)) => Plan::New(new.clone()),
        (Some(Node::Scalar(scalar)), Some(New::One(word))) => {
            Plan::InPlace(vec![InPlace::of(scalar, word, flow)])
        }
        (Some(Node::List(list)), Some(New::List(words))) => {
            let scalars: Vec<&Scalar> = list.items.iter().filter_map(Node::as_scalar).collect();
            let pairs = scalars.iter().zip(words);
            let differ = pairs.filter(|(scalar, word)| scalar.value != word.text);
            if scalars.len() == list.items.len() && scalars.len() == words.len() {
                let edit = |(scalar, word): (&&Scalar, &Word)| InPlace::of(scalar, word, list.flow);
                Plan::InPlace(differ.map(edit).collect())
            } else {
                Plan::Relist(words)
            }
        }
        (Some(other), Some(new)) => {
            let shown = match new {
                New::One(word) => word.text.clone(),
                New::List(words) => {
                    words.iter().map(|word| &*word.text).collect::<Vec<_>>().join(", ")
                }
            };
            return Err(SpliceError::Unwritable { at: other.span().start, new: shown });
        }
    })
}

/// What stands behind a field that is there.
pub(super) fn field_of(node: &Node, field: Field) -> Option<&Node> {
    let in_map = |map: &Map| map.get(field.key()).is_some();
    match (node, field) {
        (Node::Scalar(_), Field::Value) => Some(node),
        (Node::Map(map), Field::Value) if !in_map(map) => map.get("text"),
        (Node::Map(map), field) => map.get(field.key()),
        _ => None,
    }
}
