//! Designs that are good.

use std::fs;
use std::path::{Path, PathBuf};

use crate::complaint;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

#[test]
fn the_sample_and_the_starter_are_accepted() {
    let mut count = 0;
    for folder in ["params", "crates/setout-cli/starter"] {
        for entry in fs::read_dir(root().join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "yaml") {
                let name = path.file_name().unwrap().to_str().unwrap();
                let text = fs::read_to_string(&path).unwrap();
                assert_eq!(complaint(name, &text), None, "{}", path.display());
                count += 1;
            }
        }
    }
    assert!(count > 10, "{count} files");
}

/// Examples begin with "```yaml" and the name of their file.
fn examples(document: &str) -> Vec<(&str, &str)> {
    let blocks = document.split("\n```yaml ").skip(1);
    let named = blocks.filter_map(|block| block.split_once('\n'));
    named.filter_map(|(name, rest)| Some((name.trim(), rest.split_once("\n```")?.0))).collect()
}

#[test]
fn the_examples_of_the_documents_are_accepted() {
    let mut count = 0;
    for page in ["format.md", "formulas.md", "units.md", "exports.md", "library.md"] {
        let document = fs::read_to_string(root().join("docs").join(page)).unwrap();
        for (name, text) in examples(&document) {
            assert_eq!(complaint(name, text), None, "{page}: {text}");
            count += 1;
        }
    }
    assert!(count > 20, "{count} examples");
}

#[test]
fn what_may_be_left_out_or_left_empty() {
    for text in [
        "",
        "# nothing yet\n",
        "dimensions:\n",
        "dimensions: {}\nschedules:\nchecks:\nparts:\n",
        "schedules:\n  servo:\n    columns: {}\n    rows:\n",
        "parts:\n  jaw: {}\n",
    ] {
        assert!(crate::is_read(&[("design.yaml", "setout: 1\n"), ("jaw.yaml", text)]), "{text}");
        assert_eq!(complaint("jaw.yaml", text), None, "{text}");
    }
}
