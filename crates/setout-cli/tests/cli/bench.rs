//! A folder to work in, and the command run in it, in this process and without its surroundings.

use std::fs;
use std::path::PathBuf;

use serde_json::Value;
use setout_cli::Io;
use tempfile::TempDir;

/// A project in a temporary folder.
pub(crate) struct Bench {
    dir: TempDir,
}

/// A small design in which everything holds.
pub(crate) const LID: [(&str, &str); 2] = [
    (
        "params/design.yaml",
        "setout: 1\nname: A lid\ncurrency: GBP\nexports:\n  \
         - { format: csv, file: ../out/lid.csv }\n  \
         - { format: openscad, file: ../out/lid.scad }\n",
    ),
    (
        "params/lid.yaml",
        "dimensions:
  width: { value: 62 mm, min: 55 mm, max: 70 mm, tolerance: ±0.2 mm, note: over all }
  inner: width - 2 * 1.5 mm
  screw: { text: M4, one_of: [M3, M4] }
checks:
  room: { require: inner >= 58 mm, tight: 0.5 mm, why: the ball has to go in }
parts:
  lid: { made: bought, cost: 1.20 GBP, mass: 38 g, uses: [inner, screw] }
",
    ),
];

impl Bench {
    /// An empty folder.
    pub(crate) fn empty() -> Self {
        Self { dir: tempfile::tempdir().expect("a temporary folder") }
    }

    /// A folder with these files.
    pub(crate) fn with(files: &[(&str, &str)]) -> Self {
        let bench = Self::empty();
        for (path, text) in files {
            bench.file(path, text);
        }
        bench
    }

    /// The small design.
    pub(crate) fn lid() -> Self {
        Self::with(&LID)
    }

    /// Canonical, as temporary folders are linked on some systems.
    pub(crate) fn root(&self) -> PathBuf {
        self.dir.path().canonicalize().expect("the folder exists")
    }

    /// Writes a file and the folders above it.
    pub(crate) fn file(&self, path: &str, text: &str) {
        let full = self.root().join(path);
        fs::create_dir_all(full.parent().expect("below the root")).expect("folders are made");
        fs::write(full, text).expect("the file is written");
    }

    /// Replaces a part of a file that stands in it once.
    pub(crate) fn edit(&self, path: &str, from: &str, to: &str) {
        let text = self.text(path);
        assert_eq!(text.matches(from).count(), 1, "{from} in {path}");
        self.file(path, &text.replace(from, to));
    }

    pub(crate) fn text(&self, path: &str) -> String {
        fs::read_to_string(self.root().join(path)).expect("the file is there")
    }

    /// The names of all files, sorted.
    pub(crate) fn files(&self) -> Vec<String> {
        let mut found = Vec::new();
        let mut folders = vec![self.root()];
        while let Some(folder) = folders.pop() {
            for entry in fs::read_dir(folder).expect("a folder") {
                let path = entry.expect("an entry").path();
                if path.is_dir() {
                    folders.push(path);
                } else {
                    let below = path.strip_prefix(self.root()).expect("below the root");
                    found.push(below.display().to_string());
                }
            }
        }
        found.sort();
        found
    }

    /// Runs the command in surroundings of one's own.
    pub(crate) fn run_as(&self, call: &str, surround: impl FnOnce(&mut Io<'_>)) -> Answer {
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let mut io = Io::new(&mut out, &mut err, self.root());
        surround(&mut io);
        let status = setout_cli::run(call.split_whitespace().map(Into::into), &mut io);
        drop(io);
        let text = |bytes| String::from_utf8(bytes).expect("UTF-8");
        Answer { out: text(out), err: text(err), status }
    }

    /// Runs the command, 80 columns wide and into pipes.
    pub(crate) fn run(&self, call: &str) -> Answer {
        self.run_as(call, |_| {})
    }

    /// Runs the command and shows its answer after the call, with the folder's name blotted out.
    pub(crate) fn shown(&self, call: &str) -> String {
        let shown = format!("$ {call}\n{}", self.run(call).shown());
        shown.replace(&self.root().display().to_string(), "(bench)")
    }
}

/// What came of a call.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) out: String,
    pub(crate) err: String,
    pub(crate) status: u8,
}

impl Answer {
    /// Both streams and the status in one text.
    pub(crate) fn shown(&self) -> String {
        let mut shown = self.out.clone();
        if !self.err.is_empty() {
            shown += &format!("--- standard error\n{}", self.err);
        }
        format!("{shown}--- status {}\n", self.status)
    }

    /// The document on standard output, with nothing beside it.
    pub(crate) fn json(&self) -> Value {
        assert_eq!(self.err, "");
        serde_json::from_str(&self.out).expect("one document")
    }
}

/// The keys of an object, sorted.
pub(crate) fn keys(value: &Value) -> Vec<&str> {
    value.as_object().expect("an object").keys().map(String::as_str).collect()
}
