//! What the second engine takes from the rest of Setout: texts, and results to compare with.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// The names of a crate that the source of this crate uses.
fn used(from: &str) -> BTreeSet<String> {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut names = BTreeSet::new();
    for file in fs::read_dir(source).expect("the source").map(|entry| entry.unwrap().path()) {
        let text = fs::read_to_string(&file).expect("a source file");
        // Examples and tests may take what they like.
        let text = text.split("#[cfg(test)]").next().unwrap();
        let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
        let text: String = lines.collect::<Vec<_>>().join("\n");
        for rest in text.split(&format!("{from}::")).skip(1) {
            let end = rest.find([';', '(']).unwrap_or(rest.len());
            let these = rest[..end].split([',', '{', '}']).map(str::trim);
            names.extend(these.filter(|name| !name.is_empty()).map(str::to_owned));
        }
    }
    names
}

#[test]
fn nothing_is_computed_with_the_first_engine() {
    let names = |from: &str| used(from).into_iter().collect::<Vec<_>>().join(" ");
    assert_eq!(names("setout_formula"), "");
    assert_eq!(names("setout_quantity"), "");
    assert_eq!(names("setout_standards"), "tables", "and of these only the texts");
    assert_eq!(
        names("setout_design"),
        "Amount Evaluation Place Role StandsFor WrittenFormula",
        "what was written and what it came to"
    );
}
