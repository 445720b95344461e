//! What must hold of any input at all, a function a target. None may panic, hang or fill the
//! memory; each panics itself where an answer is not what it must be.
//!
//! The functions are used twice: under a fuzzer, which looks for inputs, and in
//! `crates/setout/tests/corpus.rs`, which goes through the inputs that are kept. Inputs are texts
//! that can be read and written by hand: how they hold a design of several files, or an edit,
//! stands in `texts.rs` and `edits.rs`.

mod assess;
mod compare;
mod draws;
mod edit;
mod edits;
mod flat;
mod formula;
mod import;
mod independent;
mod looked_at;
mod proved;
mod rename;
mod roomy;
mod stacked;
mod table;
mod texts;

pub use assess::{assess, is_assessed};
pub use compare::compare;
pub use edit::{edit, is_edited};
pub use formula::formula;
pub use import::import;
pub use independent::independent;
pub use table::table;

/// A target: its name, which is that of its folder of inputs too, and its function.
pub type Target = (&'static str, fn(&[u8]));

/// All targets.
pub const TARGETS: [Target; 7] = [
    ("formula", formula),
    ("table", table),
    ("edit", edit),
    ("import", import),
    ("compare", compare),
    ("independent", independent),
    ("assess", assess),
];
