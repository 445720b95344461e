//! A formula written again is the same formula: same code, and the same when written once more.

use setout_formula::{Code, Formula, Texts};

use crate::grow::{Grower, NAMES, Numbers, kind_of, spellings};
use crate::random::Random;
use crate::tree::Language;
use crate::units::{LENGTH, UNITS};
use crate::{Named, known_units, meanings};

fn read(text: &str) -> Option<Formula> {
    let (formula, faults) = Formula::read(text, &known_units());
    formula.filter(|_| faults.is_empty())
}

fn code(formula: &Formula, names: &[Named]) -> Option<Code> {
    let meanings = meanings(formula, names);
    let compiled = formula.compile(&meanings, &known_units(), &mut Texts::default());
    compiled.ok().map(|compiled| compiled.code)
}

fn printed(formula: &Formula) -> String {
    formula.canonical(|index| formula.names()[index].name.to_string())
}

#[test]
fn a_formula_that_is_printed_and_read_again_is_the_same() {
    let (mut random, seed) = Random::seeded();
    let names: Vec<Named> = NAMES.iter().map(|(name, dims)| (*name, kind_of(*dims), 1.0)).collect();
    let mut compared = 0;
    for turn in 0..3000 {
        let mut grower = Grower { random: &mut random, numbers: Numbers::Extreme, plain: false };
        let depth = 1 + turn % 4;
        let tree = if turn % 5 == 0 {
            grower.condition(Some(LENGTH), depth)
        } else {
            let unit = grower.random.below(UNITS.len());
            grower.quantity(UNITS[unit].dims, depth)
        };
        let text = tree.written(Language::Ours, &spellings());
        let Some(first) = read(&text) else { continue };
        let again = printed(&first);
        let Some(second) = read(&again) else {
            // Brackets round everything may be more than a formula can hold.
            assert!(
                again.len() > 2000 || again.contains("(((((((((((((((("),
                "seed {seed}: {text}\n{again}"
            );
            continue;
        };
        assert_eq!(code(&first, &names), code(&second, &names), "seed {seed}: {text}\n{again}");
        assert_eq!(printed(&second), again, "seed {seed}: {text}");
        compared += 1;
    }
    assert!(compared > 2000, "seed {seed}: only {compared}");
}
