//! What a text is, and so how it is coloured. No colour says anything that no word says.

use anstyle::{AnsiColor, Color, Style};
use setout::Verdict;

/// What a piece of text is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ink {
    Plain,
    Heading,
    /// Labels, units and remarks that are read second.
    Faint,
    Place,
    Holds,
    Tight,
    Unknown,
    Fails,
}

impl Ink {
    /// The ink of a verdict.
    pub(crate) fn of(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Holds => Self::Holds,
            Verdict::Tight => Self::Tight,
            Verdict::Unknown => Self::Unknown,
            Verdict::Fails => Self::Fails,
        }
    }

    /// Colours are those of a terminal's own palette, so that they suit its background. Good and
    /// bad are not told apart by green and red alone, which many cannot see.
    pub(super) fn style(self) -> Style {
        let colour = |colour: AnsiColor| Style::new().fg_color(Some(Color::Ansi(colour)));
        match self {
            Self::Plain => Style::new(),
            Self::Heading => Style::new().bold(),
            Self::Faint => Style::new().dimmed(),
            Self::Place => Style::new().underline(),
            Self::Holds => colour(AnsiColor::Cyan),
            Self::Tight => colour(AnsiColor::Yellow),
            Self::Unknown => colour(AnsiColor::Magenta).bold(),
            Self::Fails => colour(AnsiColor::Red).bold(),
        }
    }
}
