//! Any two designs, set side by side.

use std::collections::{BTreeSet, HashMap};

use setout::{Comparison, Design, DimensionResult, Evaluation};

use super::edits::{edits, name_of};
use super::texts::{Files, files, sides, source};

/// Any two designs can be compared: nothing differs between equal ones, whatever differs is told
/// of, and every consequence names edits that were made. The second side is a design of its own,
/// or edits of the first.
pub fn compare(bytes: &[u8]) {
    let Some((before, after)) = sides(bytes) else { return };
    let old = files(before);
    let before = evaluated(&old);
    let (wanted, rest) = edits(after);
    let after = if wanted.is_empty() {
        let mut new = files(rest);
        if !rest.windows(11).any(|window| window == b"design.yaml") {
            new.retain(|path, _| !path.ends_with("design.yaml"));
            let common = old.iter().filter(|(path, _)| path.ends_with("design.yaml"));
            new.extend(common.map(|(path, text)| (path.clone(), text.clone())));
        }
        evaluated(&new)
    } else {
        let names: Vec<String> = before.dimensions().into_iter().map(|of| of.name).collect();
        let wanted: Vec<(String, String)> = wanted
            .into_iter()
            .map(|edit| (name_of(&names, &edit.name), edit.new.unwrap_or_default()))
            .collect();
        let wanted: Vec<(&str, &str)> =
            wanted.iter().map(|(name, new)| (&**name, &**new)).collect();
        match before.design().tried(&wanted) {
            Ok(trial) => trial.design.evaluate(),
            Err(_) => return,
        }
    };
    are_compared(&before, &after);
    are_compared(&after, &before);
}

fn evaluated(files: &Files) -> Evaluation {
    Design::read(&source(files)).evaluate()
}

fn are_compared(before: &Evaluation, after: &Evaluation) {
    let found = Comparison::of(before, after);
    assert_eq!(format!("{found:?}"), format!("{:?}", Comparison::of(before, after)));
    let clean = before.faults().is_empty() && after.faults().is_empty();
    names_its_edits(&found, clean);
    if clean {
        assert_eq!(found.is_empty(), Comparison::of(after, before).is_empty(), "{found:?}");
        if found.is_empty() {
            assert_eq!(before.fingerprint(), after.fingerprint());
        }
        tells_all(before, after, &found);
    }
    found.makes_something_fail();
}

/// What a fault takes from a side follows from no edit of what can be read.
fn names_its_edits(found: &Comparison, clean: bool) {
    let edited: BTreeSet<&str> = found.edits.iter().map(|edit| &*edit.name).collect();
    let known = |names: &[String]| names.iter().all(|name| edited.contains(&**name));
    for changed in &found.changed {
        let blamed = !changed.because.is_empty() || !clean;
        assert!(blamed && known(&changed.because), "{changed:?} of {:?}", found.edits);
    }
    assert!(found.checks.iter().all(|check| known(&check.because)), "{found:?}");
    for part in &found.parts {
        // A model that is another one makes a part anew, and is no edit of a table.
        let blamed = !part.because.is_empty() || part.remake || !clean;
        assert!(blamed && known(&part.because), "{part:?} of {:?}", found.edits);
    }
}

/// A value of the same name on both sides that differs is an edit or a consequence.
fn tells_all(before: &Evaluation, after: &Evaluation, found: &Comparison) {
    let was: HashMap<String, DimensionResult> =
        before.dimensions().into_iter().map(|of| (of.name.clone(), of)).collect();
    let told = |name: &str| {
        found.edits.iter().any(|edit| edit.name == name)
            || found.changed.iter().any(|changed| changed.name == name)
    };
    for is in after.dimensions() {
        let Some(was) = was.get(&is.name) else { continue };
        let differs = match (was.base, is.base) {
            (Some(a), Some(b)) => (a - b).abs() > 1e-11 * a.abs().max(b.abs()),
            _ => was.value != is.value,
        };
        assert!(!differs || told(&is.name), "{was:?} became {is:?}: {found:?}");
    }
}
