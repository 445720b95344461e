//! Setout as a library: the dimensions of a mechanism in many pieces, evaluated, checked,
//! compared and exported.
//!
//! A design is a folder of tables with one `design.yaml`. Open it from disk, from a git revision
//! or from memory: evaluating is the same function for all three.
//!
//! ```
//! use setout::{Comparison, Design, Memory, export_text, format_named};
//!
//! let texts = Memory::new([
//!     ("design.yaml", "setout: 1\nname: a jaw\n"),
//!     ("jaw.yaml", "dimensions:\n  width: 62 mm\n  inner: width - 6 mm\n"),
//! ]);
//! let design = Design::read(&texts);
//! let before = design.evaluate();
//! assert!(before.faults().is_empty());
//! assert_eq!(before.value("jaw.inner").unwrap().to_string(), "56 mm");
//!
//! // What would another width touch? Nothing on disk changes.
//! let after = design.with(&[("jaw.width", "64 mm")]).expect("a good edit").evaluate();
//! let impact = Comparison::of(&before, &after);
//! assert_eq!(impact.changed[0].name, "jaw.inner");
//! assert_eq!(impact.changed[0].because, ["jaw.width"]);
//!
//! let scad = export_text(&after, format_named("openscad").unwrap()).unwrap();
//! assert!(scad.contains("jaw_inner = 58;"));
//! ```
//!
//! On disk, [`Folder::find`] walks up to the design and [`Revision::open`] reads it as it was:
//!
//! ```no_run
//! use setout::{Comparison, Design, Folder, Revision};
//! let folder = Folder::find(std::path::Path::new("."))?;
//! let now = Design::read(&folder).evaluate();
//! let then = Design::read(&Revision::open(&folder, "HEAD")?).evaluate();
//! for edit in &Comparison::of(&then, &now).edits {
//!     println!("{} changed", edit.name);
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod history;
pub mod limits;

pub use history::{
    Cause, Change, End, Here, History, HistoryError, Since, Skipped, Turn, Turned, Unfollowed, Why,
    value_of, verdict_here, verdict_of,
};
pub use setout_assess::limits::{MOST_BOXES, MOST_SAMPLES};
pub use setout_assess::{
    Asked, BOXES, CONFIDENCE, Capability, Capable, Contributor, End as HeadroomEnd, Halved,
    Headroom, Least, Loosest, Move, NoHeadroom, NoStack, Note as StackNote, Odds, OverTravel,
    Progress, Rss, SAMPLES, SAMPLES_OVER_TRAVEL, Simulated, Stack, THREE_SIGMA, Toleranced, Wanted,
    Work, Worst, assess, beyond, deviations_for, headroom, headrooms, mends, prove, stack, state,
};
pub use setout_design::*;
pub use setout_export::{
    About, Csv, ExportFault, Finding, Format, LARGEST_EXPORT, OpenScad, Outcome, RULES, Report,
    ReportForm, Rule, Sheet, Spot, Standing, TargetFault, check_target, export_faults, export_text,
    format_named, formats, sheet, standing, within_export, write_report,
};
pub use setout_formula::{FUNCTIONS, Formula, Function, LINKAGES};
pub use setout_import::{
    Form, ImportError, Imported, LARGEST as LARGEST_IMPORT, LeftOut, Renamed, import, is_name,
    plain_name,
};
pub use setout_independent as independent;
pub use setout_quantity::{Kind, Unit, UnitRow, Units, nearest, rounded, shortest};
pub use setout_release::{
    BundleFault, Claim, Commit, LARGEST_BUNDLE, Letter, Moment, Number, Past, Proof, Proved,
    Record, RecordFault, RecordedExport, RecordedFile, RecordedMeasure, RecordedPart, Release,
    ReleaseFault, ReleasedPart, Turn as ReleasedTurn, Verdicts, Wishes, bundle_path, draw_up,
    record_letter, record_path, released_design, releases_folder, sha256, verify,
};
pub use setout_standards as standards;
pub use setout_store::{
    Date, FindError, Folder, GitError, GitSettings, MOST_REVISIONS, Pair, Point, ProgramFound,
    Replacement, Revision, RevisionError, Revisions, Sides, Storage, Unfinished, Walk, WriteError,
    installed, replace_file, spec_pair,
};

/// The programs of the document about the library, compiled and run.
#[cfg(doctest)]
#[doc = include_str!("../../../docs/library.md")]
struct LibraryDocument;
