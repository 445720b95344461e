//! Kinds of quantity, units, and numbers with units.
//!
//! Setout keeps every value as one `f64` in base units: mm, deg, g, s, A, K and the design's
//! currency. These units are the workshop's, so what is written in mm and degrees is kept, and
//! exported, exactly as written. A [`Kind`] says what a value measures, a [`Unit`] how it is
//! written, and [`Units`] holds all units that a design knows. The units themselves are data:
//! `data/units.csv`, a row each with its source.
//!
//! ```
//! use setout_quantity::Units;
//! let units = Units::standard();
//! let inch = units.read("in")?;
//! assert_eq!(inch.to_base(2.5), 63.5);       // mm
//! assert_eq!(inch.from_base(63.5), 2.5);
//! assert_eq!(units.describe(inch.kind()), "a length");
//! # Ok::<(), setout_quantity::UnitFault>(())
//! ```

mod kind;
pub mod limits;
mod nearest;
mod print;
mod ratio;
mod read;
mod unit;
mod units;

pub use kind::{BASE_KINDS, BASE_UNITS, Kind};
pub use nearest::nearest;
pub use print::{rounded, shortest};
pub use ratio::Ratio;
pub use read::{UnitFault, is_unit_char};
pub use unit::Unit;
pub use units::{UnitRow, Units};
