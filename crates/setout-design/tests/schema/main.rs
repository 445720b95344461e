//! The schemas for editors: they accept what the reader accepts, and reject what draft-07 can tell.

#![expect(clippy::unwrap_used, reason = "a test stops where it fails")]

mod accepted;
mod bad;
mod json;
mod odd;
mod strings;
mod things;

use std::sync::OnceLock;

use jsonschema::Validator;
use serde_json::Value;
use setout_design::{Design, Memory, schema, yaml};

fn validator(file: &str) -> &'static Validator {
    static BOTH: OnceLock<[Validator; 2]> = OnceLock::new();
    let [table, design] = BOTH.get_or_init(|| {
        [schema::TABLE, schema::DESIGN].map(|schema| {
            let schema: Value = serde_json::from_str(schema).unwrap();
            jsonschema::validator_for(&schema).unwrap()
        })
    });
    if file == "design.yaml" { design } else { table }
}

/// What an editor would say of a file, or nothing.
fn complaint(file: &str, text: &str) -> Option<String> {
    let (node, _) = yaml::read(text);
    let document = node.as_ref().map_or(Value::Null, json::of);
    let error = validator(file).iter_errors(&document).next()?;
    Some(format!("{} at {}", error, error.instance_path()))
}

/// Whether the reader finds nothing wrong with a design.
fn is_read(texts: &[(&str, &str)]) -> bool {
    Design::read(&Memory::new(texts.iter().copied())).evaluate().faults().is_empty()
}

#[test]
fn the_schemas_are_of_draft_07() {
    for schema in [schema::TABLE, schema::DESIGN] {
        let schema: Value = serde_json::from_str(schema).unwrap();
        assert_eq!(schema["$schema"], "http://json-schema.org/draft-07/schema#");
        jsonschema::draft7::meta::validate(&schema).unwrap();
    }
}
