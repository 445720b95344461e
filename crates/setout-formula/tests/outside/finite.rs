//! Infinity, not-a-number and a negative zero are never values, whatever the numbers are.

use setout_formula::{Formula, Machine, Texts};

use crate::grow::{Grower, NAMES, Numbers, kind_of, spellings};
use crate::random::Random;
use crate::tree::{Language, Tree};
use crate::units::{LENGTH, UNITS};
use crate::{Named, evaluated, known_units, meanings, slots};

/// Random formulas of zeros and of the ends of what floats can hold, with values for their names.
fn extremes(grow: impl Fn(&mut Grower<'_>, usize) -> Tree) -> (u64, Vec<(String, Vec<Named>)>) {
    let (mut random, seed) = Random::seeded();
    let mut grower = Grower { random: &mut random, numbers: Numbers::Extreme, plain: false };
    let one = |turn: usize| {
        let tree = grower.formula(|grower| grow(grower, 1 + turn % 4));
        let values = grower.values();
        let names = NAMES.iter().zip(values);
        let names = names.map(|((name, dims), value)| (*name, kind_of(*dims), value)).collect();
        (tree.written(Language::Ours, &spellings()), names)
    };
    (seed, (0..5000).map(one).collect())
}

#[test]
fn values_are_finite_and_never_a_negative_zero() {
    let (seed, formulas) = extremes(|grower, depth| {
        let unit = grower.random.below(UNITS.len());
        grower.quantity(UNITS[unit].dims, depth)
    });
    let mut values = 0;
    for (text, names) in &formulas {
        match evaluated(text, names) {
            Ok(value) => {
                assert!(value.is_finite(), "seed {seed}: {text} with {names:?} is {value}");
                let negative_zero = value == 0.0 && value.is_sign_negative();
                assert!(!negative_zero, "seed {seed}: {text} with {names:?} is -0");
                values += 1;
            }
            Err(fault) => {
                assert!(
                    matches!(fault.slug(), "domain" | "too-large"),
                    "{seed}: {text}: {fault:?}"
                );
            }
        }
    }
    println!("seed {seed}: {values} values, {} without", formulas.len() - values);
    assert!(values > 1000 && values < 4500, "{values} of {}", formulas.len());
}

#[test]
fn margins_are_finite() {
    let (seed, formulas) = extremes(|grower, depth| grower.condition(Some(LENGTH), depth));
    let mut margins = 0;
    for (text, names) in &formulas {
        let (formula, faults) = Formula::read(text, &known_units());
        let Some(formula) = formula.filter(|_| faults.is_empty()) else { continue };
        let meanings = meanings(&formula, names);
        let requirement = formula.requirement(&meanings, &known_units(), &mut Texts::default());
        let requirement = requirement.unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
        let outcome = requirement.outcome(&mut Machine::default(), &slots(names), 1e-9);
        if let Ok(Some(margin)) = outcome.map(|outcome| outcome.margin) {
            assert!(margin.is_finite(), "seed {seed}: {text} with {names:?}: {margin}");
            margins += 1;
        }
    }
    assert!(margins > 500, "{margins}");
}
