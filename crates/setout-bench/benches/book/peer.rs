//! A program in Python that waits for its turn: a line in, a line of words out.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, ChildStdout, Command, Stdio};

pub(crate) struct Peer {
    child: Child,
    answers: BufReader<ChildStdout>,
    /// In how many ways it can do what it does, as it says at its start.
    pub(crate) ways: Vec<String>,
}

impl Peer {
    /// Starts a script of this folder.
    pub(crate) fn start(python: &Path, script: &str, words: &[&Path]) -> Self {
        let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches");
        let mut command = Command::new(python);
        command.arg(here.join(script)).args(words).stdin(Stdio::piped()).stdout(Stdio::piped());
        let mut child = command.spawn().expect("Python");
        let answers = BufReader::new(child.stdout.take().expect("a pipe"));
        let mut peer = Self { child, answers, ways: Vec::new() };
        peer.ways = peer.words();
        peer
    }

    /// What it comes to when it is told something: numbers, the seconds first.
    pub(crate) fn turn(&mut self, words: &str) -> Vec<f64> {
        let mut to = self.child.stdin.as_ref().expect("a pipe");
        writeln!(to, "{words}").expect("Python listens");
        self.words().iter().map(|word| word.parse().expect("a number")).collect()
    }

    fn words(&mut self) -> Vec<String> {
        let mut line = String::new();
        self.answers.read_line(&mut line).expect("Python answers");
        line.trim().split('\t').map(str::to_owned).collect()
    }
}

impl Drop for Peer {
    fn drop(&mut self) {
        // Without an input it comes to its end.
        drop(self.child.stdin.take());
        self.child.wait().expect("Python ends");
    }
}
