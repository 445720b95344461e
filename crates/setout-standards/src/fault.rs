//! What a look-up can end in when it finds nothing.

use std::fmt;

/// Why a table gave no value. [`Display`](fmt::Display) says what is wrong, [`help`](Self::help)
/// what can be written instead.
///
/// ```
/// let fault = setout_standards::thread_pitch("4").unwrap_err();
/// assert_eq!(fault.to_string(), "ISO 724 has no `4`");
/// assert_eq!(fault.help(), "write M4");
/// ```
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum StandardFault {
    /// A size that the table does not hold.
    UnknownSize {
        /// The table's standard.
        table: &'static str,
        /// The size as given.
        size: String,
        /// The size that was meant, when it was only written otherwise.
        meant: Option<&'static str>,
        /// The sizes next to it, at most two.
        near: Vec<&'static str>,
        /// All sizes of the table.
        known: Vec<&'static str>,
    },
    /// A size that stands in the table without the value asked for.
    NoValue {
        /// The table's standard.
        table: &'static str,
        /// The size.
        size: String,
        /// The column, in words.
        what: String,
        /// The sizes that have it.
        known: Vec<&'static str>,
    },
    /// A thread where the size of a shoulder was wanted.
    ThreadForShoulder {
        /// The thread as given.
        thread: String,
        /// The shoulders that have it.
        with_it: Vec<&'static str>,
        /// All shoulders of the table.
        known: Vec<&'static str>,
    },
    /// A series, a sort of head, a grade or a class that is not held.
    UnknownWord {
        /// What it should have been: `series`, `head`, `grade` or `class`.
        what: &'static str,
        /// The standard.
        table: &'static str,
        /// The word as given.
        word: String,
        /// What was probably meant.
        near: Option<String>,
        /// What could be written: all there are, or of classes those of the same letter.
        known: Vec<&'static str>,
    },
    /// A size outside of the ranges of a table, or no number.
    OutOfRange {
        /// The table's standard.
        table: &'static str,
        /// The size in mm.
        size_mm: f64,
        /// The end that does not belong to the range, in mm.
        over_mm: f64,
        /// The end that does, in mm.
        to_mm: f64,
    },
    /// A grade that the standard does not use for so small a size.
    NotUsed {
        /// The table's standard.
        table: &'static str,
        /// The grade.
        grade: String,
        /// The size in mm.
        size_mm: f64,
        /// Over which size it is used, in mm.
        over_mm: f64,
    },
    /// A fit that is no hole class, a stroke and a shaft class.
    NoFit {
        /// The fit as given.
        fit: String,
        /// The fit that was probably meant.
        meant: Option<String>,
    },
}

impl fmt::Display for StandardFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownSize { table, size, .. } => write!(f, "{table} has no `{size}`"),
            Self::NoValue { table, size, what, .. } => {
                write!(f, "{table} has no {what} for `{size}`")
            }
            Self::ThreadForShoulder { thread, .. } => {
                write!(
                    f,
                    "`{thread}` is a thread, and shoulder screws are named by their shoulders"
                )
            }
            Self::UnknownWord { what, table, word, .. } => {
                write!(f, "`{word}` is no {what} of {table} that is held here")
            }
            Self::OutOfRange { table, size_mm, .. } => {
                write!(f, "a size of {size_mm} mm is outside of the ranges of {table} held here")
            }
            Self::NotUsed { table, grade, size_mm, .. } => {
                write!(f, "{table} does not use {grade} for a size of {size_mm} mm")
            }
            Self::NoFit { fit, .. } => {
                write!(f, "`{fit}` is no fit: a hole class, a stroke and a shaft class")
            }
        }
    }
}

impl std::error::Error for StandardFault {}

impl StandardFault {
    /// What can be written instead.
    pub fn help(&self) -> String {
        match self {
            Self::UnknownSize { meant: Some(meant), .. } => format!("write {meant}"),
            Self::UnknownSize { near, known, .. } => match near.as_slice() {
                [] => format!("it has {}", known.join(", ")),
                [one] => format!("next to it is {one}; it has {}", known.join(", ")),
                more => {
                    format!("next to it are {}; it has {}", more.join(" and "), known.join(", "))
                }
            },
            Self::NoValue { known, .. } => {
                format!(
                    "it has one for {}; measure the part, and write what you measured",
                    known.join(", ")
                )
            }
            Self::ThreadForShoulder { with_it, known, .. } if with_it.is_empty() => {
                format!("the shoulders are {}", known.join(", "))
            }
            Self::ThreadForShoulder { thread, with_it, .. } => {
                format!("shoulders with the thread {thread}: {}", with_it.join(", "))
            }
            Self::UnknownWord { near: Some(near), known, .. } => {
                format!("did you mean {near}? It can be {}", known.join(", "))
            }
            Self::UnknownWord { known, .. } => format!("it can be {}", known.join(", ")),
            Self::OutOfRange { over_mm, to_mm, .. } => {
                format!("the ranges go from over {over_mm} mm up to and including {to_mm} mm")
            }
            Self::NotUsed { grade, over_mm, .. } => {
                format!("{grade} is for sizes over {over_mm} mm; write the tolerance itself")
            }
            Self::NoFit { meant: Some(meant), .. } => {
                format!("write {meant}: the hole comes first")
            }
            Self::NoFit { .. } => "write it as H7/g6: the hole first, in capitals".into(),
        }
    }
}
