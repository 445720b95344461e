//! Where a command stands and who listens.

use std::ffi::OsString;
use std::fmt;
use std::io::{self, ErrorKind, Read, Write};
use std::path::PathBuf;

use crate::signals::Signals;

/// One of the two streams that a command writes to.
pub struct Stream<'a> {
    to: Box<dyn Write + Send + 'a>,
    /// Whether a person watches it on a terminal.
    pub terminal: bool,
}

/// Where a command stands and who listens. The process's own is made in `main`; tests and tours
/// make others.
pub struct Io<'a> {
    /// For results.
    pub stdout: Stream<'a>,
    /// For faults.
    pub stderr: Stream<'a>,
    /// What a command reads that is told to read `-`; nothing, unless it is given.
    pub stdin: Box<dyn Read + 'a>,
    /// The folder that the command is run in.
    pub here: PathBuf,
    /// How many columns a line may have.
    pub width: usize,
    /// Whether colours are not wanted, whoever listens. `--color always` overrules it.
    pub no_color: bool,
    /// Whether the terminal cannot write a line again.
    pub dumb: bool,
    /// What can end a command early; nothing, unless it is given.
    pub signals: Signals,
    /// Whether the process ends with the call: what fills much memory is then left to the system,
    /// which takes it back at once, instead of being given back piece by piece.
    pub ends: bool,
}

/// The width where there is no terminal to ask.
const WIDTH: usize = 80;

impl<'a> Io<'a> {
    /// Two streams that are no terminals, 80 columns wide.
    pub fn new(
        stdout: impl Write + Send + 'a,
        stderr: impl Write + Send + 'a,
        here: PathBuf,
    ) -> Self {
        let stream = |to| Stream { to, terminal: false };
        Self {
            stdout: stream(Box::new(stdout)),
            stderr: stream(Box::new(stderr)),
            stdin: Box::new(io::empty()),
            here,
            width: WIDTH,
            no_color: false,
            dumb: false,
            signals: Signals::default(),
            ends: false,
        }
    }
}

impl Io<'_> {
    /// Heeds what the environment says about colours and the terminal; `variable` gives its
    /// variables.
    pub fn heed(&mut self, variable: impl Fn(&str) -> Option<OsString>) {
        let unwanted = variable("NO_COLOR").is_some_and(|value| !value.is_empty());
        self.dumb = variable("TERM").is_some_and(|term| term == "dumb");
        self.no_color = unwanted || self.dumb;
    }
}

impl<'a> Stream<'a> {
    /// What is written goes straight to it.
    pub(crate) fn direct(&mut self) -> &mut (dyn Write + Send + 'a) {
        &mut *self.to
    }

    /// Writes a text. A reader that has gone away has read enough, so that is no error.
    pub(crate) fn write(&mut self, text: &str) -> io::Result<()> {
        let written = self.to.write_all(text.as_bytes()).and_then(|()| self.to.flush());
        match written {
            Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
            other => other,
        }
    }
}

impl fmt::Debug for Stream<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Stream").field("terminal", &self.terminal).finish_non_exhaustive()
    }
}

impl fmt::Debug for Io<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Io")
            .field("stdout", &self.stdout)
            .field("stderr", &self.stderr)
            .field("here", &self.here)
            .field("width", &self.width)
            .field("no_color", &self.no_color)
            .field("dumb", &self.dumb)
            .field("ends", &self.ends)
            .finish()
    }
}
