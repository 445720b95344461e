//! How far apart two values may lie: what is let pass by last digits, and that no more is.

use setout_independent::repeat_formulas;

use crate::{dimensions, of_many, said, with_number};

/// What becomes of a value of the first engine that is off by `error` in its unit.
#[derive(Debug, PartialEq)]
enum Found {
    Agrees,
    ByLastDigits,
    NotRepeated,
    Differs,
}

fn off_by(formula: &str, unit: &str, error: f64) -> Found {
    let table = format!("dimensions:\n  d0: {{ value: '{formula}', unit: '{unit}' }}\n");
    let evaluation = crate::evaluated(&table);
    assert_eq!(evaluation.faults(), [], "{formula}");
    let mut formula = dimensions(&evaluation)[0].clone();
    let value = formula.value.clone().unwrap();
    formula.value = Some(with_number(&value, value.number().unwrap() + error));
    let repeat = repeat_formulas(&[formula], &[]);
    match (repeat.differences.len(), repeat.not_repeated.len(), repeat.by_last_digits) {
        (1, 0, 0) => Found::Differs,
        (0, 1, 0) => Found::NotRepeated,
        (0, 0, 1) => Found::ByLastDigits,
        (0, 0, 0) => Found::Agrees,
        other => panic!("{other:?}: {:?}", said(&repeat)),
    }
}

/// Two parts in 10^12 of a sum, whatever its size and unit.
#[test]
fn nothing_hides_in_a_plain_formula() {
    for (formula, unit, value) in [
        ("62 mm + 2 mm", "mm", 64.0),
        ("62 mm + 2 mm", "m", 0.064),
        ("62 mm + 2 mm", "km", 0.000_064),
        ("1 mm * 1 mm * 1 mm * 1 mm", "m^4", 1e-12),
        ("1 mm * 1 nm", "m^2", 1e-12),
        ("sqrt(2)", "%", 141.421_356_237_309_5),
        ("1e-9 g * 3", "kg", 3e-12),
        ("sin(30 deg)", "%", 50.0),
        ("clearance_hole(\"M4\")", "m", 0.0045),
        ("limit_upper(\"H7\", 25 mm)", "m", 21e-6),
    ] {
        assert_eq!(off_by(formula, unit, 0.0), Found::Agrees, "{formula} in {unit}");
        for error in [-2e-12, 2e-12] {
            assert_eq!(off_by(formula, unit, value * error), Found::Differs, "{formula} in {unit}");
        }
    }
}

/// The sum of two lengths does not excuse an error because a small difference stands beside it.
#[test]
fn nothing_hides_behind_a_difference_that_does_not_matter() {
    for formula in [
        "62 mm + (10000.3 mm - 10000.2 mm)",
        "62 mm * (1 + sin(180 deg))",
        "62 mm + if(1000.1 > 1000.2, 1 mm, 2 mm)",
    ] {
        assert_ne!(off_by(formula, "mm", 0.0), Found::Differs, "{formula}");
        for error in [-1e-8, 1e-8, 3e-9] {
            assert_eq!(off_by(formula, "mm", error), Found::Differs, "{formula}");
        }
    }
}

/// 10000.3 - 10000.2: its numbers, each off by 1e-13 of itself, are off by 2e-9 together.
#[test]
fn a_small_difference_may_be_off_by_what_its_numbers_are() {
    let formula = "10000.3 mm - 10000.2 mm";
    assert_eq!(off_by(formula, "mm", 0.0), Found::ByLastDigits);
    assert_eq!(off_by(formula, "mm", 0.9e-9), Found::ByLastDigits);
    // Farther than 1e-9 of the unit nothing is called the same.
    assert_eq!(off_by(formula, "mm", 1.5e-9), Found::NotRepeated);
    assert_eq!(off_by(formula, "mm", 3e-9), Found::Differs);
    // A unit that is much larger than the value does not let more pass.
    assert_eq!(off_by(formula, "km", 1.5e-15), Found::ByLastDigits);
    assert_eq!(off_by(formula, "km", 3e-15), Found::Differs);
    assert_eq!(off_by(formula, "µm", 1.5e-6), Found::NotRepeated);
    assert_eq!(off_by(formula, "µm", 3e-6), Found::Differs);
}

/// Of large numbers whose difference is lost but for a few digits neither value can be told right.
#[test]
fn a_value_that_no_engine_can_tell_is_said_and_not_accused() {
    for (formula, unit) in [
        ("(1e12 mm + 0.1 mm) - 1e12 mm", "mm"),
        ("tan(89.99999999 deg)", ""),
        ("exp(300 * (1 + 1e-7)) / exp(300)", ""),
    ] {
        let found = off_by(formula, unit, 0.0);
        assert!(found != Found::Differs, "{formula}: {found:?}");
    }
    assert_eq!(off_by("tan(89.99999999 deg)", "", 0.0), Found::NotRepeated);
    // By more than its last digits move it, it is wrong all the same.
    assert_eq!(off_by("tan(89.99999999 deg)", "", 1e8), Found::Differs);
    assert_eq!(off_by("(1e12 mm + 0.1 mm) - 1e12 mm", "mm", 1.0), Found::Differs);
}

/// A jump is excused only right at its edge, and only for the value beyond it.
#[test]
fn a_step_to_the_wrong_side_is_excused_at_the_edge_alone() {
    for formula in ["round(7.2 mm, 0.5 mm)", "floor(7.4 mm, 0.5 mm)", "ceil(6.6 mm, 0.5 mm)"] {
        for error in [-0.5, 0.5, 1e-6] {
            assert_eq!(off_by(formula, "mm", error), Found::Differs, "{formula}");
        }
    }
    let edge = "if(0.1 + 0.2 > 0.3, 1, 2)";
    assert_eq!(off_by(edge, "", 0.0), Found::NotRepeated, "the first engine says 1");
    assert_eq!(off_by(edge, "", 1.0), Found::Agrees, "and 2 is what the second says");
    for error in [-1.0, 0.5, 2.0, 1e-6] {
        assert_eq!(off_by(edge, "", error), Found::Differs, "{error}");
    }
}

/// The end of a range that a computed size lies on by its last digits.
#[test]
fn a_size_on_the_end_of_its_range() {
    let at = |size: &str| format!("limit_upper(\"H7\", {size})");
    for size in ["6 mm", "2 * (1.1 mm + 2.2 mm - 0.3 mm)", "0.6 cm", "6.0000001 mm", "5.9999999 mm"]
    {
        assert_eq!(off_by(&at(size), "mm", 0.0), Found::Agrees, "{size}");
        let other = if size == "6.0000001 mm" { -0.003 } else { 0.003 };
        assert_eq!(off_by(&at(size), "mm", other), Found::Differs, "{size}");
    }
    // Within a few roundings of the farthest that both take for the end.
    let farthest = at("6.000000000006 mm");
    assert_eq!(off_by(&farthest, "mm", 0.0), Found::Agrees);
    assert_eq!(off_by(&farthest, "mm", 0.003), Found::NotRepeated);
    assert_eq!(off_by(&farthest, "mm", 0.002), Found::Differs);
}

/// Two numbers that stand 64 places apart, and whose difference is all that is left.
#[test]
fn a_difference_of_two_numbers_far_apart() {
    let zeros = " + 0 mm".repeat(63);
    let formula = format!("10000.3 mm{zeros} - 10000.2 mm");
    assert_eq!(off_by(&formula, "mm", 0.9e-9), Found::ByLastDigits);
    assert_eq!(off_by(&formula, "mm", 3e-9), Found::Differs);
}

/// What has no value in one engine is no excuse for a value in the other.
#[test]
fn a_value_out_of_nothing_is_named() {
    let formula = &dimensions(&of_many(&["3".to_owned()]))[0];
    for written in [
        "sqrt(-9)",
        "min(3, sqrt(-9))",
        "max(3, 1 / 0)",
        "clamp(sqrt(-1), 3, 5)",
        "if(sqrt(-1) > 0, 4, 3)",
        "if(!(sqrt(-1) > 0), 3, 4)",
        "count(sqrt(-1) > 0) + 2",
        "atan2(0, 0) / 1 rad + 3",
        "tan(90 deg)",
        "tan(-270 deg)",
        "3 + 0 * ln(0)",
        "3 + 1 / (1 / 0)",
        "3 + (1 / 0)^-1",
        "3 + 2^(-1 / 0)",
        "3 * sqrt(-1)^0",
        "3 * 1^sqrt(-1)",
        "mean(3, acos(2) / 1 rad)",
        "round(3, 0)",
    ] {
        let mut formula = formula.clone();
        formula.written = written.to_owned();
        let repeat = repeat_formulas(&[formula], &[]);
        assert_eq!(said(&repeat), ["jaw.d0 (Dimension): 3 and none"], "{written}");
    }
}

/// A root of what is negative by its last digit only.
#[test]
fn a_root_on_the_edge_of_having_none() {
    let formula = "sqrt(0.3 - (0.1 + 0.2) + 1e-16)";
    assert_ne!(off_by(formula, "", 0.0), Found::Differs);
    assert_eq!(off_by(formula, "", 1e-3), Found::Differs);
}
