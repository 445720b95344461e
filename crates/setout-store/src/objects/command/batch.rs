//! A `git cat-file` that answers one question after another.

use std::io::{self, BufRead, BufReader, Read, Write};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use super::complaints::Complaints;
use crate::objects::{Id, Kind};

/// The longest line that answers a question: it may repeat the question.
const LONGEST_LINE: u64 = 16 << 10;

/// What git answers to a name.
pub(super) enum Answer {
    /// An object; its kind is `None` for a tag. From `--batch` its content follows.
    Object {
        id: Id,
        kind: Option<Kind>,
        bytes: u64,
    },
    Missing,
    Ambiguous,
}

/// A `git cat-file` in one of its batch modes, started when it is first asked.
pub(super) struct Batch {
    mode: &'static str,
    running: Option<Running>,
}

impl Batch {
    pub(super) fn new(mode: &'static str) -> Self {
        Self { mode, running: None }
    }

    /// What `name` stands for; a failure comes in git's words. `name` is one line.
    ///
    /// A process that somebody has ended since the last question says nothing, and is started
    /// anew.
    pub(super) fn ask(&mut self, git: impl Fn() -> Command, name: &str) -> Result<Answer, String> {
        if self.running.is_some() {
            match self.tried(|running| running.ask(name)) {
                Err(Failure { told: None, .. }) => {}
                answer => return answer.map_err(Failure::into_words),
            }
        }
        let running = Running::start(git().args(["cat-file", self.mode]));
        self.running = Some(running.map_err(|error| error.to_string())?);
        self.tried(|running| running.ask(name)).map_err(Failure::into_words)
    }

    /// The content that follows an answer. It has to be taken before the next question, or git
    /// be stopped.
    pub(super) fn content(&mut self, bytes: u64) -> Result<Vec<u8>, String> {
        self.tried(|running| running.content(bytes)).map_err(Failure::into_words)
    }

    /// Ends git; the next question starts it anew.
    pub(super) fn stop(&mut self) {
        self.running = None;
    }

    /// What failed once is not in step with its questions any more, and so is ended.
    fn tried<T>(
        &mut self,
        attempt: impl FnOnce(&mut Running) -> io::Result<T>,
    ) -> Result<T, Failure> {
        let ended = || Failure { told: None, error: io::ErrorKind::BrokenPipe.into() };
        let mut running = self.running.take().ok_or_else(ended)?;
        match attempt(&mut running) {
            Ok(answer) => {
                self.running = Some(running);
                Ok(answer)
            }
            Err(error) => {
                running.end();
                Err(Failure { told: running.complaints.told(), error })
            }
        }
    }
}

/// Why git did not answer: what it complained of, and what was seen of it.
struct Failure {
    told: Option<String>,
    error: io::Error,
}

impl Failure {
    fn into_words(self) -> String {
        self.told.unwrap_or_else(|| self.error.to_string())
    }
}

/// The process. One question is under way at a time and each fits into a pipe, so neither side
/// ever waits for the other to read.
struct Running {
    child: Child,
    questions: ChildStdin,
    answers: BufReader<ChildStdout>,
    complaints: Complaints,
}

impl Running {
    fn start(git: &mut Command) -> io::Result<Self> {
        let pipes = git.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = pipes.spawn()?;
        let (Some(questions), Some(answers), Some(complaints)) =
            (child.stdin.take(), child.stdout.take(), child.stderr.take())
        else {
            unreachable!("all three are pipes");
        };
        let (answers, complaints) = (BufReader::new(answers), Complaints::of(complaints));
        Ok(Self { child, questions, answers, complaints })
    }

    fn ask(&mut self, name: &str) -> io::Result<Answer> {
        self.complaints.forget();
        self.questions.write_all(format!("{name}\n").as_bytes())?;
        let mut line = Vec::new();
        self.answers.by_ref().take(LONGEST_LINE).read_until(b'\n', &mut line)?;
        match line.pop() {
            Some(b'\n') => read_answer(&line).ok_or_else(|| {
                let line = String::from_utf8_lossy(&line).into_owned();
                io::Error::new(io::ErrorKind::InvalidData, format!("it answers '{line}'"))
            }),
            _ => Err(io::ErrorKind::UnexpectedEof.into()),
        }
    }

    fn content(&mut self, bytes: u64) -> io::Result<Vec<u8>> {
        let mut content = Vec::new();
        // With the line feed that git puts behind it.
        self.answers.by_ref().take(bytes + 1).read_to_end(&mut content)?;
        match content.pop() {
            Some(b'\n') if content.len() as u64 == bytes => Ok(content),
            _ => Err(io::ErrorKind::UnexpectedEof.into()),
        }
    }

    fn end(&mut self) {
        // It fails only for a process that has ended by itself.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        self.end();
    }
}

/// `HASH KIND SIZE`, or the name and a word about it.
fn read_answer(line: &[u8]) -> Option<Answer> {
    if line.ends_with(b" ambiguous") {
        return Some(Answer::Ambiguous);
    }
    // Newer versions have a word of their own for the commit of a submodule.
    if line.ends_with(b" missing") || line.ends_with(b" submodule") {
        return Some(Answer::Missing);
    }
    let mut words = std::str::from_utf8(line).ok()?.split(' ');
    let (id, kind, bytes) = (words.next()?, words.next()?, words.next()?);
    let kind = match kind {
        "commit" => Some(Kind::Commit),
        "tree" => Some(Kind::Tree),
        "blob" => Some(Kind::Blob),
        "tag" => None,
        _ => return None,
    };
    Some(Answer::Object { id: Id::from_hex(id.as_bytes())?, kind, bytes: bytes.parse().ok()? })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_that_repeats_the_question_is_not_taken_for_an_object() {
        let hash = "1".repeat(40);
        let answer = |line: &str| read_answer(line.as_bytes());
        for word in ["missing", "submodule"] {
            for name in ["main", "a b", &format!("{hash} blob 3"), ""] {
                assert!(
                    matches!(answer(&format!("{name} {word}")), Some(Answer::Missing)),
                    "{name}"
                );
            }
        }
        assert!(matches!(answer("abcd ambiguous"), Some(Answer::Ambiguous)));
        let Some(Answer::Object { id, kind: Some(Kind::Blob), bytes: 3 }) =
            answer(&format!("{hash} blob 3"))
        else {
            panic!("a blob")
        };
        assert_eq!(id.to_string(), hash);
        assert!(matches!(
            answer(&format!("{hash} tag 3")),
            Some(Answer::Object { kind: None, .. })
        ));
        for line in ["", "loop 3", &format!("{hash} blob"), &format!("{hash} blob -1"), "12 blob 3"]
        {
            assert!(answer(line).is_none(), "{line}");
        }
    }
}
