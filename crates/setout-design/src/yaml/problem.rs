//! What is wrong with a text, where, and what would mend it.

use super::Span;

/// Which kind of fault it is, in the words of the contract.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slug {
    /// The text is not YAML, or uses a part of YAML that a table has no use for.
    Yaml,
    /// A name stands twice in one map.
    DuplicateName,
    /// The text is nested too deeply.
    TooLarge,
}

impl Slug {
    /// The slug as it is written: `yaml`, `duplicate-name`, `too-large`.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Yaml => "yaml",
            Self::DuplicateName => "duplicate-name",
            Self::TooLarge => "too-large",
        }
    }
}

/// One fault of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The kind of fault.
    pub slug: Slug,
    /// Where it is.
    pub span: Span,
    /// What is wrong, as a sentence without its full stop.
    pub message: String,
    /// What would mend it.
    pub help: String,
}

/// How many faults of one reading are kept. A text with more has one cause for most of them, and
/// one from a stranger must not fill the memory.
const MOST_KEPT: usize = 1000;

/// Gathers faults, up to a bound.
#[derive(Debug, Default)]
pub(super) struct Faults {
    kept: Vec<Problem>,
    more: usize,
}

impl Faults {
    pub(super) fn push(&mut self, problem: Problem) {
        if self.kept.len() < MOST_KEPT {
            self.kept.push(problem);
        } else {
            self.more += 1;
        }
    }

    /// How many are kept.
    pub(super) fn len(&self) -> usize {
        self.kept.len()
    }

    /// Adds words to a message.
    pub(super) fn append(&mut self, index: usize, words: &str) {
        if let Some(problem) = self.kept.get_mut(index) {
            problem.message += words;
        }
    }

    pub(super) fn into_problems(mut self) -> Vec<Problem> {
        if self.more > 0 {
            let words = format!("; {} more faults are not shown", self.more);
            self.append(self.len() - 1, &words);
        }
        self.kept
    }
}

impl Problem {
    pub(super) fn yaml(span: Span, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { slug: Slug::Yaml, span, message: message.into(), help: help.into() }
    }
}
