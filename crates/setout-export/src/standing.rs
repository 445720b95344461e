//! How a file on disk stands to what would be written in its place.

use crate::fingerprint::fingerprint;
use crate::format::Format;

/// How a file on disk stands to what would be written in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Standing {
    /// There is no such file.
    Missing,
    /// It is what would be written.
    Current,
    /// Its names, values and units are what would be written; notes, limits, tolerances, order
    /// or layout are not.
    SameValues,
    /// It is as it was written, and the design has changed since.
    OutOfDate,
    /// It is ours, but its values are no longer those of the fingerprint that it states, or
    /// something stands in it that is never written: a hand has changed it. Overwriting it
    /// loses that change.
    EditedByHand,
    /// It bears no fingerprint line: it was not written by this format, and is only overwritten
    /// when that is asked for expressly.
    NotOurs,
}

impl Standing {
    /// Whether the file holds the values of the design.
    pub fn has_current_values(self) -> bool {
        matches!(self, Self::Current | Self::SameValues)
    }
}

/// How `existing`, the bytes of the file if there is one, stand to `new`, the text that
/// [`Format::write`] gave.
///
/// Line ends are of no account: version control changes them on checking out.
pub fn standing(format: &dyn Format, existing: Option<&[u8]>, new: &str) -> Standing {
    let Some(existing) = existing else {
        return Standing::Missing;
    };
    let existing = String::from_utf8_lossy(existing);
    if is_same_text(&existing, new) {
        return Standing::Current;
    }
    let Some(stated) = format.fingerprint_of(&existing) else {
        return Standing::NotOurs;
    };
    let found = format.entries_of(&existing).map(|found| fingerprint(format.name(), &found));
    if found.as_ref() != Some(&stated) {
        Standing::EditedByHand
    } else if format.fingerprint_of(new) == Some(stated) {
        Standing::SameValues
    } else {
        Standing::OutOfDate
    }
}

fn is_same_text(a: &str, b: &str) -> bool {
    a == b || a.replace("\r\n", "\n") == b.replace("\r\n", "\n")
}
