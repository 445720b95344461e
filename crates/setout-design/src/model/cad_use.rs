//! Which names the models of parts use.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use sha2::{Digest, Sha256};

use crate::cad::{Scan, scan};
use crate::document::{Common, Table};
use crate::limits::{LARGEST_MODELS, MOST_INCLUDES};
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

/// The models of parts that were read, so that a text that several of them include is read once,
/// and what another state of the design holds too is not looked through again.
#[derive(Default)]
pub(crate) struct Models {
    /// Scripted texts by path, as they were read last: what is not scripted is large, and nothing
    /// includes it.
    texts: HashMap<String, Arc<ModelText>>,
    /// Those of them that were read from the state that is being read now.
    current: HashMap<String, Arc<ModelText>>,
    /// How many bytes were read from it.
    bytes: u64,
    /// What came of the models, with the texts that it came of.
    files: HashMap<String, (Vec<Arc<ModelText>>, Arc<CadFile>)>,
}

struct ModelText {
    /// Line ends made LF, and what is no UTF-8 replaced.
    text: String,
    /// What the file holds, where the text differs from it and is compared again.
    bytes: Option<Vec<u8>>,
    found: Scan,
}

impl ModelText {
    fn new(path: &str, bytes: Vec<u8>) -> Self {
        let is_scripted = is_scripted(path);
        let (text, bytes) = match String::from_utf8(bytes) {
            // A mesh is large, and nearly never has such line ends: to look for the first is much
            // quicker, and the text is not copied.
            Ok(text) if memchr::memmem::find(text.as_bytes(), b"\r\n").is_none() => (text, None),
            Ok(text) => (text.replace("\r\n", "\n"), Some(text.into_bytes())),
            Err(error) => {
                let text = String::from_utf8_lossy(error.as_bytes()).replace("\r\n", "\n");
                (text, Some(error.into_bytes()))
            }
        };
        let found = if is_scripted { scan(&text) } else { Scan::default() };
        Self { text, bytes: bytes.filter(|_| is_scripted), found }
    }

    /// What the file of a scripted model holds.
    fn bytes(&self) -> &[u8] {
        self.bytes.as_deref().unwrap_or(self.text.as_bytes())
    }
}

fn is_scripted(path: &str) -> bool {
    path.ends_with(".scad")
}

/// Reads the models of all parts, each once. A model that cannot be read is a fault.
pub(crate) fn read_cad_files(
    source: &dyn Source,
    common: &Common,
    tables: &[Arc<Table>],
    models: &mut Models,
    faults: &mut Vec<Fault>,
) -> BTreeMap<String, Arc<CadFile>> {
    let own = own_exports(common);
    models.current.clear();
    models.bytes = 0;
    let mut files = BTreeMap::new();
    for part in tables.iter().flat_map(|table| &table.parts) {
        let Some(cad) = &part.cad else { continue };
        let Some(path) = &cad.path else { continue };
        if files.contains_key(path) {
            continue;
        }
        match models.read(source, path, &own) {
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
                    SourceError::Beyond { .. } => {
                        (Slug::TooLarge, "name the model that uses the dimensions, and no library")
                    }
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

/// What we write ourselves holds every name; including it is no use of any.
fn own_exports(common: &Common) -> BTreeSet<&str> {
    common.exports.iter().filter_map(|export| export.path.as_deref()).collect()
}

impl Models {
    fn read(
        &mut self,
        source: &dyn Source,
        path: &str,
        own: &BTreeSet<&str>,
    ) -> Result<Arc<CadFile>, SourceError> {
        let (mut paths, mut texts) = (Vec::new(), Vec::new());
        walk(path, own, &mut |path| self.text(source, path), &mut |path, text| {
            paths.push(path.to_owned());
            texts.push(text.clone());
        })?;
        if let Some((of, file)) = self.files.get(path)
            && file.paths == paths
            && of.iter().zip(&texts).all(|(old, new)| Arc::ptr_eq(old, new))
        {
            return Ok(file.clone());
        }
        let file = Arc::new(CadFile::of(paths, &texts));
        if file.paths.iter().all(|path| is_scripted(path)) {
            self.files.insert(path.to_owned(), (texts, file.clone()));
        }
        Ok(file)
    }

    /// A text, read from this state of the design at most once if it is scripted.
    fn text(&mut self, source: &dyn Source, path: &str) -> Result<Arc<ModelText>, SourceError> {
        if let Some(text) = self.current.get(path) {
            return Ok(text.clone());
        }
        let last = self.texts.get(path).cloned();
        let text = match last.filter(|text| source.holds(path, text.bytes())) {
            Some(text) => {
                self.fits(path, text.bytes().len())?;
                text
            }
            None => self.read_text(source, path)?,
        };
        if !is_scripted(path) {
            return Ok(text);
        }
        self.current.insert(path.to_owned(), text.clone());
        Ok(text)
    }

    fn read_text(
        &mut self,
        source: &dyn Source,
        path: &str,
    ) -> Result<Arc<ModelText>, SourceError> {
        let bytes = source.read(path)?;
        self.fits(path, bytes.len())?;
        let same = self.texts.get(path).filter(|text| text.bytes() == bytes).cloned();
        let text = same.unwrap_or_else(|| Arc::new(ModelText::new(path, bytes)));
        if is_scripted(path) {
            self.texts.insert(path.to_owned(), text.clone());
        }
        Ok(text)
    }

    /// Counts so many bytes more, unless there are too many then.
    fn fits(&mut self, path: &str, bytes: usize) -> Result<(), SourceError> {
        self.bytes += bytes as u64;
        if self.bytes <= LARGEST_MODELS {
            return Ok(());
        }
        let reason = format!("with {path} the models have more than {LARGEST_MODELS} bytes");
        Err(SourceError::Beyond { path: path.to_owned(), reason })
    }
}

impl CadFile {
    fn of(paths: Vec<String>, texts: &[Arc<ModelText>]) -> Self {
        let mut hash = Sha256::new();
        let mut identifiers = BTreeSet::new();
        for text in texts {
            hash.update((text.text.len() as u64).to_le_bytes());
            hash.update(text.text.as_bytes());
            identifiers.extend(text.found.identifiers.iter().cloned());
        }
        let digest = hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
        Self { identifiers, digest, paths }
    }
}

/// Shows a model's text, line ends made LF, and then those that it includes, each with its path.
/// What the design itself exports is not among them.
pub(crate) fn each_model_text(
    source: &dyn Source,
    path: &str,
    common: &Common,
    look: &mut dyn FnMut(&str, &str),
) -> Result<(), SourceError> {
    let read = &mut |path: &str| Ok(Arc::new(ModelText::new(path, source.read(path)?)));
    walk(path, &own_exports(common), read, &mut |path, text| look(path, &text.text))
}

fn walk(
    start: &str,
    own: &BTreeSet<&str>,
    read: &mut dyn FnMut(&str) -> Result<Arc<ModelText>, SourceError>,
    look: &mut dyn FnMut(&str, &Arc<ModelText>),
) -> Result<(), SourceError> {
    let mut seen = BTreeSet::from([start.to_owned()]);
    let mut waiting = vec![start.to_owned()];
    let mut first = true;
    while let Some(path) = waiting.pop() {
        let text = match read(&path) {
            Ok(text) => text,
            Err(error) if first || matches!(error, SourceError::Beyond { .. }) => {
                return Err(error);
            }
            // Libraries of the CAD program lie elsewhere; they know nothing of the design.
            Err(_) => continue,
        };
        first = false;
        look(&path, &text);
        for include in text.found.includes.iter().rev() {
            let Ok(next) = from_folder(folder_of(&path), &include.path) else { continue };
            if own.contains(next.as_str()) || seen.contains(&next) {
                continue;
            }
            // What is not read could use any dimension; it must not seem to use none.
            if seen.len() > MOST_INCLUDES {
                return Err(too_many(start));
            }
            seen.insert(next.clone());
            waiting.push(next);
        }
    }
    Ok(())
}

fn too_many(path: &str) -> SourceError {
    let reason = format!("{path} includes more than {MOST_INCLUDES} files, one through the other");
    SourceError::Beyond { path: path.to_owned(), reason }
}
