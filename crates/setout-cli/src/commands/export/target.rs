//! Which files are meant, and whether they may be written.

use std::path::{Component, Path, PathBuf};

use setout::{Folder, Format, Slug, check_target, format_named, formats, nearest};

use crate::call::Opened;
use crate::trouble::Trouble;

/// A file to be exported to.
pub(super) struct Target {
    pub(super) format: &'static dyn Format,
    /// From the root.
    pub(super) path: String,
}

/// The format of a name that was typed.
pub(super) fn format(name: &str) -> Result<&'static dyn Format, Trouble> {
    format_named(name).ok_or_else(|| {
        let names: Vec<&str> = formats().iter().map(|format| format.name()).collect();
        let help = match nearest(name, names.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("the formats are {}", names.join(", ")),
        };
        Trouble::bad_call(format!("there is no export format `{name}`"), help)
    })
}

/// All files that the design lists. Those with a fault are left out; their faults are known.
pub(super) fn listed(opened: &Opened) -> Vec<Target> {
    let listed = opened.evaluation.exports().iter();
    let target = |export: &setout::Export| {
        let format = format_named(&export.format)?;
        Some(Target { format, path: export.path.clone()? })
    };
    listed.filter_map(target).collect()
}

/// Those files of the list that were typed: as the list has them, or as seen from `here`.
pub(super) fn named(
    opened: &Opened,
    here: &Path,
    files: &[PathBuf],
) -> Result<Vec<Target>, Trouble> {
    let exports = opened.evaluation.exports();
    let mut kept = vec![false; exports.len()];
    for file in files {
        let from_root = inside(&opened.folder, here, file).ok();
        let is_meant = |export: &setout::Export| {
            Path::new(&export.file) == file || export.path.is_some() && export.path == from_root
        };
        let Some(index) = exports.iter().position(is_meant) else {
            return Err(not_listed(file, exports.iter().filter_map(|of| of.path.as_deref())));
        };
        kept[index] = true;
    }
    let targets = exports.iter().zip(kept).filter(|(_, kept)| *kept);
    let target = |(export, _): (&setout::Export, bool)| {
        let format = format_named(&export.format)?;
        Some(Target { format, path: export.path.clone()? })
    };
    Ok(targets.filter_map(target).collect())
}

fn not_listed<'a>(file: &Path, paths: impl Iterator<Item = &'a str>) -> Trouble {
    let message = format!("design.yaml lists no export to {}", file.display());
    let paths: Vec<&str> = paths.collect();
    let help = match nearest(&file.to_string_lossy(), paths.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if paths.is_empty() => "name a format with --to and the file with --file".to_owned(),
        None => format!("it lists {}", paths.join(", ")),
    };
    Trouble::not_found(message, help)
}

/// One file, listed or not.
pub(super) fn one(
    opened: &Opened,
    here: &Path,
    name: &str,
    file: &Path,
) -> Result<Vec<Target>, Trouble> {
    let format = format(name)?;
    let path = inside(&opened.folder, here, file)?;
    if opened.evaluation.files().contains(&&*path) {
        let message = format!("`{path}` is a table of this design");
        return Err(unsafe_path(message, "export to another file"));
    }
    check_target(format, &path).map_err(|fault| {
        let help = format!("write for example `dimensions.{}`", format.extensions()[0]);
        unsafe_path(fault.to_string(), &help)
    })?;
    Ok(vec![Target { format, path }])
}

fn unsafe_path(message: String, help: &str) -> Trouble {
    Trouble::of_call(Slug::UnsafePath.as_str(), message, help)
}

/// A path that was typed in `here`, as seen from the root of the design.
pub(in crate::commands) fn inside(
    folder: &Folder,
    here: &Path,
    file: &Path,
) -> Result<String, Trouble> {
    let root = folder.root();
    let here = here.canonicalize().unwrap_or_else(|_| here.to_owned());
    let full = real(&here.join(file));
    let below = full.strip_prefix(root).map_err(|_| {
        let message = format!("{} lies outside of the design's root", file.display());
        unsafe_path(message, &format!("name a file below {}", root.display()))
    })?;
    let parts: Option<Vec<&str>> = below.iter().map(|part| part.to_str()).collect();
    let parts = parts.ok_or_else(|| {
        let message = format!("the path {} is not UTF-8", file.display());
        unsafe_path(message, "give the file another name")
    })?;
    Ok(parts.join("/"))
}

/// The path as the system knows it, or as near to that as can be said of folders that are not
/// there yet. The file itself is not followed if it is a link; the store refuses it then.
fn real(path: &Path) -> PathBuf {
    let known = path.parent().and_then(|folder| folder.canonicalize().ok());
    known.zip(path.file_name()).map_or_else(|| without_dots(path), |(at, name)| at.join(name))
}

/// The path with `.` and `..` worked out on the text.
fn without_dots(path: &Path) -> PathBuf {
    let mut clean = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                clean.pop();
            }
            part => clean.push(part),
        }
    }
    clean
}
