//! A check's outcome against the same text read as a formula of truth.

use setout_formula::{Formula, Machine, Outcome, Stop, Texts};

use crate::grow::{Grower, NAMES, Numbers, kind_of, spellings};
use crate::random::Random;
use crate::tree::{Language, Tree};
use crate::units::LENGTH;
use crate::{Named, evaluated, known_units, meanings, slots};

/// Margins of no more than this count as 0.
const ZERO: f64 = 1e-9;

fn outcome(text: &str, names: &[Named], zero: f64) -> Result<Outcome, Stop> {
    let formula = Formula::read(text, &known_units()).0.expect("a formula");
    let meanings = meanings(&formula, names);
    let requirement = formula.requirement(&meanings, &known_units(), &mut Texts::default());
    let requirement = requirement.unwrap_or_else(|faults| panic!("{text}: {faults:?}"));
    requirement.outcome(&mut Machine::default(), &slots(names), zero)
}

/// Checks random conditions that have a value: whether each holds, its tree, text and names.
fn for_random_conditions(check: impl Fn(bool, &Tree, &str, &[Named])) {
    let (mut random, seed) = Random::seeded();
    let mut found = [0, 0];
    while found[0].min(found[1]) < 300 || found[0] + found[1] < 1000 {
        let mut grower = Grower { random: &mut random, numbers: Numbers::Usual, plain: false };
        let tree = grower.formula(|grower| grower.condition(Some(LENGTH), 1 + found[0] % 4));
        let text = tree.written(Language::Ours, &spellings());
        let values = NAMES.iter().zip(grower.values());
        let names: Vec<_> =
            values.map(|((name, dims), value)| (*name, kind_of(*dims), value)).collect();
        if let Ok(truth) = evaluated(&text, &names) {
            println!("seed {seed}: {text} with {names:?}");
            check(truth != 0.0, &tree, &text, &names);
            found[usize::from(truth != 0.0)] += 1;
        }
    }
}

#[test]
fn a_check_holds_exactly_when_its_formula_is_true() {
    for_random_conditions(|holds, _, text, names| {
        assert_eq!(outcome(text, names, 0.0).map(|outcome| outcome.holds), Ok(holds));
    });
}

#[test]
fn only_margins_that_count_as_nothing_turn_a_check() {
    for_random_conditions(|holds, tree, text, names| {
        let found = outcome(text, names, ZERO).map(|outcome| outcome.holds);
        assert!(found == Ok(holds) || has_equal_sides(tree, names), "{found:?}");
    });
}

/// Whether any two compared sides are no further apart than what counts as nothing.
fn has_equal_sides(tree: &Tree, names: &[Named]) -> bool {
    let value = |tree: &Tree| evaluated(&tree.written(Language::Ours, &spellings()), names);
    tree.parts().into_iter().any(|part| match part {
        Tree::Binary("<" | "<=" | ">" | ">=", a, b) => {
            matches!((value(a), value(b)), (Ok(a), Ok(b)) if (a - b).abs() <= ZERO)
        }
        _ => false,
    })
}

#[test]
fn a_margin_is_never_on_the_other_side_of_its_verdict() {
    for_random_conditions(|_, _, text, names| {
        let Outcome { holds, margin } = outcome(text, names, ZERO).unwrap();
        let margin = margin.unwrap_or(0.0);
        assert!(if holds { margin >= 0.0 } else { margin <= 0.0 }, "{holds} by {margin}");
    });
}

/// `!` turns a check and keeps how far it is from turning, but for margins of nothing.
#[test]
fn a_denied_check_has_the_margin_with_the_other_sign() {
    for_random_conditions(|_, tree, text, names| {
        let plain = outcome(text, names, ZERO).unwrap();
        let denied = outcome(&format!("!({text})"), names, ZERO).unwrap();
        if !has_equal_sides(tree, names) {
            assert_eq!(denied.holds, !plain.holds);
            assert_eq!(denied.margin, plain.margin.map(|margin| 0.0 - margin));
        }
    });
}
