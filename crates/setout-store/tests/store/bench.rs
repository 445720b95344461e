//! A folder to work in, and a git that knows nothing of the machine it runs on.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use setout_store::Folder;
use tempfile::TempDir;

/// The smallest `design.yaml`.
pub(crate) const DESIGN: &str = "setout: 1\nname: a bench\n";

/// A project in a temporary folder.
pub(crate) struct Bench {
    dir: TempDir,
}

impl Bench {
    /// An empty folder.
    pub(crate) fn empty() -> Self {
        Self { dir: tempfile::tempdir().expect("a temporary folder") }
    }

    /// A design in `params`, without git.
    pub(crate) fn new() -> Self {
        let bench = Self::empty();
        bench.file("params/design.yaml", DESIGN);
        bench
    }

    /// A design in `params`, in a repository without a commit.
    pub(crate) fn repository() -> Self {
        let bench = Self::new();
        bench.git("init --quiet");
        bench
    }

    /// Canonical, as temporary folders are linked on some systems.
    pub(crate) fn root(&self) -> PathBuf {
        self.dir.path().canonicalize().expect("the folder exists")
    }

    pub(crate) fn path(&self, path: &str) -> PathBuf {
        self.root().join(path)
    }

    /// Writes a file and the folders above it.
    pub(crate) fn file(&self, path: &str, text: impl AsRef<[u8]>) {
        let full = self.path(path);
        fs::create_dir_all(full.parent().expect("below the root")).expect("folders are made");
        fs::write(full, text).expect("the file is written");
    }

    pub(crate) fn text(&self, path: &str) -> String {
        fs::read_to_string(self.path(path)).expect("the file is there")
    }

    /// All names in a folder, dot-files too.
    pub(crate) fn names(&self, folder: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path(folder)).expect("the folder is there");
        let name = |entry: fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
        let mut names: Vec<String> = entries.map(|entry| name(entry.expect("an entry"))).collect();
        names.sort();
        names
    }

    #[cfg(unix)]
    pub(crate) fn link(&self, target: impl AsRef<Path>, link: &str) {
        std::os::unix::fs::symlink(target, self.path(link)).expect("the link is made");
    }

    pub(crate) fn folder(&self) -> Folder {
        Folder::find(&self.root()).expect("there is a design")
    }

    /// Runs git here; words are separated by blanks. Gives what it printed.
    pub(crate) fn git(&self, words: &str) -> String {
        git(&self.root(), &words.split_whitespace().collect::<Vec<_>>())
    }

    /// Runs git here with a file as its standard input.
    pub(crate) fn git_with_input(&self, words: &str, input: &str) -> String {
        let input = fs::File::open(self.path(input)).expect("the input is there");
        run(&self.root(), &words.split_whitespace().collect::<Vec<_>>(), input.into())
    }

    /// Commits everything under a one-line message.
    pub(crate) fn commit(&self, message: &str) -> String {
        self.git("add --all");
        git(&self.root(), &["commit", "--quiet", "--message", message]);
        self.git("rev-parse HEAD")
    }
}

/// Runs git in `place` and gives what it printed, or fails with all that it said.
pub(crate) fn git(place: &Path, words: &[&str]) -> String {
    run(place, words, Stdio::null())
}

fn run(place: &Path, words: &[&str], input: Stdio) -> String {
    let output = Command::new("git")
        .args(["-c", "init.defaultBranch=main", "-c", "protocol.file.allow=always"])
        .args(words)
        .current_dir(place)
        .stdin(input)
        .env_remove("GIT_DIR")
        .env_remove("GIT_WORK_TREE")
        .env_remove("GIT_INDEX_FILE")
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .envs(crate::STORAGE)
        .env("GIT_AUTHOR_NAME", "Ada")
        .env("GIT_AUTHOR_EMAIL", "ada@example.org")
        .env("GIT_AUTHOR_DATE", "1700000000 +0130")
        .env("GIT_COMMITTER_NAME", "Grace")
        .env("GIT_COMMITTER_EMAIL", "grace@example.org")
        .env("GIT_COMMITTER_DATE", "1700000100 +0000")
        .output()
        .expect("git can be started");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).trim_end().to_owned();
    let (out, err) = (text(&output.stdout), text(&output.stderr));
    assert!(output.status.success(), "git {words:?}: {}\n{out}\n{err}", output.status);
    out
}

/// Clones `from` as a remote would be cloned, so that `--depth` and `--filter` mean something.
pub(crate) fn clone(from: &Bench, options: &str) -> Bench {
    let clone = Bench::empty();
    let url = format!("file://{}", from.root().display());
    let mut words = vec!["clone", "--quiet"];
    words.extend(options.split_whitespace());
    words.extend([url.as_str(), "."]);
    git(&clone.root(), &words);
    clone
}
