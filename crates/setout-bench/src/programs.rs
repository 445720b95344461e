//! The programs that are measured, built and put where the book finds them.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use crate::turns::passed;

/// The root of the repository.
pub fn root() -> PathBuf {
    let here: PathBuf = [env!("CARGO_MANIFEST_DIR"), "..", ".."].iter().collect();
    here.canonicalize().expect("the root of the repository")
}

/// The command, built as it is released.
///
/// # Panics
///
/// When it cannot be built.
pub fn setout() -> PathBuf {
    // This program stands in `target/release/deps`.
    let own = std::env::current_exe().expect("this program has a place");
    let target = own.ancestors().nth(3).expect("target/release/deps");
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["build", "--release", "--quiet", "--locked", "-p", "setout-cli"]);
    cargo.arg("--target-dir").arg(target).current_dir(root());
    assert!(cargo.status().is_ok_and(|status| status.success()), "{cargo:?}");
    target.join("release/setout")
}

/// A Python with what `benches/requirements.txt` names, in `.tools/bench`, unless `SETOUT_PYTHON` names
/// one that has it.
///
/// # Panics
///
/// When it cannot be had.
pub fn python() -> PathBuf {
    if let Some(python) = std::env::var_os("SETOUT_PYTHON") {
        return python.into();
    }
    let folder = root().join(".tools/bench");
    let (python, stamp) = (folder.join("bin/python"), folder.join("requirements.txt"));
    let wanted = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/requirements.txt");
    let read = |path: &Path| std::fs::read(path).ok();
    if read(&wanted) != read(&stamp) || Command::new(&python).args(["-c", ""]).status().is_err() {
        run(Command::new("python3").args(["-m", "venv", "--clear"]).arg(&folder));
        run(Command::new(&python)
            .args(["-m", "pip", "install", "--quiet", "--disable-pip-version-check"])
            .args(["--require-hashes", "-r"])
            .arg(&wanted));
        std::fs::copy(&wanted, &stamp).expect("a stamp beside it");
    }
    python
}

/// Runs a command that has to succeed. What it prints is thrown away; git is given no settings.
///
/// # Panics
///
/// When it does not succeed.
pub fn run(command: &mut Command) {
    command.env("GIT_CONFIG_GLOBAL", "/dev/null").env("GIT_CONFIG_NOSYSTEM", "1");
    let status = command.stdin(Stdio::null()).stdout(Stdio::null()).status().expect("a program");
    assert!(status.success(), "{command:?}: {status}");
}

/// How long that takes, from nothing to its end, in seconds.
pub fn took(command: &mut Command) -> f64 {
    passed(|| run(command))
}

/// The most memory that a command ever holds, in bytes, as the system tells at its end.
///
/// # Panics
///
/// When the command does not succeed.
pub fn peak(python: &Path, command: &Command) -> f64 {
    took_and_peak(python, command).1
}

/// How long a command takes, in seconds, and the most memory that it ever holds, in bytes.
///
/// # Panics
///
/// When the command does not succeed.
pub fn took_and_peak(python: &Path, command: &Command) -> (f64, f64) {
    let mut through = Command::new(python);
    through.arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/peak.py"));
    through.arg(command.get_program()).args(command.get_args());
    let output = through.stdin(Stdio::null()).output().expect("Python runs");
    assert!(output.status.success(), "{through:?}: {}", output.status);
    let text = String::from_utf8_lossy(&output.stdout);
    let numbers = text.trim().split_once(' ').expect("two numbers");
    (numbers.0.parse().expect("seconds"), numbers.1.parse().expect("bytes"))
}

/// The tables of a design, in the order of their names.
///
/// # Panics
///
/// When there is no such folder.
pub fn tables(folder: &Path) -> Vec<PathBuf> {
    let entries = folder.join("params").read_dir().expect("a design");
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.expect("a file").path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "yaml"));
    paths.sort();
    paths
}
