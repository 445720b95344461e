//! Any rename in any design: of a thing, of a table, and into another table.

use setout::{Comparison, Design, EditFault, Evaluation, Rename};

use super::texts::{Files, source};

/// Every value is what it was, and the way back leads to the same bytes; where lines went to
/// another table, to the same design.
pub(super) fn rename(
    before: &Evaluation,
    files: &Files,
    old: &str,
    new: &str,
) -> Result<(), EditFault> {
    let made = before.design().rename(&source(files), old, new)?;
    let renamed = written(files, &made);
    let after = Design::read(&source(&renamed)).evaluate();
    assert_eq!(after.fingerprint(), made.design.evaluate().fingerprint());
    assert_eq!(values(before), values(&after));
    let moved = made.files.iter().any(|file| file.taken_out.is_some());
    let of_table = made.files.iter().any(|file| file.path_before.is_some());
    let old = if moved || of_table { &*made.from } else { last(&made.from) };
    let back = after.design().rename(&source(&renamed), &made.to, old);
    let back = back.unwrap_or_else(|refusal| panic!("{} back to {old}: {refusal}", made.to));
    let back = written(&renamed, &back);
    if !moved {
        assert_eq!(back, *files, "{} to {} and back", made.from, made.to);
    }
    let nothing = Comparison::of(before, &Design::read(&source(&back)).evaluate());
    assert!(nothing.is_empty(), "{} to {} and back: {nothing:?}", made.from, made.to);
    Ok(())
}

fn last(name: &str) -> &str {
    name.rsplit('.').next().unwrap_or(name)
}

/// The files with what a rename writes.
fn written(files: &Files, made: &Rename) -> Files {
    let mut all = files.clone();
    for file in &made.files {
        let path = file.path_before.as_ref().unwrap_or(&file.path);
        assert_eq!(Some(file.before.as_bytes()), all.remove(path).as_deref());
        all.insert(file.path.clone(), file.after.clone().into_bytes());
    }
    all
}

/// All values with their limits, whatever they are called.
fn values(of: &Evaluation) -> Vec<String> {
    let dimensions = of.dimensions().into_iter();
    let told =
        dimensions.map(|of| format!("{:?} {:?} {:?} {:?}", of.value, of.min, of.max, of.note));
    let mut all: Vec<String> = told.collect();
    all.sort();
    all
}
