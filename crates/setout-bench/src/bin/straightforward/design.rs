//! The tables, as a typed reader gives them.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;
use setout_bench::programs::tables;

/// A table and its name.
pub(crate) struct Table {
    pub(crate) name: String,
    pub(crate) content: Content,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Content {
    #[expect(dead_code, reason = "it is read as the rest is")]
    about: Option<String>,
    #[serde(default)]
    pub(crate) dimensions: BTreeMap<String, Dimension>,
    #[serde(default)]
    pub(crate) checks: BTreeMap<String, Check>,
    #[serde(default)]
    #[expect(dead_code, reason = "it is read as the rest is")]
    parts: BTreeMap<String, Part>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "it is read as the rest is")]
pub(crate) struct Dimension {
    pub(crate) value: String,
    pub(crate) min: Option<String>,
    pub(crate) max: Option<String>,
    unit: Option<String>,
    travel: Option<[String; 2]>,
    tolerance: Option<String>,
    note: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "it is read as the rest is")]
pub(crate) struct Check {
    pub(crate) require: String,
    tight: Option<String>,
    why: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
#[expect(dead_code, reason = "it is read as the rest is")]
struct Part {
    made: String,
    material: String,
    cost: String,
    mass: String,
    uses: Vec<String>,
}

/// All tables of a folder.
pub(crate) fn read(folder: &Path) -> Vec<Table> {
    let paths = tables(folder).into_iter();
    let paths = paths.filter(|path| path.file_stem().is_some_and(|name| name != "design"));
    let table = |path: std::path::PathBuf| {
        let text = std::fs::read_to_string(&path).expect("a table");
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        Table { name, content: serde_yaml::from_str(&text).expect("a table") }
    };
    paths.map(table).collect()
}
