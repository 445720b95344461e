//! Whatever keeps a command from its answer, or from all of it.

use setout::{
    ExportFault, Fault, FindError, Place, ReleaseFault, RevisionError, Slug, Source, SourceError,
    WriteError,
};

/// A fault as it is shown: of the design, or of the call, git and files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Trouble {
    /// Where it stands, if it stands in a text.
    pub(crate) place: Option<Place>,
    /// The line that it stands in, where that is to be shown.
    pub(crate) line: Option<String>,
    /// The word by which programs know it.
    pub(crate) slug: &'static str,
    /// What is wrong, as a clause.
    pub(crate) message: String,
    /// What would mend it; empty where nobody knows.
    pub(crate) help: String,
}

/// A word that the call was wrong, beside those of [`Slug`].
pub(crate) const BAD_CALL: &str = "bad-call";

/// So many faults are drawn as text; the others are counted.
pub(crate) const MOST_SHOWN: usize = 50;

impl Trouble {
    /// One that stands in no text.
    pub(crate) fn of_call(
        slug: &'static str,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        Self { place: None, line: None, slug, message: message.into(), help: help.into() }
    }

    /// A call that makes no sense.
    pub(crate) fn bad_call(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self::of_call(BAD_CALL, message, help)
    }

    /// A name that stands for nothing.
    pub(crate) fn not_found(message: impl Into<String>, help: impl Into<String>) -> Self {
        Self::of_call(Slug::NotFound.as_str(), message, help)
    }

    /// The faults of a design; the first of them with the lines that they stand in.
    pub(crate) fn of_design(faults: &[Fault], texts: &dyn Source) -> Vec<Self> {
        let mut lines = Lines { texts, open: None };
        let with_line = |(index, fault): (usize, &Fault)| {
            let shown = index < MOST_SHOWN && !is_whole_file(fault);
            let line = if shown { lines.line(&fault.place) } else { None };
            Self { line, ..Self::from(fault) }
        };
        faults.iter().enumerate().map(with_line).collect()
    }

    /// What stands in the way of an export, at the place of the item that it is about.
    pub(crate) fn of_export(fault: &ExportFault, place: Option<Place>) -> Self {
        let help = fault.help().unwrap_or_default();
        Self { place, ..Self::of_call(fault.slug(), fault.to_string(), help) }
    }
}

/// Whether a fault is of a file as a whole that is too much: its first line tells nothing, and to read
/// it once more could take as much memory as everything else.
fn is_whole_file(fault: &Fault) -> bool {
    fault.slug == Slug::TooLarge && (fault.place.line, fault.place.column) == (1, 1)
}

/// Lines of texts. Faults come sorted by file, so the last file read is all that is kept.
struct Lines<'a> {
    texts: &'a dyn Source,
    open: Option<(String, Vec<u8>)>,
}

impl Lines<'_> {
    fn line(&mut self, place: &Place) -> Option<String> {
        if self.open.as_ref().is_none_or(|(file, _)| **file != *place.file) {
            let bytes = self.texts.read(&place.file).ok()?;
            self.open = Some((place.file.to_string(), bytes));
        }
        let (_, text) = self.open.as_ref()?;
        let text = text.strip_prefix("\u{feff}".as_bytes()).unwrap_or(text);
        line_of(text, place.line).map(|line| String::from_utf8_lossy(line).into_owned())
    }
}

/// A line of a file, counted from 1 as faults count them: behind LF, CRLF or a lone CR. The file may be
/// large, so nothing else of it is copied.
fn line_of(text: &[u8], number: usize) -> Option<&[u8]> {
    let mut rest = text;
    for _ in 1..number {
        let end = rest.iter().position(|byte| matches!(byte, b'\n' | b'\r'))?;
        let both = rest[end..].starts_with(b"\r\n");
        rest = &rest[end + 1 + usize::from(both)..];
    }
    rest.split(|byte| matches!(byte, b'\n' | b'\r')).next()
}

impl From<&Fault> for Trouble {
    fn from(fault: &Fault) -> Self {
        Self {
            place: Some(fault.place.clone()),
            ..Self::of_call(fault.slug.as_str(), fault.message.clone(), fault.help.clone())
        }
    }
}

impl From<FindError> for Trouble {
    fn from(error: FindError) -> Self {
        let slug = match error {
            FindError::Start { .. } | FindError::NoDesign { .. } => Slug::NotFound,
            FindError::Linked { .. } | FindError::NotUtf8 { .. } => Slug::UnsafePath,
            _ => Slug::Io,
        };
        Self::of_call(slug.as_str(), error.to_string(), error.help())
    }
}

impl From<RevisionError> for Trouble {
    fn from(error: RevisionError) -> Self {
        let slug = match error {
            RevisionError::UnknownRevision { .. } => Slug::NotFound.as_str(),
            RevisionError::BadSpec { .. } | RevisionError::NotACommit { .. } => BAD_CALL,
            _ => Slug::Io.as_str(),
        };
        Self::of_call(slug, error.to_string(), error.help())
    }
}

impl From<WriteError> for Trouble {
    fn from(error: WriteError) -> Self {
        let slug = match error {
            WriteError::Unsafe { .. } => Slug::UnsafePath,
            _ => Slug::Io,
        };
        Self::of_call(slug.as_str(), error.to_string(), error.help())
    }
}

impl From<ReleaseFault> for Trouble {
    fn from(fault: ReleaseFault) -> Self {
        let slug = match &fault {
            ReleaseFault::Unread(error) => return error.clone().into(),
            ReleaseFault::Bundle(_) | ReleaseFault::NoLetterLeft => Slug::TooLarge.as_str(),
            ReleaseFault::Already { .. } | ReleaseFault::OtherDesign { .. } => BAD_CALL,
            ReleaseFault::Gap { .. } => Slug::NotFound.as_str(),
            _ => Slug::Io.as_str(),
        };
        Self::of_call(slug, fault.to_string(), fault.help())
    }
}

impl From<SourceError> for Trouble {
    fn from(error: SourceError) -> Self {
        let (slug, help) = match &error {
            SourceError::NotFound { .. } => (Slug::NotFound, "see that the file is there".into()),
            SourceError::Unsafe { .. } => {
                (Slug::UnsafePath, "name an ordinary file below the root of the design".into())
            }
            SourceError::TooLarge { .. } | SourceError::Beyond { .. } => {
                (Slug::TooLarge, "make the file smaller".into())
            }
            SourceError::Unfinished { help, .. } | SourceError::Repository { help, .. } => {
                (Slug::Io, help.clone())
            }
            _ => (Slug::Io, "see that the file can be read".into()),
        };
        Self::of_call(slug.as_str(), error.to_string(), help)
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_SHOWN, line_of};

    #[test]
    fn the_page_on_limits_tells_how_many_faults_are_shown() {
        let page = include_str!("../../../docs/limits.md");
        let row = format!(
            "| faults as text | {MOST_SHOWN} | are counted; `--format json` has them all |"
        );
        assert!(page.contains(&row), "docs/limits.md lacks {row}");
    }

    #[test]
    fn lines_end_as_faults_count_them() {
        let lines =
            |text: &'static [u8]| (1..=4).map_while(|n| line_of(text, n)).collect::<Vec<_>>();
        assert_eq!(lines(b"a\nb\r\nc\rd"), [b"a", b"b", b"c", b"d"]);
        assert_eq!(lines(b"a\n"), [&b"a"[..], b""]);
        assert_eq!(lines(b""), [b""]);
        assert_eq!(lines(b"\r\n\n"), [b"", b"", b""]);
        assert_eq!(lines(b"a\xffb"), [b"a\xffb"]);
    }
}
