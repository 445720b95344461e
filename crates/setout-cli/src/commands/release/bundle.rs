//! The two files of a release: where they go, and their writing.

use std::path::Path;

use setout::{Release, Replacement, Slug, bundle_path, record_path};

use super::Head;
use crate::call::Call;
use crate::commands::export::inside;
use crate::trouble::Trouble;

/// The record and the bundle of a release.
pub(super) struct Files {
    /// The root-relative path of the bundle.
    pub(super) bundle: String,
    pub(super) bytes: Vec<u8>,
    /// The root-relative path of the record.
    pub(super) record: String,
    text: Vec<u8>,
    /// What stands at the path of the bundle.
    before: Option<Vec<u8>>,
    pub(super) written: bool,
}

impl Files {
    pub(super) fn of(
        head: &Head,
        release: &Release,
        named: Option<&Path>,
        call: &Call<'_, '_>,
    ) -> Result<Self, Trouble> {
        let (folder, letter) = (head.folder.folder(), release.record.release);
        let bundle = match named {
            Some(file) => place(head, file, call)?,
            None => bundle_path(folder, letter),
        };
        let bytes = release.bundle().map_err(|fault| {
            let slug = Slug::TooLarge.as_str();
            Trouble::of_call(slug, fault.to_string(), fault.help())
        })?;
        let before = head.folder.read_existing(&bundle)?;
        if before.as_ref().is_some_and(|before| *before != bytes) {
            let message = format!("{bundle} is there already, and is not this bundle");
            let help = "put it away first, or name another file with --bundle";
            return Err(Trouble::of_call(Slug::Io.as_str(), message, help));
        }
        let text = release.record_text().to_vec();
        Ok(Self {
            bundle,
            bytes,
            record: record_path(folder, letter),
            text,
            before,
            written: false,
        })
    }

    /// Writes the bundle and then the record: a record without a bundle would claim a release that
    /// nobody can have. The same call again makes the same two files.
    pub(super) fn write(&mut self, head: &Head) -> Result<(), Trouble> {
        let before = self.before.as_deref();
        head.folder.write_all_if_unchanged(&[
            Replacement { path: &self.bundle, from: None, before, after: &self.bytes },
            Replacement { path: &self.record, from: None, before: None, after: &self.text },
        ])?;
        self.written = true;
        Ok(())
    }
}

fn place(head: &Head, file: &Path, call: &Call<'_, '_>) -> Result<String, Trouble> {
    let path = inside(&head.folder, &call.here, file)?;
    let is_archive = Path::new(&path).extension().is_some_and(|of| of.eq_ignore_ascii_case("zip"));
    if is_archive {
        return Ok(path);
    }
    let message = format!("{path} does not end with .zip");
    Err(Trouble::bad_call(message, "name the bundle as in --bundle fox-B.zip"))
}
