//! Which paths a design may name as the target of an export.

use std::error::Error;
use std::fmt;

use crate::format::Format;
use crate::text::is_hidden;

/// What is wrong with the path of an export. That it stays inside the root is for the caller to
/// see to, who knows where that is.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum TargetFault {
    /// It is empty, begins or ends with `/`, or holds `//`.
    EmptyPart,
    /// It holds a character that some system gives a meaning of its own, or that is invisible.
    BadCharacter {
        /// The character.
        character: char,
    },
    /// A part begins with a dot: `.git`, `.`, or a `..` that is not at the beginning.
    DotPart {
        /// The part.
        part: String,
    },
    /// A part ends with a dot or a blank, which some systems take off.
    BadEnding {
        /// The part.
        part: String,
    },
    /// A part is the name of a device on Windows.
    DeviceName {
        /// The part.
        part: String,
    },
    /// The ending is not one of the format's.
    WrongExtension {
        /// The name of the format.
        format: &'static str,
        /// The endings that fit, without the dot.
        expected: &'static [&'static str],
    },
}

impl fmt::Display for TargetFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::EmptyPart => {
                f.write_str("the path is empty, absolute, or has nothing between two slashes")
            }
            Self::BadCharacter { character: '\\' } => {
                f.write_str("the parts of a path are parted by /, not by \\")
            }
            Self::BadCharacter { character } => {
                write!(f, "{character:?} may not stand in a path")
            }
            Self::DotPart { part } => write!(
                f,
                "{part:?} begins with a dot; only leading .. parts may, to go up from the design"
            ),
            Self::BadEnding { part } => write!(f, "{part:?} ends with a dot or a blank"),
            Self::DeviceName { part } => write!(f, "{part:?} is the name of a device on Windows"),
            Self::WrongExtension { format, expected } => {
                write!(f, "a file of format {format} ends with .{}", expected.join(" or ."))
            }
        }
    }
}

impl Error for TargetFault {}

/// Whether a design may name this path, relative to its `design.yaml`, as the target of an
/// export in this format. The same paths are good on every system.
///
/// # Errors
/// The first thing that is wrong with the path.
pub fn check_target(format: &dyn Format, path: &str) -> Result<(), TargetFault> {
    let is_bad = |&c: &char| is_hidden(c) || "\\:<>\"|?*".contains(c);
    if let Some(character) = path.chars().find(is_bad) {
        return Err(TargetFault::BadCharacter { character });
    }
    path.split('/').skip_while(|&part| part == "..").try_for_each(check_part)?;
    check_extension(format, path)
}

fn check_part(part: &str) -> Result<(), TargetFault> {
    let named = || part.to_owned();
    if part.is_empty() {
        Err(TargetFault::EmptyPart)
    } else if part.starts_with('.') {
        Err(TargetFault::DotPart { part: named() })
    } else if part.ends_with(['.', ' ']) {
        Err(TargetFault::BadEnding { part: named() })
    } else if is_device(part) {
        Err(TargetFault::DeviceName { part: named() })
    } else {
        Ok(())
    }
}

/// `con`, `con.scad` and `CON .tar.gz` are all the same device.
fn is_device(part: &str) -> bool {
    let stem = part.split('.').next().unwrap_or_default().trim_end_matches(' ');
    let stem = stem.to_ascii_uppercase();
    let numbered = stem.strip_prefix("COM").or_else(|| stem.strip_prefix("LPT"));
    matches!(stem.as_str(), "CON" | "PRN" | "AUX" | "NUL" | "CONIN$" | "CONOUT$")
        || numbered.is_some_and(|rest| {
            let mut rest = rest.chars();
            rest.next().is_some_and(|c| c.is_ascii_digit() || "¹²³".contains(c))
                && rest.next().is_none()
        })
}

fn check_extension(format: &dyn Format, path: &str) -> Result<(), TargetFault> {
    let file = path.rsplit('/').next().unwrap_or_default();
    let ending = file.rsplit_once('.').map_or("", |(_, ending)| ending);
    let expected = format.extensions();
    if expected.iter().any(|fits| fits.eq_ignore_ascii_case(ending)) {
        Ok(())
    } else {
        Err(TargetFault::WrongExtension { format: format.name(), expected })
    }
}
