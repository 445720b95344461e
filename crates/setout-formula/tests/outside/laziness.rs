//! What is not needed is not computed: a part without a value hurts only where it decides.

use crate::grow::{Grower, NAMES, Numbers, kind_of, spellings};
use crate::random::Random;
use crate::tree::Language;
use crate::units::LENGTH;
use crate::{Named, evaluated};

/// Lengths that have no value.
const WITHOUT_VALUE: [&str; 8] = [
    "1 mm / 0",
    "sqrt(0 mm^2 - 1 mm^2)",
    "ln(0) * 1 mm",
    "arc_length(1 mm, acos(2))",
    "1e308 mm * 1e308",
    "tan(90 deg) * 1 mm",
    "clamp(1 mm, 3 mm, 2 mm)",
    "atan2(0, 0) * 1 mm / 1 deg",
];

/// Checks what is made of a condition, its value, a length and one without value.
fn for_random_formulas(check: impl Fn(&str, &str, &str, &[Named])) {
    let (mut random, seed) = Random::seeded();
    let mut checked = 0;
    while checked < 1000 {
        let mut grower = Grower { random: &mut random, numbers: Numbers::Usual, plain: false };
        let condition = grower.condition(None, 2).written(Language::Ours, &spellings());
        let length = grower.quantity(LENGTH, 2).written(Language::Ours, &spellings());
        let values = NAMES.iter().zip(grower.values());
        let names: Vec<_> =
            values.map(|((name, dims), value)| (*name, kind_of(*dims), value)).collect();
        let without = random.one_of(&WITHOUT_VALUE);
        if evaluated(&condition, &names).is_ok() && evaluated(&length, &names).is_ok() {
            println!("seed {seed}: {condition} | {length} | {without}");
            check(&condition, &length, without, &names);
            checked += 1;
        }
    }
}

#[test]
fn if_computes_only_the_arm_that_it_takes() {
    for_random_formulas(|condition, length, without, names| {
        let arms = [(length, without), (without, length)];
        let [then, otherwise] =
            arms.map(|(a, b)| evaluated(&format!("if({condition}, {a}, {b})"), names));
        let (taken, other) = match evaluated(condition, names) {
            Ok(1.0) => (then, otherwise),
            _ => (otherwise, then),
        };
        assert_eq!(taken, evaluated(length, names));
        assert_eq!(other.unwrap_err().slug(), "domain");
    });
}

#[test]
fn and_and_or_stop_when_the_left_side_decides() {
    for_random_formulas(|condition, length, without, names| {
        let truth = evaluated(condition, names).unwrap();
        let (stops, goes_on) = if truth == 0.0 { ("&&", "||") } else { ("||", "&&") };
        let joined =
            |sign: &str| evaluated(&format!("({condition}) {sign} {without} > {length}"), names);
        assert_eq!(joined(stops), Ok(truth));
        assert_eq!(joined(goes_on).unwrap_err().slug(), "domain");
    });
}
