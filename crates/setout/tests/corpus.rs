//! The inputs that fuzzing found worth keeping, through the functions that it calls. What they
//! hold stands in `fuzz/src`.

use std::path::{Path, PathBuf};
use std::{env, fs};

#[expect(unreachable_pub, reason = "it is a library of its own, for the fuzzer")]
#[path = "../../../fuzz/src/lib.rs"]
mod fuzz;

/// The largest that all inputs together may be, so that a clone stays small.
const LARGEST: u64 = 300 * 1024;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz")
}

/// The inputs of a target, by name.
fn inputs(target: &str) -> Vec<(String, Vec<u8>)> {
    let folder = folder().join("corpus").join(target);
    let files = fs::read_dir(&folder).unwrap_or_else(|_| panic!("no {}", folder.display()));
    let mut inputs: Vec<(String, Vec<u8>)> = files
        .map(|file| {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, fs::read(&path).unwrap())
        })
        .collect();
    inputs.sort();
    inputs
}

/// Names the input that a target stops at.
struct At<'a>(&'a str, &'a str);

#[expect(clippy::print_stderr, reason = "a panic is told with the name of its input")]
impl Drop for At<'_> {
    fn drop(&mut self) {
        if std::thread::panicking() {
            eprintln!("the input is fuzz/corpus/{}/{}", self.0, self.1);
        }
    }
}

fn holds(target: &str) {
    let (_, function) = fuzz::TARGETS.iter().find(|(name, _)| *name == target).unwrap();
    let inputs = inputs(target);
    assert!(inputs.len() >= 20, "{target} has {} inputs", inputs.len());
    for (name, bytes) in &inputs {
        let _at = At(target, name);
        function(bytes);
    }
}

#[test]
fn formulas() {
    holds("formula");
}

#[test]
fn tables() {
    holds("table");
}

#[test]
fn edits() {
    holds("edit");
}

#[test]
fn imports() {
    holds("import");
}

#[test]
fn comparisons() {
    holds("compare");
}

#[test]
fn independent() {
    holds("independent");
}

#[test]
fn assessments() {
    holds("assess");
}

/// An input that is refused proves little: enough are not.
#[test]
fn many_edits_are_made() {
    let inputs = inputs("edit");
    let made = inputs.iter().filter(|(_, bytes)| fuzz::is_edited(bytes)).count();
    assert!(made * 4 >= inputs.len(), "{made} of {}", inputs.len());
}

/// Where nothing varies there is nothing to prove.
#[test]
fn much_is_assessed() {
    let inputs = inputs("assess");
    let assessed = inputs.iter().filter(|(_, bytes)| fuzz::is_assessed(bytes)).count();
    assert!(assessed * 4 >= inputs.len() * 3, "{assessed} of {}", inputs.len());
}

#[test]
fn every_target_has_its_inputs_and_no_more() {
    let folders = fs::read_dir(folder().join("corpus")).unwrap();
    let mut found: Vec<String> =
        folders.map(|of| of.unwrap().file_name().to_string_lossy().into_owned()).collect();
    found.sort();
    let mut wanted: Vec<&str> = fuzz::TARGETS.iter().map(|(name, _)| *name).collect();
    wanted.sort_unstable();
    assert_eq!(found, wanted);
    let all = wanted.iter().flat_map(|target| inputs(target));
    let bytes: u64 = all.map(|(_, bytes)| bytes.len() as u64).sum();
    assert!(bytes <= LARGEST, "{bytes} bytes; take out what is large, or let `fuzz/run` do it");
}

/// The words of a dictionary, without the quotes and escapes around them.
fn dictionary(name: &str) -> String {
    let text = fs::read_to_string(folder().join(name)).unwrap();
    let words = text.lines().filter(|line| line.starts_with('"'));
    words.map(|word| format!("{}\n", word.trim_matches('"'))).collect()
}

#[test]
fn dictionaries_have_every_function_and_key() {
    let (formulas, tables) = (dictionary("formulas.dict"), dictionary("tables.dict"));
    for function in setout::FUNCTIONS.iter().chain(setout::LINKAGES).chain(setout::HARDWARE) {
        assert!(formulas.contains(&format!("{}(\n", function.name)), "no {}", function.name);
    }
    for key in keys() {
        assert!(tables.contains(&format!("{key}: \n")), "no {key}");
    }
}

/// Every key of both schemas.
fn keys() -> Vec<String> {
    let mut keys = Vec::new();
    for text in [setout::schema::TABLE, setout::schema::DESIGN] {
        collect(&serde_json::from_str(text).unwrap(), &mut keys);
    }
    assert!(keys.iter().any(|key| key == "one_of") && keys.len() > 20, "{keys:?}");
    keys
}

fn collect(schema: &serde_json::Value, keys: &mut Vec<String>) {
    if let Some(properties) = schema.get("properties").and_then(serde_json::Value::as_object) {
        keys.extend(properties.keys().filter(|key| !key.starts_with('$')).cloned());
    }
    match schema {
        serde_json::Value::Object(map) => map.values().for_each(|value| collect(value, keys)),
        serde_json::Value::Array(list) => list.iter().for_each(|value| collect(value, keys)),
        _ => {}
    }
}
