//! What was released before: the records of the revision, and the design of the last of them.

use std::path::Path;

use setout::{
    Design, Evaluation, Record, RecordFault, RevisionError, Slug, Source, record_letter,
    released_design, releases_folder,
};

use super::Head;
use super::proof::{read, unreadable as unreadable_bundle};
use crate::call::Call;
use crate::trouble::Trouble;

/// All records of the revision, the oldest first. One that cannot be read stops the release: its
/// letters may not be given a second time.
pub(super) fn records(head: &Head) -> Result<Vec<Record>, Trouble> {
    let files = head.revision.files_in(&releases_folder(head.revision.folder()))?;
    let mut records = Vec::new();
    for path in files {
        let Some(letter) = record_letter(&path) else { continue };
        let letter = letter.map_err(|error| {
            let help = "records are named as they were written; give another file another name";
            Trouble::of_call(Slug::BadName.as_str(), format!("{path}: {error}"), help)
        })?;
        let record = Record::read(&head.revision.read(&path)?);
        let record = record.map_err(|fault| unreadable(&path, &fault))?;
        if record.release != letter {
            let message = format!("{path} is the record of release {}", record.release);
            let help = "git log tells who renamed it; give it its name back";
            return Err(Trouble::of_call(Slug::BadName.as_str(), message, help));
        }
        records.push(record);
    }
    records.sort_by_key(|record| record.release);
    Ok(records)
}

fn unreadable(path: &str, fault: &RecordFault) -> Trouble {
    let message = format!("{path} cannot be read: {fault}");
    Trouble::of_call(Slug::BadValue.as_str(), message, fault.help())
}

/// The design as it was in the last release: at its commit, or where the call says.
pub(super) fn design(
    call: &Call<'_, '_>,
    head: &Head,
    last: &Record,
    since: Option<&str>,
) -> Result<Evaluation, Trouble> {
    let revision = match since {
        Some(since) if since.ends_with(".zip") => {
            let typed = Path::new(since);
            let bytes = read(&call.here.join(typed), typed)?;
            return released_design(&bytes).map_err(|fault| unreadable_bundle(typed, &fault));
        }
        Some(since) => head.revisions.at(since)?,
        None => head.revisions.at(&last.commit).map_err(|error| gone(last, error))?,
    };
    Ok(Design::read(&revision).evaluate())
}

/// The commit of a release that is not in the repository: squashed into another one, never pushed,
/// or beyond the depth of a shallow clone.
fn gone(last: &Record, error: RevisionError) -> Trouble {
    let (letter, short) = (last.release, last.commit.get(..10).unwrap_or_default());
    let found = "or name a revision with the same design, or the bundle: --since";
    let help = match &error {
        RevisionError::Shallow { fetch, .. } => format!("{fetch} brings it; {found}"),
        RevisionError::UnknownRevision { .. } => format!("fetch it from where it is, {found}"),
        _ => return error.into(),
    };
    let message = format!("release {letter} was made of {short}, which is not in this repository");
    Trouble::not_found(message, help)
}
