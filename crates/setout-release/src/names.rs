//! Where records and bundles stand, and what the files in a bundle are called.

use crate::Letter;
use crate::letter::LONGEST;

/// The record in a bundle.
pub(crate) const RECORD: &str = "record.yaml";
/// The list of parts.
pub(crate) const PARTS: &str = "parts.csv";
/// What changed.
pub(crate) const CHANGES: &str = "changes.txt";
/// What stands before the path of a file of the design. None of the other names begins with it.
pub(crate) const DESIGN: &str = "design/";

/// The folder of the records of a design: beside `params`, or in the design's own folder if that
/// has another name, so that two designs of a repository do not share one.
///
/// ```
/// use setout_release::releases_folder;
/// assert_eq!(releases_folder("params"), "releases");
/// assert_eq!(releases_folder("heads/fox/params"), "heads/fox/releases");
/// assert_eq!(releases_folder("fox"), "fox/releases");
/// assert_eq!(releases_folder(""), "releases");
/// ```
pub fn releases_folder(design: &str) -> String {
    let beside = match design.rsplit_once('/') {
        Some((above, "params")) => above,
        None if design == "params" => "",
        _ => design,
    };
    if beside.is_empty() { "releases".to_owned() } else { format!("{beside}/releases") }
}

/// The root-relative path of the record of a release.
pub fn record_path(design: &str, letter: Letter) -> String {
    format!("{}/{letter}.yaml", releases_folder(design))
}

/// The root-relative path at which the bundle of a release stands if nobody says otherwise.
pub fn bundle_path(design: &str, letter: Letter) -> String {
    format!("{}/{letter}.zip", releases_folder(design))
}

/// The letter of the record that a file of the folder of records holds: none for another file,
/// an error for one whose name is nearly that of a record, and which may hide one.
///
/// ```
/// use setout_release::record_letter;
/// assert_eq!(record_letter("releases/B.yaml").unwrap().unwrap().to_string(), "B");
/// assert_eq!(record_letter("releases/AB.yaml").unwrap().unwrap().to_string(), "AB");
/// assert!(record_letter("releases/b.yaml").unwrap().is_err());
/// assert!(record_letter("releases/notes.yaml").is_none());
/// assert!(record_letter("releases/B.zip").is_none());
/// ```
pub fn record_letter(path: &str) -> Option<Result<Letter, crate::NoLetter>> {
    let file = path.rsplit('/').next().unwrap_or(path);
    let stem = file.strip_suffix(".yaml")?;
    let is_near = stem.len() <= LONGEST && stem.bytes().all(|b| b.is_ascii_alphabetic());
    is_near.then(|| stem.parse())
}
