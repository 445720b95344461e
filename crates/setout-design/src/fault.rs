//! Faults and warnings: a place, a reason and a mend, each.

use std::fmt;
use std::sync::Arc;

/// A place in a text of the design. Lines and columns count from 1, columns in characters.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The file, as a root-relative path.
    pub file: Arc<str>,
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}", self.file, self.line, self.column)
    }
}

/// The fixed word by which programs know a sort of fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum Slug {
    /// The text is no YAML, or uses a part of it that tables do not.
    Yaml,
    /// A key that nothing reads.
    UnknownKey,
    /// A name that stands twice, or two that would meet in an export.
    DuplicateName,
    /// A name that breaks the rules for names.
    BadName,
    /// A value of the wrong form.
    BadValue,
    /// A formula that cannot be read.
    BadFormula,
    /// A unit that is not known.
    UnknownUnit,
    /// A name that stands for nothing.
    UnknownName,
    /// A function that is not known.
    UnknownFunction,
    /// A name that could mean two things.
    AmbiguousName,
    /// Kinds of quantity that do not go together.
    UnitMismatch,
    /// Dimensions that depend on each other in a circle.
    Cycle,
    /// A function without a value for its numbers.
    Domain,
    /// Limits or a travel that nothing can satisfy.
    BadLimits,
    /// A text that is not one of those allowed.
    BadChoice,
    /// A path that leaves the root or names what it must not.
    UnsafePath,
    /// More than a design may hold.
    TooLarge,
    /// A file or a name of the call that is not there.
    NotFound,
    /// The system refused.
    Io,
}

impl Slug {
    /// All slugs, in the order of the documents.
    pub const ALL: [Self; 19] = [
        Self::Yaml,
        Self::UnknownKey,
        Self::DuplicateName,
        Self::BadName,
        Self::BadValue,
        Self::BadFormula,
        Self::UnknownUnit,
        Self::UnknownName,
        Self::UnknownFunction,
        Self::AmbiguousName,
        Self::UnitMismatch,
        Self::Cycle,
        Self::Domain,
        Self::BadLimits,
        Self::BadChoice,
        Self::UnsafePath,
        Self::TooLarge,
        Self::NotFound,
        Self::Io,
    ];

    /// The word itself.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Yaml => "yaml",
            Self::UnknownKey => "unknown-key",
            Self::DuplicateName => "duplicate-name",
            Self::BadName => "bad-name",
            Self::BadValue => "bad-value",
            Self::BadFormula => "bad-formula",
            Self::UnknownUnit => "unknown-unit",
            Self::UnknownName => "unknown-name",
            Self::UnknownFunction => "unknown-function",
            Self::AmbiguousName => "ambiguous-name",
            Self::UnitMismatch => "unit-mismatch",
            Self::Cycle => "cycle",
            Self::Domain => "domain",
            Self::BadLimits => "bad-limits",
            Self::BadChoice => "bad-choice",
            Self::UnsafePath => "unsafe-path",
            Self::TooLarge => "too-large",
            Self::NotFound => "not-found",
            Self::Io => "io",
        }
    }

    /// The slug of a word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|slug| slug.as_str() == word)
    }
}

impl fmt::Display for Slug {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// What keeps a design, or a part of it, from being understood or computed.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fault {
    /// Where it stands.
    pub place: Place,
    /// Which sort of fault it is.
    pub slug: Slug,
    /// What is wrong, as a clause without a full stop.
    pub message: String,
    /// What would mend it.
    pub help: String,
}

impl Fault {
    /// The fault with its words on one line each, whatever was quoted from a table.
    pub(crate) fn on_one_line(mut self) -> Self {
        for text in [&mut self.message, &mut self.help] {
            if text.contains(['\n', '\r']) {
                *text = text.split(['\n', '\r']).map(str::trim).collect::<Vec<_>>().join(" ");
            }
        }
        self
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} ({})\n  help: {}", self.place, self.message, self.slug, self.help)
    }
}

impl std::error::Error for Fault {}

/// What deserves a look, though everything can be computed.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Warning {
    /// Where it stands.
    pub place: Place,
    /// The fixed word by which programs know this sort of warning.
    pub slug: &'static str,
    /// The dimension or check that it is about.
    pub name: String,
    /// What is odd, as a clause.
    pub message: String,
    /// What can be done about it.
    pub help: String,
}
