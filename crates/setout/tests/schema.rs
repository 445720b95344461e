//! What the schemas for editors say of other crates.

use serde_json::Value;
use setout::{formats, schema};

#[test]
fn the_formats_of_exports_are_those_that_there_are() {
    let schema: Value = serde_json::from_str(schema::DESIGN).unwrap();
    let said = &schema["definitions"]["export"]["properties"]["format"]["enum"];
    let names: Vec<_> = formats().iter().map(|format| format.name()).collect();
    assert_eq!(*said, Value::from(names), "put it in setout-design/data/design.schema.json");
}
