//! What a process says on its standard error.

use std::io::Read;
use std::process::ChildStderr;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use crate::wording::plain;

/// How many bytes are kept.
const MOST: usize = 16 << 10;
/// How many characters of them are told.
const MOST_TOLD: usize = 300;
/// How long the rest is waited for after the process has ended. A process that it left behind may
/// hold its standard error for good.
const PATIENCE: Duration = Duration::from_secs(1);

/// What a process says on its standard error, read as it comes, so that it never waits for that.
pub(super) struct Complaints {
    kept: Arc<Mutex<Vec<u8>>>,
    /// Nothing comes through this; it closes with the standard error.
    closed: Receiver<()>,
}

impl Complaints {
    pub(super) fn of(stderr: ChildStderr) -> Self {
        let (open, closed) = channel();
        let complaints = Self { kept: Arc::default(), closed };
        let kept = Arc::clone(&complaints.kept);
        thread::spawn(move || keep(stderr, &kept, open));
        complaints
    }

    pub(super) fn forget(&self) {
        lock(&self.kept).clear();
    }

    /// What an ended process has said last, in a line.
    pub(super) fn told(&self) -> Option<String> {
        // Either way there is nothing more to wait for.
        let _ = self.closed.recv_timeout(PATIENCE);
        told(&lock(&self.kept))
    }
}

fn keep(mut stderr: ChildStderr, kept: &Mutex<Vec<u8>>, open: Sender<()>) {
    let mut chunk = [0; 1024];
    while let Ok(length @ 1..) = stderr.read(&mut chunk) {
        let mut kept = lock(kept);
        let room = MOST.saturating_sub(kept.len()).min(length);
        kept.extend_from_slice(&chunk[..room]);
    }
    drop(open);
}

fn lock(kept: &Mutex<Vec<u8>>) -> MutexGuard<'_, Vec<u8>> {
    kept.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The first thing that git calls fatal or an error, in one line: what follows is advice, and
/// what failed because of it. Without such a line, the first that there is.
pub(super) fn told(stderr: &[u8]) -> Option<String> {
    let text = String::from_utf8_lossy(stderr);
    let lines: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).collect();
    let said = |line: &&str| {
        ["fatal: ", "error: "].iter().find_map(|mark| line.strip_prefix(*mark).map(str::to_owned))
    };
    let at = lines.iter().position(|line| said(line).is_some());
    let first = lines.get(at.unwrap_or(0))?;
    let mut line = said(first).unwrap_or_else(|| (*first).to_owned());
    // A list in a message stands on indented lines below it.
    for item in lines.iter().skip(at.unwrap_or(0) + 1).take_while(|line| line.starts_with('\t')) {
        line = format!("{line} {}", item.trim());
    }
    Some(plain(&line.chars().take(MOST_TOLD).collect::<String>()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reason_is_told_and_not_what_follows_from_it() {
        for (stderr, line) in [
            ("fatal: one\nfatal: two\n", "one"),
            ("warning: x\nerror: broken\n\nPlease make sure\n", "broken"),
            ("fatal: unknown extension found:\n\tnovelty\n", "unknown extension found: novelty"),
            ("\nssh: no such host\nfatal: Could not read\n", "Could not read"),
            ("it just ended\n", "it just ended"),
            ("fatal: red \u{1b}[31m\n", "red \u{fffd}[31m"),
        ] {
            assert_eq!(told(stderr.as_bytes()).as_deref(), Some(line));
        }
        assert_eq!(told(b"\n \n"), None);
        assert_eq!(told("fatal: ".repeat(999).as_bytes()).map(|line| line.len()), Some(MOST_TOLD));
    }
}
