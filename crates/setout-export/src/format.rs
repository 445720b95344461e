//! The one trait behind which every format stands, and the list of them.

use crate::csv::Csv;
use crate::fault::ExportFault;
use crate::fingerprint::Entry;
use crate::openscad::OpenScad;
use crate::sheet::Sheet;

/// A kind of file that a [`Sheet`] can be written as.
pub trait Format: Send + Sync {
    /// The name it is asked for by, such as `openscad`.
    fn name(&self) -> &'static str;

    /// The endings its files may have, without the dot, the customary one first.
    fn extensions(&self) -> &'static [&'static str];

    /// The name that a dotted name gets in the file, or none if it cannot have one.
    fn exported_name(&self, dotted: &str) -> Option<String>;

    /// The whole text of the file: a function of the sheet and of nothing else.
    ///
    /// # Errors
    /// Everything that stands in the way, in the order of the items.
    fn write(&self, sheet: &Sheet) -> Result<String, Vec<ExportFault>>;

    /// The fingerprint that an existing file states, if it states one in our way.
    fn fingerprint_of(&self, text: &str) -> Option<String>;

    /// The values that stand in an existing file, or none if it holds anything that
    /// [`write`](Self::write) would not have put there. For a text that was written by us,
    /// their [`fingerprint`](crate::fingerprint) is the one that it states.
    fn entries_of(&self, text: &str) -> Option<Vec<Entry>>;
}

/// All formats, in the order in which they are listed to people.
pub fn formats() -> &'static [&'static dyn Format] {
    &[&OpenScad, &Csv]
}

/// The format of this name.
pub fn format_named(name: &str) -> Option<&'static dyn Format> {
    formats().iter().copied().find(|format| format.name() == name)
}
