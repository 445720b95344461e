//! Slips of the pen, and what is told of them. No published source: these are what people write.

use setout_formula::{Formula, Meaning, Texts, Type};
use setout_quantity::Kind;

use crate::{Named, evaluated, known_units};

const NAMES: [Named; 2] = [("width", Kind::LENGTH, 62.0), ("many", Kind::NUMBER, 3.0)];

/// Where the fault stands, and its help.
fn told(text: &str) -> (&str, String) {
    let fault = evaluated(text, &NAMES).expect_err(text);
    (fault.at.of(text), fault.help().to_owned())
}

#[test]
fn a_power_without_its_sign_is_told_of_the_whole_unit() {
    assert_eq!(told("9.81 m/s2"), ("m/s2", "did you mean `9.81 m/s^2`?".into()));
    assert_eq!(told("2 N*mm2"), ("N*mm2", "did you mean `2 N·mm^2`?".into()));
    let help = "put blanks round / to compute with a name: `2 mm / s_max`";
    assert_eq!(told("2 mm/s_max"), ("s_max", help.into()));
    let help = "write for example `mm^2`";
    assert_eq!(told("5 mm^2.5"), ("^2", help.into()));
}

#[test]
fn a_fraction_before_a_unit_is_refused_with_what_stands_before_it() {
    for text in ["1/2 mm", "-1/2 mm", "many*1/2 mm", "1 mm + 1/2 mm"] {
        let (at, help) = told(text);
        assert_eq!(at, "1/2 mm", "{text}");
        assert_eq!(help, "write `(1 / 2) * 1 mm`, or `1 / (2 mm)`");
    }
    assert_eq!(told("pi/2 rad").1, "write `(pi / 2) * 1 rad`, or `pi / (2 rad)`");
}

#[test]
fn what_can_be_read_in_one_way_only_is_no_torn_fraction() {
    for (text, value) in [("1/(2 mm)", 0.5), ("width/2 mm", 31.0), ("many^2/3 mm", 3.0)] {
        assert_eq!(evaluated(text, &NAMES), Ok(value), "{text}");
    }
    assert_eq!(evaluated("1 / 2 mm", &NAMES), Ok(0.5));
}

#[test]
fn a_letter_behind_a_number_is_taken_for_a_name() {
    for letter in ["x", "q", "v"] {
        let help = format!("if `{letter}` is a name, put an operator before it: `2 * {letter}`");
        assert_eq!(told(&format!("2 {letter}")).1, help);
    }
}

#[test]
fn only_bare_digits_are_told_to_take_a_unit() {
    assert_eq!(told("width + 3").1, "give the number a unit: `3 mm`");
    assert_eq!(told("width + 3 %").1, "`3 %` lacks a factor in mm");
    assert_eq!(told("sin(3)").1, "give the number a unit: `3 deg`");
    assert_eq!(told("sin(pi)").1, "an angle in radians is written `(pi) * 1 rad`");
}

#[test]
fn a_lone_point_is_no_number() {
    assert_eq!(told("width + .b").0, ".");
    assert_eq!(told(".5 mm").1, "write `0.5`");
}

#[test]
fn words_for_logic_get_their_signs() {
    assert_eq!(told("not(1 < 2)").1, "write `!a`");
    assert_eq!(told("and(1 < 2, 2 < 3)").1, "write `a && b`");
}

/// 0 °C is 273.15 K: SI Brochure (9th edition), 2.3.1.
#[test]
fn a_reading_can_lie_below_zero() {
    assert_eq!(evaluated("-25 °C", &[]), Ok(273.15 - 25.0));
    assert_eq!(evaluated("20 °C - -5 °C", &[]), Ok(25.0));
    assert!(evaluated("-(25 °C)", &[]).is_err());
    assert!(evaluated("--25 °C", &[]).is_err());
    let formula = Formula::read("-25 °C", &known_units()).0.unwrap();
    assert_eq!(formula.literal().map(|(number, _)| number), Some(-25.0));
}

/// What depends on a fault is no second fault.
#[test]
fn a_reading_beside_what_is_not_known_is_no_mismatch() {
    for text in ["25 °C - x", "x - 25 °C", "x + 25 °C", "25 °C > x", "max(25 °C, x)"] {
        let formula = Formula::read(text, &known_units()).0.unwrap();
        let compiled = formula.compile(&[Meaning::Unknown], &known_units(), &mut Texts::default());
        assert!(compiled.is_ok(), "{text}: {compiled:?}");
    }
    let formula = Formula::read("25 °C - x", &known_units()).0.unwrap();
    let length = Meaning::Value { slot: 0, of: Type::Quantity(Kind::LENGTH) };
    assert!(formula.compile(&[length], &known_units(), &mut Texts::default()).is_err());
}
