//! Objects through the installed git, for repositories that the library does not read.
//!
//! Its `cat-file` hands out objects as they are stored: no filter, no line-end conversion, no
//! `textconv`, no hook. What else a configuration can name is switched off in `call`. Only for a
//! partial clone may git fetch, within the bounds of `fetching`.

mod batch;
mod call;
mod complaints;
mod config;
mod fetching;
mod program;

use std::cell::RefCell;
use std::collections::HashSet;
use std::path::{Path, PathBuf};

use batch::{Answer, Batch};
pub(crate) use call::Call as Installed;
use call::Call;
use config::Config;
pub(crate) use program::is_program;

use super::{Id, Kind, ObjectError, Objects, Recent, SpecError, cut_commits, is_work_tree, within};
use crate::diagnose::own_git_dir;
use crate::refusal::GitError;

/// The longest name of a revision that is passed on, in bytes.
const LONGEST_SPEC: usize = 4096;

/// A repository that git reads, by processes that end with this.
pub(super) struct Command {
    call: Call,
    config: Config,
    /// Git's list of the commits at which a shallow clone ends, whether or not it is there.
    shallow: PathBuf,
    cut: HashSet<Id>,
    /// Tells what names stand for. It never fetches: a name that is not known here is unknown.
    names: RefCell<Batch>,
    /// Gives objects, and in a partial clone lets git fetch them.
    contents: RefCell<Batch>,
    /// The protocols by which git may fetch what a partial clone left out, or why it may not.
    fetching: RefCell<Result<String, GitError>>,
    recent: Recent,
}

impl Command {
    pub(super) fn open(place: &Path) -> Result<Self, GitError> {
        let call = Call::new(place)?;
        let shallow = call.common_dir(&own_git_dir(place))?.join("shallow");
        let config = Config::read(&call.output(&["config", "--list", "--show-scope", "-z"])?);
        let fetching = fetching::protocols(&config, call.version, |name| std::env::var_os(name));
        Ok(Self {
            cut: cut_commits(&shallow),
            shallow,
            names: RefCell::new(Batch::new("--batch-check")),
            contents: RefCell::new(Batch::new("--batch")),
            fetching: RefCell::new(fetching),
            recent: Recent::default(),
            config,
            call,
        })
    }

    /// What a name stands for.
    fn named(&self, name: &str) -> Result<Answer, String> {
        self.names.borrow_mut().ask(|| self.call.git(), name)
    }

    /// Asks for an object; its content follows.
    fn begun(&self, id: Id) -> Result<Answer, String> {
        let start = || match &*self.fetching.borrow() {
            Ok(protocols) if self.is_partial() => self.call.fetching(protocols),
            _ => self.call.git(),
        };
        self.contents.borrow_mut().ask(start, &id.to_string())
    }

    /// Why an object is not there.
    fn missing(&self) -> ObjectError {
        match &*self.fetching.borrow() {
            Err(why) if self.is_partial() => ObjectError::NotFetched(why.clone()),
            _ => ObjectError::Missing,
        }
    }

    /// Git ended instead of giving an object. Where it may fetch, that is what failed, and it is
    /// not tried again for every object: each might wait long for the same answer.
    fn ended(&self, reason: String) -> ObjectError {
        let mut fetching = self.fetching.borrow_mut();
        if !self.is_partial() || fetching.is_err() {
            return ObjectError::Failed { reason };
        }
        let why = GitError::NotFetched { reason };
        *fetching = Err(why.clone());
        ObjectError::NotFetched(why)
    }

    fn lines(&self, words: &[&str]) -> Vec<String> {
        let output = self.call.output(words).unwrap_or_default();
        String::from_utf8_lossy(&output).lines().map(str::to_owned).collect()
    }
}

impl Objects for Command {
    fn resolve(&self, spec: &str) -> Result<Id, SpecError> {
        if spec.is_empty() || spec.len() > LONGEST_SPEC || spec.contains(char::is_control) {
            return Err(SpecError::Malformed);
        }
        let failed = |reason: String| SpecError::Failed { reason };
        match self.named(spec).map_err(failed)? {
            Answer::Object { id, kind: Some(Kind::Commit), .. } => Ok(id),
            Answer::Object { id, kind: None, .. } => {
                match self.named(&format!("{id}^{{commit}}")).map_err(failed)? {
                    Answer::Object { id, .. } => Ok(id),
                    _ => Err(SpecError::NotACommit),
                }
            }
            Answer::Object { .. } => Err(SpecError::NotACommit),
            Answer::Missing => Err(SpecError::Unknown),
            Answer::Ambiguous => Err(SpecError::Ambiguous),
        }
    }

    fn object(&self, id: Id, kind: Kind, limit: u64) -> Result<Vec<u8>, ObjectError> {
        let Answer::Object { kind: found, bytes, .. } =
            self.begun(id).map_err(|reason| self.ended(reason))?
        else {
            return Err(self.missing());
        };
        let fits = within(bytes, limit);
        if fits.is_err() || found != Some(kind) {
            // Quicker than to read what nobody wants.
            self.contents.borrow_mut().stop();
        }
        fits?;
        if found != Some(kind) {
            return Err(ObjectError::malformed(id));
        }
        let content = self.contents.borrow_mut().content(bytes);
        content.map_err(|reason| ObjectError::Failed { reason })
    }

    fn merge_base(&self, one: Id, other: Id) -> Result<Option<Id>, ObjectError> {
        let words = ["merge-base", &one.to_string(), &other.to_string()];
        let failed = |error: GitError| ObjectError::Failed { reason: error.to_string() };
        let base = self.call.answer(&words).map_err(failed)?;
        Ok(base.and_then(|base| Id::from_hex(base.as_bytes())))
    }

    fn short(&self, id: Id) -> String {
        let all = id.to_string();
        let is_enough = |digits: &usize| match self.named(&all[..*digits]) {
            Ok(Answer::Object { id: found, .. }) => found == id,
            _ => false,
        };
        let mut lengths = self.config.abbreviation(all.len())..all.len();
        all[..lengths.find(is_enough).unwrap_or(all.len())].to_owned()
    }

    fn references(&self) -> Vec<String> {
        self.lines(&["for-each-ref", "--format=%(refname)"])
    }

    fn branch(&self) -> Option<String> {
        self.call.answer(&["symbolic-ref", "--quiet", "HEAD"]).ok().flatten()
    }

    fn remotes(&self) -> Vec<String> {
        self.lines(&["remote"])
    }

    fn is_shallow(&self) -> bool {
        self.shallow.is_file()
    }

    fn is_cut(&self, id: Id) -> bool {
        self.cut.contains(&id)
    }

    fn is_partial(&self) -> bool {
        self.config.is_partial()
    }

    fn holds(&self, file: Id) -> Result<(), ObjectError> {
        if let Ok(Answer::Object { .. }) = self.named(&file.to_string()) {
            return Ok(());
        }
        match self.object(file, Kind::Blob, 0) {
            Ok(_) | Err(ObjectError::TooLarge { .. }) => Ok(()),
            Err(error) => Err(error),
        }
    }

    fn recent(&self) -> &Recent {
        &self.recent
    }

    fn name_of(&self, _: &[u8]) -> Option<Id> {
        None
    }

    fn gather(&self, files: &[Id]) {
        let Ok(protocols) = self.fetching.borrow().clone() else { return };
        let Some(remote) = self.config.promisor() else { return };
        let is_missing = |id: &Id| matches!(self.named(&id.to_string()), Ok(Answer::Missing));
        let missing: Vec<Id> = files.iter().copied().filter(is_missing).collect();
        if missing.len() < 2 {
            return;
        }
        if let Err(reason) = fetching::fetch(self.call.fetching(&protocols), remote, &missing) {
            self.ended(reason);
        }
    }

    fn changed(&self, root: &Path) -> Result<Vec<String>, ObjectError> {
        let failed = |error: GitError| ObjectError::Failed { reason: error.to_string() };
        let top = self.call.answer(&["rev-parse", "--show-toplevel"]).map_err(failed)?;
        is_work_tree(root, top.as_deref().map(Path::new))?;
        // A filter is a program that the repository may name for any file; without it a filtered
        // file may pass for a changed one, never the other way round.
        let filters = self.config.own_filters();
        if filters.iter().any(|filter| filter.contains('=')) {
            let reason = "a filter has a name with = in it, and cannot be switched off".to_owned();
            return Err(ObjectError::Failed { reason });
        }
        let mut words: Vec<String> = Vec::new();
        for filter in &filters {
            for setting in ["clean=", "smudge=", "process=", "required=false"] {
                words.extend(["-c".to_owned(), format!("filter.{filter}.{setting}")]);
            }
        }
        words.extend(STATUS.map(str::to_owned));
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let output = self.call.output(&words).map_err(failed)?;
        Ok(paths_of_status(&output))
    }
}

/// What differs among tracked files. Submodules are not entered, for git would run there by their
/// own configuration.
const STATUS: [&str; 6] = [
    "status",
    "--porcelain=v1",
    "-z",
    "--untracked-files=no",
    "--ignore-submodules=dirty",
    "--no-renames",
];

/// The paths that `git status --porcelain=v1 -z` lists: two letters, a blank and the path each.
fn paths_of_status(output: &[u8]) -> Vec<String> {
    let entries = output.split(|byte| *byte == 0).filter_map(|entry| entry.get(3..));
    let mut paths: Vec<String> =
        entries.map(|path| String::from_utf8_lossy(path).into_owned()).collect();
    paths.sort_unstable();
    paths.dedup();
    paths
}
