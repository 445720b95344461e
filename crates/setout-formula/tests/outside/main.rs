//! The formula language against things that are not its own: published values, two other engines,
//! and properties that hold of any text and any numbers.
//!
//! Random formulas are grown from a seed, which every failure prints; `SETOUT_TEST_SEED` sets
//! another one.

#![expect(
    clippy::print_stdout,
    reason = "tests show what they measured and which formula they met"
)]

mod anything;
mod blocks;
mod bounds;
mod elementary;
mod enclosures;
mod expressions;
mod finite;
mod functions;
mod grow;
mod judge;
mod judged;
mod kinds;
mod laziness;
mod printed;
mod programs;
mod python;
mod random;
mod requirements;
mod second_engine;
mod slips;
mod steps;
mod tree;
mod units;

use setout_formula::{Formula, FormulaFault, Machine, Meaning, Texts, Type};
use setout_quantity::{Kind, Units};

/// A name of a formula: how it is spelt, what it measures, and its value in base units.
pub(crate) type Named = (&'static str, Kind, f64);

/// The units of these tests.
pub(crate) fn known_units() -> Units {
    Units::standard().with_currency("GBP")
}

/// A formula's value in base units.
pub(crate) fn evaluated(text: &str, names: &[Named]) -> Result<f64, FormulaFault> {
    let units = known_units();
    let (formula, mut faults) = Formula::read(text, &units);
    if !faults.is_empty() {
        return Err(faults.remove(0));
    }
    let formula = formula.expect("a formula without faults");
    let meanings = meanings(&formula, names);
    let compiled = formula
        .compile(&meanings, &units, &mut Texts::default())
        .map_err(|mut faults| faults.remove(0))?;
    let slots = slots(names);
    let value = Machine::default().run(&compiled.code, &slots);
    value.map_err(|stop| formula.explain(&stop, &meanings, &units, &Texts::default()))
}

/// What the names of a formula stand for: each of `names` is the slot of its index.
pub(crate) fn meanings(formula: &Formula, names: &[Named]) -> Vec<Meaning<'static>> {
    let meaning = |name: &str| match names.iter().position(|(known, ..)| *known == name) {
        Some(slot) => Meaning::Value { slot: slot as u32, of: Type::Quantity(names[slot].1) },
        None => Meaning::Unknown,
    };
    formula.names().iter().map(|used| meaning(&used.name)).collect()
}

/// The values of the names, a slot each.
pub(crate) fn slots(names: &[Named]) -> Vec<f64> {
    names.iter().map(|(.., value)| *value).collect()
}

/// How far two numbers are apart, measured by the second; a difference of zeros is 0.
pub(crate) fn apart(found: f64, wanted: f64) -> f64 {
    if found == wanted { 0.0 } else { ((found - wanted) / wanted).abs() }
}
