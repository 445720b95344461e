//! Which names the models of parts use.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use sha2::{Digest, Sha256};

use crate::cad::{Scan, scan};
use crate::document::{Common, Table};
use crate::limits::MOST_INCLUDES;
use crate::paths::{folder_of, from_folder};
use crate::{Fault, Slug, Source, SourceError};

/// A part's model, together with what it includes.
#[derive(Clone, Debug, Default)]
pub(crate) struct CadFile {
    pub(crate) identifiers: BTreeSet<String>,
    /// Of the text of all files, line ends made LF, in hexadecimal.
    pub(crate) digest: String,
    /// The root-relative paths of all files that the digest is of.
    pub(crate) paths: Vec<String>,
}

/// Reads the models of all parts, each once. A model that cannot be read is a fault.
pub(crate) fn read_cad_files(
    source: &dyn Source,
    common: &Common,
    tables: &[Arc<Table>],
    faults: &mut Vec<Fault>,
) -> BTreeMap<String, CadFile> {
    // What we write ourselves holds every name; including it is no use of any.
    let own: BTreeSet<&str> = common.exports.iter().filter_map(|e| e.path.as_deref()).collect();
    let mut files = BTreeMap::new();
    for part in tables.iter().flat_map(|table| &table.parts) {
        let Some(cad) = &part.cad else { continue };
        let Some(path) = &cad.path else { continue };
        if files.contains_key(path) {
            continue;
        }
        match read_model(source, path, &own) {
            Ok(file) => {
                files.insert(path.clone(), file);
            }
            Err(error) => {
                let (slug, help) = match &error {
                    SourceError::NotFound { .. } => {
                        (Slug::NotFound, "correct the path: it is relative to design.yaml")
                    }
                    SourceError::Unsafe { .. } => {
                        (Slug::UnsafePath, "keep the model inside the design's root")
                    }
                    SourceError::TooLarge { .. } => (Slug::TooLarge, "name the scripted model"),
                    _ => (Slug::Io, "see that the file can be read"),
                };
                let message = error.to_string();
                let help = help.to_owned();
                faults.push(Fault { place: cad.place.clone(), slug, message, help });
            }
        }
    }
    files
}

fn read_model(
    source: &dyn Source,
    path: &str,
    own: &BTreeSet<&str>,
) -> Result<CadFile, SourceError> {
    let mut file = CadFile::default();
    let mut hash = Sha256::new();
    walk(source, path, own, &mut |path, text, found| {
        file.paths.push(path.to_owned());
        hash.update((text.len() as u64).to_le_bytes());
        hash.update(text.as_bytes());
        file.identifiers.extend(found.identifiers.iter().cloned());
    })?;
    file.digest = hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
    Ok(file)
}

/// Shows a model's text, line ends made LF, and then those that it includes, each with its path.
/// What the design itself exports is not among them.
pub(crate) fn each_model_text(
    source: &dyn Source,
    path: &str,
    common: &Common,
    look: &mut dyn FnMut(&str, &str),
) -> Result<(), SourceError> {
    let own: BTreeSet<&str> = common.exports.iter().filter_map(|e| e.path.as_deref()).collect();
    walk(source, path, &own, &mut |path, text, _| look(path, text))
}

fn walk(
    source: &dyn Source,
    path: &str,
    own: &BTreeSet<&str>,
    look: &mut dyn FnMut(&str, &str, &Scan),
) -> Result<(), SourceError> {
    let mut seen = BTreeSet::from([path.to_owned()]);
    let mut waiting = vec![path.to_owned()];
    let mut first = true;
    while let Some(path) = waiting.pop() {
        let bytes = match source.read(&path) {
            Ok(bytes) => bytes,
            Err(error) if first => return Err(error),
            // Libraries of the CAD program lie elsewhere; they know nothing of the design.
            Err(_) => continue,
        };
        first = false;
        let text = String::from_utf8_lossy(&bytes).replace("\r\n", "\n");
        let found = if path.ends_with(".scad") { scan(&text) } else { Scan::default() };
        look(&path, &text, &found);
        for include in found.includes.iter().rev() {
            let Ok(next) = from_folder(folder_of(&path), &include.path) else { continue };
            if !own.contains(next.as_str())
                && seen.len() < MOST_INCLUDES
                && seen.insert(next.clone())
            {
                waiting.push(next);
            }
        }
    }
    Ok(())
}
