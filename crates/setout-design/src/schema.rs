//! What editors check and complete a design by: JSON Schemas of draft-07, the dialect that they
//! handle best.
//!
//! A schema accepts whatever the reader accepts, and more: that a name exists, that kinds agree,
//! what a formula says, that a text needs quotes is not for a schema to tell. It knows the same
//! keys as the reader; a test sees to it.
//!
//! The schemas are data files. Nearly all in them is words for people, an editor can be pointed
//! at the file as it is, and nothing has to be computed to have them.
//!
//! ```
//! use setout_design::schema;
//! assert!(schema::TABLE.contains("http://json-schema.org/draft-07/schema#"));
//! ```

/// That of a table.
pub const TABLE: &str = include_str!("../data/table.schema.json");

/// That of `design.yaml`.
pub const DESIGN: &str = include_str!("../data/design.schema.json");

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "a test stops where it fails")]
mod tests {
    use std::collections::BTreeSet;

    use serde_json::Value;

    use super::{DESIGN, TABLE};
    use crate::Spread;
    use crate::document::keys;

    fn keys_at(schema: &str, place: &str) -> BTreeSet<String> {
        let schema: Value = serde_json::from_str(schema).unwrap();
        let at = schema.pointer(place).unwrap_or_else(|| panic!("there is no {place}"));
        assert_eq!(at["additionalProperties"], Value::Bool(false), "{place} is open");
        at["properties"].as_object().unwrap().keys().cloned().collect()
    }

    fn set(keys: &[&str]) -> BTreeSet<String> {
        keys.iter().map(|key| (*key).to_owned()).collect()
    }

    #[test]
    fn the_schemas_have_the_keys_of_the_reader() {
        assert_eq!(keys_at(DESIGN, ""), set(&keys::DESIGN));
        assert_eq!(keys_at(DESIGN, "/definitions/process"), set(&keys::PROCESS));
        assert_eq!(keys_at(DESIGN, "/definitions/export"), set(&keys::EXPORT));
        assert_eq!(keys_at(TABLE, ""), set(&keys::TABLE));
        assert_eq!(keys_at(TABLE, "/definitions/dimension"), set(&keys::DIMENSION));
        assert_eq!(keys_at(TABLE, "/definitions/schedule"), set(&keys::SCHEDULE));
        assert_eq!(keys_at(TABLE, "/definitions/check"), set(&keys::CHECK));
        assert_eq!(keys_at(TABLE, "/definitions/part"), set(&keys::PART));
    }

    #[test]
    fn every_key_is_described() {
        for schema in [TABLE, DESIGN] {
            let schema: Value = serde_json::from_str(schema).unwrap();
            let definitions = schema["definitions"].as_object().unwrap().values();
            for part in definitions.chain([&schema]) {
                for (key, of) in part["properties"].as_object().into_iter().flatten() {
                    let text = of["description"].as_str().unwrap_or_default();
                    assert!(text.ends_with('.'), "`{key}` is not described: {of}");
                }
            }
        }
    }

    #[test]
    fn spreads_are_those_of_the_reader() {
        for (schema, of) in [(TABLE, "dimension"), (DESIGN, "process")] {
            let schema: Value = serde_json::from_str(schema).unwrap();
            let names = &schema["definitions"][of]["properties"]["spread"]["enum"];
            for name in names.as_array().unwrap() {
                let name = name.as_str().unwrap();
                assert_eq!(Spread::of_name(name).map(Spread::name), Some(name));
            }
            assert_eq!(names.as_array().unwrap().len(), 3);
        }
    }
}
