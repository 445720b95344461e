//! Linkages by two methods, and what a slip in one of them looks like.

use setout_design::{Amount, WrittenFormula};
use setout_independent::{repeat, repeat_formulas};

use crate::random::Random;
use crate::{dimensions, named, of_many, said, with_number};

const ANGLES: [&str; 3] = ["four_bar_output", "four_bar_coupler", "four_bar_transmission"];

/// The poses of random linkages: both circuits of the three angles and of the slider, eight calls a
/// linkage.
fn random_calls(linkages: usize, seed: u64) -> Vec<String> {
    let mut random = Random(seed);
    let mut calls = Vec::new();
    for _ in 0..linkages {
        let mut length = || format!("{}.{:02} mm", 10 + random.below(110), random.below(100));
        let [a, b, c, d] = [(); 4].map(|()| length());
        let angle = format!("{}.{:02} deg", random.below(360), random.below(100));
        let offset = format!("{} mm - 30 mm", random.below(60));
        for circuit in ["open", "crossed"] {
            for function in ANGLES {
                calls.push(format!("{function}({a}, {b}, {c}, {d}, {angle}, \"{circuit}\")"));
            }
            calls.push(format!("slider_crank({a}, {b}, {offset}, {angle}, \"{circuit}\")"));
        }
    }
    calls
}

fn seed() -> u64 {
    let given = std::env::var("SETOUT_TEST_SEED").ok().and_then(|seed| seed.parse().ok());
    given.unwrap_or(20_261_126)
}

#[test]
fn random_linkages_agree() {
    let evaluation = of_many(&random_calls(2500, seed()));
    let repeat = repeat(&evaluation);
    assert!(repeat.agrees(), "seed {}: {:#?}", seed(), repeat.differences);
    let open = "it has no value to compare with";
    let unsettled = repeat.not_repeated.iter().filter(|not| not.why.to_string() != open).count();
    let closed = dimensions(&evaluation).iter().filter(|formula| formula.value.is_some()).count();
    println!("{closed} close, {} by last digits, {unsettled} unsettled", repeat.by_last_digits);
    assert!(closed > 8000 && unsettled * 1000 < closed, "{closed} close, {unsettled} unsettled");
    assert!(repeat.by_last_digits * 100 < closed, "{}", repeat.by_last_digits);
}

/// What does not close has no value in the second engine either, whatever the first makes of it.
#[test]
fn a_linkage_that_cannot_close_has_no_value() {
    let evaluation = of_many(&random_calls(1500, seed() + 1));
    let formulas = dimensions(&evaluation);
    let value = |angle: bool| {
        let is_angle = |formula: &&WrittenFormula| !formula.written.starts_with("slider");
        let mut of_kind = formulas.iter().filter(|formula| is_angle(formula) == angle);
        of_kind.find_map(|formula| formula.value.clone()).unwrap()
    };
    let (angle, length) = (value(true), value(false));
    let open = formulas.iter().filter(|formula| formula.value.is_none());
    let wrong = open.map(|formula| {
        let planted = if formula.written.starts_with("slider") { &length } else { &angle };
        WrittenFormula { value: Some(planted.clone()), ..formula.clone() }
    });
    let wrong: Vec<_> = wrong.collect();
    let repeat = repeat_formulas(&wrong, &[]);
    assert!(wrong.len() > 2000, "{}", wrong.len());
    assert_eq!((repeat.compared, repeat.not_repeated.len()), (0, 0), "seed {}", seed());
    assert_eq!(repeat.differences.len(), wrong.len());
    for difference in &repeat.differences {
        assert!(difference.second.is_none(), "{difference:?}");
    }
}

/// The other circuit, a sign, the supplement, the other angle, the angle of the input turned round.
#[test]
fn a_slip_is_named() {
    let calls = random_calls(250, seed() + 2);
    let turned: Vec<String> =
        calls.iter().map(|call| call.replace(" deg,", " deg * -1,")).collect();
    let formulas = dimensions(&of_many(&calls));
    let turned = dimensions(&of_many(&turned));
    let mut planted = 0;
    for (at, formula) in formulas.iter().enumerate() {
        let Some(value) = &formula.value else { continue };
        let right = value.number().unwrap();
        let number = |formula: &WrittenFormula| formula.value.as_ref().and_then(Amount::number);
        let (linkage, circuit, which) = (at / 8, at / 4 % 2, at % 4);
        let other_circuit = number(&formulas[linkage * 8 + (1 - circuit) * 4 + which]);
        let other_angle =
            (which < 3).then(|| number(&formulas[at - which + (which + 1) % 3])).flatten();
        let simple = [-right, 180.0 - right, right * (1.0 + 1e-9), right + 1e-6];
        let wrong = [other_circuit, other_angle, number(&turned[at])].into_iter().flatten();
        let wrong: Vec<f64> = wrong.chain(simple).collect();
        let named = named(formula, wrong.iter().map(|wrong| with_number(value, *wrong)));
        for (wrong, named) in wrong.into_iter().zip(named) {
            // Both circuits have one transmission angle, and some slips change nothing.
            let is_other = (wrong - right).abs() > 1e-8 * right.abs().max(1.0);
            // A result near zero is a small difference, which last digits move by more than 1e-9 of it.
            let is_slight = wrong == right * (1.0 + 1e-9) && right.abs() > 1.0;
            let is_other = is_other || is_slight || wrong == right + 1e-6;
            assert!(named || !is_other, "{} is {right}, and {wrong} was planted", formula.written);
            planted += usize::from(is_other);
        }
    }
    assert!(planted > 5000, "{planted}");
}

/// Links in whole centimetres, so that change points and equal links occur.
#[test]
fn classes_agree_and_no_other_is_let_pass() {
    let mut calls = Vec::new();
    for links in 0..7_usize.pow(4) {
        let [a, b, c, d] = [1, 7, 49, 343].map(|by| 1 + links / by % 7);
        calls.push(format!("four_bar_class({a} cm, {b} cm, {c} cm, {d} cm)"));
    }
    let table: String =
        calls.iter().enumerate().map(|(at, call)| format!("  d{at}: '{call}'\n")).collect();
    let evaluation = crate::evaluated(&format!("dimensions:\n{table}"));
    let formulas = dimensions(&evaluation);
    let known = [
        "crank-rocker",
        "double-crank",
        "Grashof double-rocker",
        "rocker-crank",
        "change-point",
        "triple-rocker",
    ];
    let mut seen = [0; 7];
    for formula in &formulas {
        let right = match &formula.value {
            Some(Amount::Text(class)) => Some(class.as_str()),
            None => None,
            Some(other) => panic!("{other}"),
        };
        let wrong = known.map(|class| WrittenFormula {
            value: Some(Amount::Text(class.into())),
            name: class.into(),
            ..formula.clone()
        });
        let repeat = repeat_formulas(&wrong, &[]);
        let is_named = |class: &&&str| repeat.differences.iter().any(|it| &*it.name == **class);
        let let_pass: Vec<&str> = known.iter().filter(|it| !is_named(it)).copied().collect();
        let right: Vec<&str> = right.into_iter().collect();
        assert_eq!(let_pass, right, "{}", formula.written);
        seen[right
            .first()
            .map_or(6, |right| known.iter().position(|class| class == right).unwrap())] += 1;
    }
    println!("{seen:?}");
    assert!(seen.iter().all(|seen| *seen > 50), "{seen:?}");
}

/// Poses in which links lie in a line, or an angle is on the cut: the two engines come to the same
/// where the numbers are whole, and say so where last digits decide.
#[test]
fn special_poses() {
    let calls = [
        // Just stretched, just folded.
        "four_bar_output(30 mm, 40 mm, 30 mm, 100 mm, 0 deg, \"open\")",
        "four_bar_coupler(30 mm, 40 mm, 30 mm, 100 mm, 0 deg, \"crossed\")",
        "four_bar_transmission(30 mm, 40 mm, 30 mm, 100 mm, 0 deg, \"open\")",
        "four_bar_output(30 mm, 110 mm, 40 mm, 40 mm, 180 deg, \"open\")",
        // Parallelograms at rest, upright and turned right over.
        "four_bar_output(20 mm, 70 mm, 20 mm, 70 mm, 0 deg, \"open\")",
        "four_bar_output(20 mm, 70 mm, 20 mm, 70 mm, 90 deg, \"open\")",
        "four_bar_coupler(20 mm, 70 mm, 20 mm, 70 mm, 90 deg, \"open\")",
        "four_bar_output(20 mm, 70 mm, 20 mm, 70 mm, 180 deg, \"open\")",
        "four_bar_transmission(40 mm, 100 mm, 40 mm, 100 mm, 90 deg, \"open\")",
        "slider_crank(30 mm, 50 mm, 0 mm, 90 deg, \"open\")",
        "slider_crank(30 mm, 50 mm, 0 mm, 0 deg, \"crossed\")",
        "slider_crank(30 mm, 30 mm, 0 mm, 90 deg, \"open\")",
        "slider_crank(30 mm, 50 mm, -20 mm, 90 deg, \"open\")",
    ]
    .map(str::to_owned);
    let evaluation = of_many(&calls);
    assert_eq!(evaluation.faults(), []);
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(repeat.compared, calls.len() + 2);
}

/// At a dead centre an angle goes with the root of what its links are off by, so that their last
/// digits move it by 1e-7: neither agreement nor a defect.
#[test]
fn last_digits_at_a_dead_centre_are_said() {
    let call =
        "four_bar_output(30.1 mm, 40.3 mm, 30.7 mm, 30.1 mm + 40.3 mm + 30.7 mm, 0 deg, \"open\")";
    let formula = &dimensions(&of_many(&[call.to_owned()]))[0];
    let value = formula.value.clone().unwrap();
    let planted = |number: f64| {
        let wrong = WrittenFormula { value: Some(with_number(&value, number)), ..formula.clone() };
        repeat_formulas(&[wrong], &[])
    };
    let right = value.number().unwrap();
    let repeat = planted(right + 1e-6);
    assert!(repeat.agrees(), "{:?}", said(&repeat));
    let why = "jaw.d0 (Dimension): a change of 1e-13 in its numbers changes it by more than 1e-9 of \
               its unit: ";
    assert!(said(&repeat)[0].starts_with(why), "{:?}", said(&repeat));
    // What is farther off than any last digit takes it is a difference still.
    assert_eq!(planted(right + 1e-3).differences.len(), 1);
    assert_eq!(planted(-right).differences.len(), 1);
}
