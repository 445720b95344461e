//! What stands in the way of a release before anything is drawn up.

use std::collections::BTreeSet;

use setout::{
    Design, Evaluation, Slug, Source, Standing, export_faults, export_text, format_named,
    record_letter, releases_folder, standing,
};

use super::Head;
use crate::trouble::Trouble;

/// What stands in the way of a design without faults: changes that are not committed, exports that
/// are out of date.
pub(super) fn troubles(head: &Head) -> Vec<Trouble> {
    let mut troubles: Vec<Trouble> = elsewhere(head).into_iter().collect();
    match uncommitted(head) {
        Ok(files) => troubles.extend(files),
        Err(trouble) => troubles.push(trouble),
    }
    if troubles.is_empty() {
        troubles.extend(stale(head));
    }
    troubles
}

/// A design that was found in another folder of the revision is not the one that stands here.
fn elsewhere(head: &Head) -> Option<Trouble> {
    let (here, there) = (head.folder.folder(), head.revision.folder());
    (here != there).then(|| {
        let message = format!("the design is not committed where it stands: {there} has one");
        Trouble::of_call(Slug::Io.as_str(), message, "commit it first: git add, then git commit")
    })
}

/// The faults of the revision. With one there are no letters to be shown either.
pub(super) fn faults(head: &Head) -> Vec<Trouble> {
    let mut faults = export_faults(&head.evaluation);
    faults.extend(head.evaluation.faults().iter().cloned());
    faults.sort();
    faults.dedup();
    Trouble::of_design(&faults, &head.revision)
}

/// Files that differ from the revision, or that the revision has not.
fn uncommitted(head: &Head) -> Result<Vec<Trouble>, Trouble> {
    let told = |path: &str, what: &str| {
        Trouble::of_call(Slug::Io.as_str(), format!("{path} {what}"), COMMIT)
    };
    let changed = head.revisions.changed()?;
    let new = new_files(head)?;
    let changed = changed.iter().map(|path| told(path, "has changes that are not committed"));
    let new = new.iter().map(|path| match record_letter(path) {
        Some(_) if path.starts_with(&releases_folder(head.folder.folder())) => Trouble {
            help: format!("commit it: git add {path}, then git commit"),
            ..told(path, "is the record of a release, and is not committed")
        },
        _ => told(path, "is not committed"),
    });
    Ok(changed.chain(new).collect())
}

const COMMIT: &str = "git status shows it; commit it, or put it away: git stash -u";

/// Files that the design here is read from, or that look like records, and that the revision has
/// not. Whether git ignores them is of no account.
fn new_files(head: &Head) -> Result<BTreeSet<String>, Trouble> {
    let is_table = |path: &String| {
        let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending);
        ["yaml", "yml"].iter().any(|of| ending.eq_ignore_ascii_case(of))
    };
    let releases = releases_folder(head.folder.folder());
    let mut here: BTreeSet<String> = head.folder.list()?.into_iter().filter(is_table).collect();
    let records = head.folder.files_in(&releases)?;
    here.extend(records.into_iter().filter(|path| record_letter(path).is_some()));
    here.extend(models(&Design::read(&head.folder).evaluate()));
    let mut there: BTreeSet<String> = head.revision.list()?.into_iter().collect();
    there.extend(head.revision.files_in(&releases)?);
    there.extend(models(&head.evaluation));
    let is_new = |path: &&String| !there.contains(*path) && head.revision.read(path).is_err();
    Ok(here.iter().filter(is_new).cloned().collect())
}

fn models(evaluation: &Evaluation) -> impl Iterator<Item = String> {
    evaluation.models().into_iter().map(str::to_owned)
}

/// Exports that are there, and do not hold the values of the revision.
fn stale(head: &Head) -> Vec<Trouble> {
    let stale = head.evaluation.exports().iter().filter_map(|export| {
        let (format, path) = (format_named(&export.format)?, export.path.as_deref()?);
        let text = export_text(&head.evaluation, format).ok()?;
        let committed = head.revision.read(path).ok();
        // One that is not committed stands only here.
        let found = committed.or_else(|| head.folder.read_existing(path).ok().flatten())?;
        let why = match standing(format, Some(&found), &text) {
            standing if standing.has_current_values() => return None,
            Standing::OutOfDate => "is out of date",
            Standing::EditedByHand => "was edited by hand",
            _ => "was not written by setout",
        };
        let help = "setout export, then commit it";
        Some(Trouble::of_call(Slug::Io.as_str(), format!("{path} {why}"), help))
    });
    stale.collect()
}
