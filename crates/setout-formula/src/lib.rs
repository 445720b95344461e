//! Formulas with units: text to typed flat code, and its evaluation.
//!
//! The road of a formula: [`Formula::read`] takes text to a tree and keeps byte spans of
//! everything; [`Formula::compile`] checks the kind of every part, given what the names stand
//! for, and writes flat [`Code`]; a [`Machine`] runs the code over slots of plain floats. Nothing
//! is computed before every kind is known to fit, and a function without a value for its numbers
//! stops with the numbers that led there: infinity and not-a-number are never results.
//!
//! ```
//! use setout_formula::{Formula, Machine, Meaning, Texts, Type};
//! use setout_quantity::{Kind, Units};
//!
//! let units = Units::standard();
//! let (formula, faults) = Formula::read("width - 2 * (wall + 1.5 mm)", &units);
//! assert!(faults.is_empty());
//! let formula = formula.unwrap();
//!
//! let length = Type::Quantity(Kind::LENGTH);
//! let names = [Meaning::Value { slot: 0, of: length }, Meaning::Value { slot: 1, of: length }];
//! let compiled = formula.compile(&names, &units, &mut Texts::default()).unwrap();
//! assert_eq!(compiled.of, length);
//! assert_eq!(Machine::default().run(&compiled.code, &[62.0, 3.0]), Ok(53.0));
//! ```

mod block;
mod block_loops;
mod block_values;
mod bounds;
mod centred;
mod code;
mod compile;
mod elementary;
mod enclosure;
mod explain;
mod fault;
mod formula;
mod functions;
mod given;
mod interval;
mod judged;
pub mod limits;
mod line;
mod linkages;
mod lookup;
mod parse;
mod print;
mod program;
mod reading;
mod requirement;
mod shown;
mod slope;
mod span;
mod syntax;
mod texts;
mod token;
mod typing;

pub use block::{BlockMachine, Samples};
pub use bounds::Bounds;
pub use centred::Centred;
pub use code::{Code, Machine, Stop};
pub use enclosure::{Closes, Decoration, Enclosure};
pub use fault::{FormulaFault, Wrong};
pub use formula::{Compiled, Formula};
pub use functions::{FUNCTIONS, Function};
pub use given::{Argument, Find, Found, Gives, MOST_PARAMETERS, NotFound, Parameter};
pub use interval::Interval;
pub use judged::Judged;
pub use line::Line;
pub use linkages::LINKAGES;
pub use program::Program;
pub use requirement::{MarginUnit, Outcome, Requirement};
pub use slope::Slope;
pub use span::Span;
pub use syntax::{Comparison, NameUse};
pub use texts::Texts;
pub use typing::{Meaning, Type};
