//! The design in a bundle.

use setout_design::{Source, SourceError};

use crate::archive::Files;
use crate::names::DESIGN;

/// The files of a bundle as the texts of a design.
pub(crate) struct Unpacked<'a> {
    pub(crate) files: &'a Files,
    /// The folder of `design.yaml`, as the record tells it. It is not looked for: a model that is
    /// called `design.yaml` must not be taken for one.
    pub(crate) folder: &'a str,
}

impl Source for Unpacked<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        let paths = self.files.keys().filter_map(|name| name.strip_prefix(DESIGN));
        let folder = |path: &str| path.rsplit_once('/').map_or("", |(folder, _)| folder).to_owned();
        Ok(paths.filter(|path| folder(path) == self.folder).map(str::to_owned).collect())
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        let bytes = self.files.get(&format!("{DESIGN}{path}"));
        bytes.cloned().ok_or_else(|| SourceError::NotFound { path: path.to_owned() })
    }
}
