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

impl Problem {
    pub(super) fn yaml(span: Span, message: impl Into<String>, help: impl Into<String>) -> Self {
        Self { slug: Slug::Yaml, span, message: message.into(), help: help.into() }
    }
}
