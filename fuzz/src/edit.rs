//! Any edit of any design.

use std::collections::BTreeSet;

use setout::{Comparison, Design, EditFault, Evaluation, Field, FieldEdit, What};

use super::edits::{Wanted, edits, name_of};
use super::flat::{field_apart, flat, without_rows};
use super::looked_at::well_said;
use super::rename::rename;
use super::texts::{Files, files, source};

/// An edit is made, and then the text says what was asked and nothing else differs, or it is
/// refused with a reason.
pub fn edit(bytes: &[u8]) {
    is_edited(bytes);
}

/// Whether there is an edit in the input that could be made.
pub fn is_edited(bytes: &[u8]) -> bool {
    let (wanted, rest) = edits(bytes);
    let Some(first) = wanted.first() else { return false };
    let files = files(rest);
    let before = Design::read(&source(&files)).evaluate();
    let done = match (&*first.what, &first.new) {
        ("set" | "formula", Some(new)) => set(&before, &files, first, new),
        ("values", _) => values(&before, &files, &wanted),
        ("rename", Some(new)) => rename(&before, &files, &first.name, new),
        _ => fields(&before, &files, &wanted),
    };
    match done {
        Ok(()) => true,
        Err(refusal) => {
            is_told(&refusal);
            false
        }
    }
}

fn is_told(refusal: &EditFault) {
    assert!(!refusal.to_string().trim().is_empty());
    if let EditFault::Faults(faults) | EditFault::Brings { faults, .. } = refusal {
        assert!(!faults.is_empty());
        faults.iter().for_each(|fault| well_said(&fault.message, &fault.help));
    }
}

/// The names of all that has a value.
fn names(of: &Evaluation) -> Vec<String> {
    let cells = of.schedules().into_iter().flat_map(|schedule| schedule.rows);
    let cells = cells.flat_map(|(_, cells)| cells);
    of.dimensions().into_iter().chain(cells).map(|of| of.name).collect()
}

/// The files with some of them as they are after an edit.
fn with<'t>(files: &Files, edited: impl IntoIterator<Item = (&'t str, &'t str)>) -> Evaluation {
    let mut files = files.clone();
    for (path, text) in edited {
        files.insert(path.to_owned(), text.as_bytes().to_vec());
    }
    Design::read(&source(&files)).evaluate()
}

fn set(before: &Evaluation, files: &Files, edit: &Wanted, new: &str) -> Result<(), EditFault> {
    let name = before.design().full_name(&edit.name);
    let name = name.unwrap_or_else(|_| name_of(&names(before), &edit.name));
    let over_formula = edit.what == "formula";
    let made = before.design().text_edit(&source(files), &name, new, over_formula)?;
    assert_eq!(made.before.as_bytes(), files[&made.path]);
    keeps_comments(&made.before, &made.after);
    let after = with(files, [(&*made.path, &*made.after)]);
    is_what_was_asked(before, &after, &[(&name, new)]);
    assert_eq!(after.fingerprint(), made.design.evaluate().fingerprint());
    Ok(())
}

/// The texts say what the same edits in memory would.
fn is_what_was_asked(before: &Evaluation, after: &Evaluation, edits: &[(&str, &str)]) {
    let meant = before.design().with(edits).expect("what was written was good").evaluate();
    let odd = Comparison::of(&meant, after);
    assert!(odd.is_empty(), "asked for {edits:?}, got {odd:?}");
    assert_eq!(meant.fingerprint(), after.fingerprint());
    let found = Comparison::of(before, after);
    let asked = |name: &str| edits.iter().any(|(edited, _)| *edited == name);
    let odd = found.edits.iter().find(|edit| !asked(&edit.name) || edit.what != What::Value);
    assert!(odd.is_none(), "asked for {edits:?}, got {odd:?}");
}

fn values(before: &Evaluation, files: &Files, wanted: &[Wanted]) -> Result<(), EditFault> {
    let names = names(before);
    let mut edits: Vec<(String, &str)> = Vec::new();
    for edit in wanted {
        let name = name_of(&names, &edit.name);
        if edits.iter().all(|(other, _)| *other != name) {
            edits.push((name, edit.new.as_deref().unwrap_or_default()));
        }
    }
    let edits: Vec<(&str, &str)> = edits.iter().map(|(name, new)| (&**name, *new)).collect();
    let made = before.design().values_edit(&source(files), &edits)?;
    let texts = made.files.iter().map(|(path, [_, after])| (&**path, &**after));
    is_what_was_asked(before, &with(files, texts), &edits);
    assert_eq!(made.lines.len(), edits.len());
    Ok(())
}

fn fields(before: &Evaluation, files: &Files, wanted: &[Wanted]) -> Result<(), EditFault> {
    let mut all = names(before);
    all.extend(before.checks().iter().map(|check| check.name.clone()));
    all.extend(before.parts().into_iter().map(|part| part.name));
    let mut asked: Vec<(String, Field, Option<&str>)> = Vec::new();
    for edit in wanted {
        let Some(field) = Field::of_key(&edit.what) else { continue };
        let name = name_of(&all, &edit.name);
        if asked.iter().all(|(other, of, _)| (other, *of) != (&name, field)) {
            asked.push((name, field, edit.new.as_deref()));
        }
    }
    let edits = asked.iter().map(|(name, field, new)| FieldEdit { name, field: *field, new: *new });
    let edits: Vec<FieldEdit<'_>> = edits.collect();
    if edits.is_empty() {
        let (name, message, help) = (String::new(), "no field".into(), "name one".into());
        return Err(EditFault::NotFound { name, message, help });
    }
    let made = before.design().fields_edit(&source(files), &edits, true)?;
    let texts = made.files.iter().map(|(path, [_, after])| (&**path, &**after));
    let after = with(files, texts);
    assert_eq!(after.fingerprint(), made.design.evaluate().fingerprint());
    for (path, [text, edited]) in &made.files {
        assert_eq!(text.as_bytes(), files[path]);
        says_what_was_asked(path, text, edited, &edits);
        if edits.iter().all(|edit| edit.new.is_some()) {
            keeps_comments(text, edited);
        }
    }
    Ok(())
}

/// Of a table that was edited: each field has what it is to hold, or is gone, and all others hold
/// what they held.
fn says_what_was_asked(path: &str, before: &str, after: &str, edits: &[FieldEdit<'_>]) {
    let table = path.rsplit('/').next().and_then(|file| file.strip_suffix(".yaml"));
    let (mut was, mut is) = (flat(before), flat(after));
    for edit in edits {
        let parts: Vec<&str> = edit.name.split('.').collect();
        if Some(parts[0]) != table {
            continue;
        }
        if let [_, schedule, _, _] = parts[..] {
            (was, is) = (without_rows(was, schedule), without_rows(is, schedule));
            continue;
        }
        let held;
        (_, was) = field_apart(was, parts[1], edit.field.key());
        (held, is) = field_apart(is, parts[1], edit.field.key());
        assert_eq!(held.is_empty(), edit.new.is_none(), "{edit:?} in {after}");
        if let Some(new) = edit.new.filter(|_| !edit.field.is_list()) {
            assert!(held.values().eq([new.trim()]), "{edit:?} came to {held:?}");
        }
    }
    assert_eq!(was, is);
}

/// Every comment that stands in a line of its own is there still. A line of a block scalar may begin
/// as one does, and is none.
pub(super) fn keeps_comments(before: &str, after: &str) {
    let texts = flat(before);
    let in_a_text: BTreeSet<&str> =
        texts.values().flat_map(|text| text.split(['\n', '\r'])).map(str::trim).collect();
    let comments = |text: &str| {
        let lines = text.split(['\n', '\r']).map(str::trim).filter(|line| line.starts_with('#'));
        lines.map(str::to_owned).collect::<Vec<_>>()
    };
    let left = comments(after);
    for comment in comments(before).iter().filter(|line| !in_a_text.contains(line.as_str())) {
        assert!(left.contains(comment), "{comment:?} is gone:\n{before}\n{after}");
    }
}
