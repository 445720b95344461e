//! What other programs read of a design: OpenSCAD variables, CSV; and what reviewers read of
//! what was found in it.
//!
//! A [`Sheet`] holds the values of an evaluated design in plain form, as [`sheet()`] takes them from
//! it; a [`Format`] draws it as
//! the text of one file. Both are pure: nothing is read or written here, there is no clock, and
//! equal sheets give equal bytes. Every file carries a fingerprint of the names, values and
//! units in it, so that [`standing`] can tell a file that is out of date from one that a hand
//! has changed, and both from one that was never ours.
//!
//! ```
//! use setout_export::{Item, Role, Sheet, Standing, Value, format_named, standing};
//!
//! let width = Item::new("jaw.width", Role::Chosen, Value::Number(62.0), "mm");
//! let sheet = Sheet { design: "Old Bracken".into(), items: vec![width] };
//!
//! let openscad = format_named("openscad").expect("a format of ours");
//! let text = openscad.write(&sheet).expect("nothing in the way");
//! assert!(text.contains("\njaw_width = 62; // mm\n"));
//!
//! let by_hand = text.replace("62", "63");
//! assert_eq!(standing(openscad, Some(by_hand.as_bytes()), &text), Standing::EditedByHand);
//! ```
//!
//! A new format is a module with one type behind [`Format`] and a line in [`formats`]. It says
//! how it writes, and how its own files are read back to [`Entry`] values; the fingerprint and
//! the standings follow from these.

mod csv;
mod evaluated;
mod fault;
mod fingerprint;
mod format;
pub mod limits;
mod number;
mod openscad;
mod review;
mod sheet;
mod standing;
mod target;
mod text;

pub use crate::csv::{Csv, guarded, records, unguarded};
pub use crate::evaluated::{export_faults, export_text, sheet};
pub use crate::fault::ExportFault;
pub use crate::fingerprint::{Entry, fingerprint};
pub use crate::format::{Format, format_named, formats};
pub use crate::limits::{LARGEST_EXPORT, within_export};
pub use crate::openscad::OpenScad;
pub use crate::review::{
    About, Finding, MOST_ERRORS, MOST_RESULTS, MOST_WARNINGS, Outcome, RULES, Report, ReportForm,
    Rule, Spot, write_report,
};
pub use crate::sheet::{Item, Measure, Role, Sheet, Value};
pub use crate::standing::{Standing, standing};
pub use crate::target::{TargetFault, check_target};
pub use crate::text::one_line;
