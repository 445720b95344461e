//! Any bytes as a table of a design.

use setout::{Comparison, Design, Evaluation, Slug, export_faults, export_text, formats};

use super::looked_at::{looked_at, well_told};
use super::texts::{Files, files, source};

/// So many names are asked for their derivation and their reach.
const ASKED: usize = 12;

/// Any files are read and evaluated: every fault has its place and its words, every value is
/// finite, the same texts give the same answer, and other line ends change nothing.
pub fn table(bytes: &[u8]) {
    let files = files(bytes);
    let evaluation = looked_at(&files);
    is_nothing_to_itself(&evaluation);
    is_the_same_again(&evaluation, &files);
    is_the_same_on_windows(&evaluation, &files);
    is_asked(&evaluation);
    export_faults(&evaluation).iter().for_each(|fault| well_told(fault, &files));
    if evaluation.faults().is_empty() {
        is_exported(&evaluation);
    }
}

fn is_nothing_to_itself(evaluation: &Evaluation) {
    let nothing = Comparison::of(evaluation, evaluation);
    assert!(nothing.is_empty(), "{nothing:?}");
    assert!(nothing.parts.is_empty() && nothing.checks.is_empty(), "{nothing:?}");
    assert!(nothing.limits.is_empty() && nothing.schedules.is_empty(), "{nothing:?}");
    assert!(nothing.unchanged.is_empty() && nothing.exports.is_empty(), "{nothing:?}");
}

/// The order of a hash never shows.
fn is_the_same_again(evaluation: &Evaluation, files: &Files) {
    let again = Design::read(&source(files)).evaluate();
    assert_eq!(again.faults(), evaluation.faults());
    assert_eq!(again.warnings(), evaluation.warnings());
    assert_eq!(again.dimensions(), evaluation.dimensions());
    assert_eq!(again.schedules(), evaluation.schedules());
    assert_eq!(again.parts(), evaluation.parts());
    assert_eq!(again.checks(), evaluation.checks());
    assert_eq!(again.limits(), evaluation.limits());
    assert_eq!(again.fingerprint(), evaluation.fingerprint());
    assert!(Comparison::of(evaluation, &again).is_empty());
}

fn is_the_same_on_windows(evaluation: &Evaluation, files: &Files) {
    if files.values().any(|text| text.contains(&b'\r')) {
        return;
    }
    let with_breaks = |text: &Vec<u8>| {
        let lines: Vec<&[u8]> = text.split(|byte| *byte == b'\n').collect();
        lines.join(&b"\r\n"[..])
    };
    let files = files.iter().map(|(path, text)| (path.clone(), with_breaks(text))).collect();
    let other = looked_at(&files);
    // How much of a text that is no YAML is told of beside that is a matter of luck.
    let is_yaml = |of: &Evaluation| of.faults().iter().all(|fault| fault.slug != Slug::Yaml);
    assert_eq!(is_yaml(&other), is_yaml(evaluation));
    if !is_yaml(evaluation) {
        return;
    }
    assert_eq!(other.faults(), evaluation.faults());
    assert_eq!(other.fingerprint(), evaluation.fingerprint());
}

fn is_asked(evaluation: &Evaluation) {
    let dimensions = evaluation.dimensions().into_iter().map(|dimension| dimension.name);
    let names: Vec<String> = dimensions.take(ASKED).collect();
    for name in &names {
        let steps = evaluation.derivation(name).expect("a dimension has a derivation");
        assert_eq!(steps.last().map(|step| &step.name), Some(name));
        let reach = evaluation.reach(&[name]).expect("a dimension has a reach");
        assert!(reach.values.iter().all(|reached| reached.path.first() == Some(name)), "{reach:?}");
    }
    for check in evaluation.checks().iter().take(ASKED) {
        evaluation.derivation(&check.name).expect("a check has a derivation");
    }
}

/// What is exported has no line that a design could have smuggled in.
fn is_exported(evaluation: &Evaluation) {
    for format in formats() {
        match export_text(evaluation, *format) {
            Ok(text) => is_inert(&text, format.name()),
            Err(faults) => faults.iter().for_each(|fault| assert!(!fault.to_string().is_empty())),
        }
    }
}

fn is_inert(text: &str, format: &str) {
    let odd = |c: char| c.is_control() && c != '\n' && !(format == "csv" && "\r\t".contains(c));
    assert!(!text.contains(odd), "{text:?}");
    if format != "openscad" {
        return;
    }
    for line in text.lines().filter(|line| !line.is_empty() && !line.starts_with("//")) {
        let (name, _) = line.split_once(" = ").unwrap_or_else(|| panic!("no assignment: {line:?}"));
        assert!(
            name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_'),
            "{line:?}"
        );
    }
}
