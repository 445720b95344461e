//! Every formula and tolerance of a design evaluated a second time, by another engine: a second
//! pair of eyes.
//!
//! The first engine is Setout's own. This crate takes from it the texts of the formulas, what their
//! names stand for, and the results, which it sets beside its own. It reads the texts itself, has a
//! table of units of its own to other base units, its own order of evaluation, the functions of the
//! standard library, and evalexpr for the arithmetic. It reads the data files of hardware and fits
//! itself, and solves linkages and tolerance classes by other methods. An error of reading, of
//! precedence, of a factor, of a function, of a column or a range in one of the two then shows as a
//! difference.
//!
//! [`repeat`] does it for a design that has been evaluated. Every value is computed from the chosen
//! ones alone, not from the first engine's. Only where the two differ is a formula computed once
//! more from the first engine's inputs, to tell where a difference begins from where it is passed
//! on.
//!
//! ```
//! use setout_design::{Design, Memory};
//! let texts = Memory::new([
//!     ("design.yaml", "setout: 1\n"),
//!     ("jaw.yaml", "dimensions:\n  width: 62 mm\n  slant: width / cos(30 deg)\n"),
//! ]);
//! let evaluation = Design::read(&texts).evaluate();
//! let repeat = setout_independent::repeat(&evaluation);
//! assert!(repeat.agrees() && repeat.not_repeated.is_empty());
//! assert_eq!(repeat.compared, 3, "two dimensions, and the mass of all parts together");
//!
//! // A list of formulas can be repeated as well. Had the first engine been wrong about one:
//! let mut formulas = evaluation.formulas();
//! formulas[1].written = "width / sin(30 deg)".into();
//! let repeat = setout_independent::repeat_formulas(&formulas, &evaluation.moneys());
//! assert_eq!(&*repeat.differences[0].name, "jaw.slant");
//! ```

mod agreement;
mod conditions;
mod engine;
mod factors;
mod fits;
mod functions;
mod hardware;
mod judged;
pub mod limits;
mod linkages;
mod mathematics;
mod order;
mod prepared;
mod reader;
mod refusal;
mod run;
mod shake;
mod tables;
mod token;
mod tolerance;

use std::sync::Arc;

use setout_design::{Amount, Evaluation, Place, Role, WrittenFormula};

use factors::Factors;
pub use refusal::Refusal;

/// What came of evaluating every formula and tolerance a second time.
#[derive(Clone, Debug, Default)]
pub struct Repeat {
    /// How many values agree; a tolerance has two.
    pub compared: usize,
    /// How many of these are small differences of large numbers. They agree not to 1e-12 of
    /// themselves, but to what a change of 1e-13 in each number of the formula can make, and to
    /// 1e-9 of their unit.
    pub by_last_digits: usize,
    /// How many differ only because something differs that they name.
    pub followed: usize,
    /// Where the two engines come to different values from the same inputs.
    pub differences: Vec<Difference>,
    /// What was not evaluated a second time.
    pub not_repeated: Vec<NotRepeated>,
}

impl Repeat {
    /// Whether no value differs.
    pub fn agrees(&self) -> bool {
        self.differences.is_empty() && self.followed == 0
    }
}

/// A formula to which the two engines give different values.
#[derive(Clone, Debug)]
pub struct Difference {
    /// The full name of what it belongs to.
    pub name: Arc<str>,
    /// What it is to that.
    pub role: Role,
    /// Where it stands.
    pub place: Place,
    /// The formula as written.
    pub written: String,
    /// What the first engine came to.
    pub first: Amount,
    /// What the second came to, in the same unit; absent where it has no value.
    pub second: Option<Amount>,
}

/// A formula that was not evaluated a second time.
#[derive(Clone, Debug)]
pub struct NotRepeated {
    /// The full name of what it belongs to.
    pub name: Arc<str>,
    /// What it is to that.
    pub role: Role,
    /// Why.
    pub why: Refusal,
}

/// Evaluates all formulas and tolerances of a design a second time.
pub fn repeat(evaluation: &Evaluation) -> Repeat {
    repeat_formulas(&evaluation.formulas(), &evaluation.moneys())
}

/// Evaluates formulas a second time. `moneys` are the symbols of all moneys and what each is worth
/// in the currency.
pub fn repeat_formulas(formulas: &[WrittenFormula], moneys: &[(String, f64)]) -> Repeat {
    run::run(formulas, &Factors::with_moneys(moneys))
}
