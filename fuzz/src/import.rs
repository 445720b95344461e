//! Any bytes as a file of another program.

use setout::{Comparison, Design, Evaluation, Form, Imported, Source};

use super::texts::{Files, files, source};

/// Any file is imported as either form, alone and beside another table: what is written reads
/// without a fault, and what is left out is told with its line and its reason.
pub fn import(bytes: &[u8]) {
    let alone = files(b"dimensions: {}\n");
    let beside = files(BESIDE.as_bytes());
    for form in [Form::OpenScad, Form::Csv] {
        imported_into(&alone, bytes, form);
        imported_into(&beside, bytes, form);
    }
}

/// Names that would meet those of a table `t` in an export.
const BESIDE: &str =
    "dimensions:\n  width: 62 mm\n  a: 2 deg\n>>> t_a.yaml\ndimensions:\n  b: 3 mm\n";

fn imported_into(files: &Files, bytes: &[u8], form: Form) {
    let design = source(files);
    let imported = setout::import(bytes, form, "t", Some(&design)).expect("small, and a good name");
    is_told_of(&imported, bytes);
    assert_eq!(setout::import(bytes, form, "t", Some(&design)).as_ref(), Ok(&imported));
    if imported.taken.is_empty() {
        assert_eq!(imported.text, "");
        return;
    }
    let mut files = files.clone();
    files.insert("t.yaml".to_owned(), imported.text.clone().into_bytes());
    let evaluation = Design::read(&source(&files)).evaluate();
    assert_eq!(evaluation.faults(), [], "{}", imported.text);
    has_what_was_taken(&evaluation, &imported);
    let before = Design::read(&design as &dyn Source).evaluate();
    let found = Comparison::of(&before, &evaluation);
    let of_the_table = |name: &str| name == "t" || name.starts_with("t.");
    assert!(found.edits.iter().all(|edit| of_the_table(&edit.name)), "{:?}", found.edits);
    assert!(found.changed.is_empty(), "{:?}", found.changed);
}

fn is_told_of(imported: &Imported, bytes: &[u8]) {
    let lines = 1 + bytes.iter().filter(|byte| b"\n\r".contains(byte)).count();
    for left in &imported.left_out {
        assert!((1..=lines).contains(&left.line), "of {lines} lines: {left:?}");
        assert!(!left.why.trim().is_empty(), "{left:?}");
        assert!(!left.why.contains('\n') && !left.text.contains('\n'), "{left:?}");
    }
    assert!(imported.left_out.is_sorted(), "{:?}", imported.left_out);
    let known = |name: &String| imported.taken.contains(name);
    assert!(imported.renamed.iter().all(|renamed| known(&renamed.to)), "{imported:?}");
}

fn has_what_was_taken(evaluation: &Evaluation, imported: &Imported) {
    for name in &imported.taken {
        assert!(evaluation.value(&format!("t.{name}")).is_some(), "{name} in {}", imported.text);
    }
    let cells = evaluation
        .schedules()
        .iter()
        .map(|schedule| schedule.rows.iter().map(|(_, cells)| cells.len()).sum::<usize>())
        .sum::<usize>();
    let own = evaluation.dimensions().iter().filter(|of| of.name.starts_with("t.")).count();
    assert_eq!(own + cells, imported.taken.len(), "{}", imported.text);
}
