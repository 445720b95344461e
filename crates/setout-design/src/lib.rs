//! Tables of dimensions to a graph, values, verdicts, comparisons and edits. Pure: no clock, no
//! terminal, no files but through a [`Source`].
//!
//! The road of a design: a [`Source`] gives texts; [`Design::read`] takes them to tables, looks
//! up every name, orders the one graph and checks every kind; [`Design::evaluate`] computes all
//! values and verdicts; [`Comparison::of`] sets two evaluations side by side.
//!
//! ```
//! use setout_design::{Design, Memory, Verdict};
//! let texts = Memory::new([
//!     ("design.yaml", "setout: 1\n"),
//!     ("jaw.yaml", "dimensions:\n  width: 62 mm\n  gap: width / 2 - 30 mm\n\
//!                   checks:\n  room: { require: gap >= 0.5 mm, why: it must not rub }\n"),
//! ]);
//! let evaluation = Design::read(&texts).evaluate();
//! assert!(evaluation.faults().is_empty());
//! assert_eq!(evaluation.value("jaw.gap").unwrap().to_string(), "1 mm");
//! let room = &evaluation.checks()[0];
//! assert_eq!((room.verdict, room.margin), (Verdict::Holds, Some(0.5)));
//! ```

mod amount;
mod both;
pub mod cad;
mod care;
mod caution;
mod common;
mod comparison;
mod design;
mod document;
mod edit;
mod evaluate;
mod evaluation;
mod excerpt;
mod fault;
mod fields;
mod filled;
mod fingerprint;
mod formulas;
mod hardware;
pub mod limits;
mod live;
mod material;
mod mechanism;
pub mod merge;
mod model;
mod paths;
mod rename;
pub mod schema;
mod source;
mod subject;
mod trace;
mod values;
mod verdict;
mod waiting;
pub mod yaml;

pub use amount::Amount;
pub use caution::{CAUTION, bears_on_safety, speaks_of_danger};
pub use comparison::{
    Both, Changed, CheckChange, Comparison, Edited, LimitChange, PartChange, Told, What, likeness,
};
pub use design::Design;
pub use document::{Export, Measured, Process, Shares, Spread, Tolerance, Zone};
pub use edit::{EditFault, TextEdit, Trial};
pub use evaluation::{Counts, DimensionResult, Evaluation, PartResult, ScheduleResult};
pub use excerpt::{
    Excerpt, Excerpts, Held, Stamp, Stamped, Stamps, Unshared, name_after, name_before, names_in,
};
pub use fault::{Fault, Place, Slug, Warning};
pub use fields::{Field, FieldEdit, FieldsEdit, LineEdit};
pub use filled::FilledIn;
pub use formulas::{Role, StandsFor, WrittenFormula};
pub use hardware::HARDWARE;
pub use live::{Handle, Live};
pub use mechanism::{Blocks, Made, Mechanism, Mechanisms, NotComputed, Outcome, Variable};
pub use model::{exported_name, graph};
pub use rename::{ModelUse, MovedLines, Rename, RenamedFile};
pub use source::{LARGEST_FILE, Memory, Source, SourceError};
pub use trace::{Reach, Reached, Step};
pub use values::{ValueLine, ValuesEdit};
pub use verdict::{Assessment, AxisSpan, CheckResult, How, LimitResult, Setting, State, Verdict};
