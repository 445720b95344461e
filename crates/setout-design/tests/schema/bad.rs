//! Which of the bad designs an editor would mark by the schemas, in `bad.txt`.
//!
//! The others can't be told by draft-07: a name that does not exist, kinds that do not agree, what
//! stands inside a formula, a text without quotes. With `UPDATE=1` the list is written anew.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

use setout_design::yaml;

use crate::complaint;

fn here() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests")
}

fn below(path: &Path) -> Vec<PathBuf> {
    let mut paths: Vec<_> = fs::read_dir(path).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    paths
}

fn name_of(path: &Path) -> &str {
    path.file_name().unwrap().to_str().unwrap()
}

/// The tables and design.yaml of a case, wherever they stand.
fn files(folder: &Path) -> Vec<PathBuf> {
    let (folders, files): (Vec<_>, Vec<_>) = below(folder).into_iter().partition(|p| p.is_dir());
    let files = files.into_iter().filter(|path| path.extension() == Some("yaml".as_ref()));
    files.chain(folders.iter().flat_map(|folder| self::files(folder))).collect()
}

/// Whether there is a complaint about a file. What is no YAML is not for a schema to say.
fn is_marked(case: &Path) -> bool {
    files(case).iter().any(|path| {
        let text = fs::read_to_string(path).unwrap_or_default();
        yaml::read(&text).1.is_empty() && complaint(name_of(path), &text).is_some()
    })
}

#[test]
fn what_draft_07_can_tell_is_rejected() {
    let is_folder = |path: &PathBuf| path.is_dir();
    let mut found = String::new();
    for slug in below(&here().join("bad")).into_iter().filter(is_folder) {
        for case in below(&slug).into_iter().filter(is_folder).filter(|case| is_marked(case)) {
            writeln!(found, "{}/{}", name_of(&slug), name_of(&case)).unwrap();
        }
    }
    let path = here().join("schema/bad.txt");
    if env::var_os("UPDATE").is_some() {
        fs::write(&path, &found).unwrap();
    }
    let wanted = fs::read_to_string(&path).unwrap_or_default();
    let sets = [&wanted, &found].map(|text| text.lines().collect::<BTreeSet<_>>());
    let odd: Vec<_> = sets[0].symmetric_difference(&sets[1]).collect();
    assert!(odd.is_empty(), "UPDATE=1 takes these over: {odd:#?}");
}

#[test]
fn every_unknown_key_is_rejected() {
    for case in below(&here().join("bad/unknown-key")).into_iter().filter(|path| path.is_dir()) {
        assert!(is_marked(&case), "{}", case.display());
    }
}
