//! What formulas come to: the language's rules, one by one.

use setout_formula::{FUNCTIONS, Formula, LINKAGES, Machine, Meaning, Requirement, Texts, Type};
use setout_quantity::{Kind, Units};

/// What a name stands for in these tests, with its value in base units.
fn meaning(name: &str) -> (Meaning<'static>, f64) {
    let quantity = |slot, kind| Meaning::Value { slot, of: Type::Quantity(kind) };
    match name {
        "width" => (quantity(0, Kind::LENGTH), 62.0),
        "opening" => (quantity(1, Kind::ANGLE), 28.0),
        "current" => (quantity(2, Kind::CURRENT), 2.5),
        "many" => (quantity(3, Kind::NUMBER), 14.0),
        "missing" => (quantity(4, Kind::LENGTH), f64::NAN),
        "servo.stall" => column(&[5, 6, 7], Kind::CURRENT),
        "servo.duty" => column(&[8, 9, 10], Kind::NUMBER),
        "empty.mass" => {
            (Meaning::Column { schedule: 1, slots: &[], of: Type::Quantity(Kind::MASS) }, 0.0)
        }
        other => panic!("no name {other} in these tests"),
    }
}

fn column(slots: &'static [u32], kind: Kind) -> (Meaning<'static>, f64) {
    (Meaning::Column { schedule: 0, slots, of: Type::Quantity(kind) }, 0.0)
}

const SLOTS: [f64; 11] = [62.0, 28.0, 2.5, 14.0, f64::NAN, 1.0, 2.0, 0.5, 0.5, 1.0, 0.25];

fn units() -> Units {
    Units::standard().with_currency("GBP")
}

/// The value as text with its customary unit, or the fault as `slug at 3..7: message | help`.
fn value(text: &str) -> String {
    let units = units();
    let (formula, faults) = Formula::read(text, &units);
    if let Some(fault) = faults.first() {
        return show(fault);
    }
    let formula = formula.unwrap();
    let names: Vec<_> = formula.names().iter().map(|name| meaning(&name.name).0).collect();
    let mut texts = Texts::default();
    let compiled = match formula.compile(&names, &units, &mut texts) {
        Ok(compiled) => compiled,
        Err(faults) => return show(&faults[0]),
    };
    match Machine::with(&texts).run(&compiled.code, &SLOTS) {
        Err(stop) => show(&formula.explain(&stop, &names, &units, &texts)),
        Ok(value) => match compiled.of {
            Type::Quantity(kind) => {
                let unit = units.customary(kind);
                let number = setout_quantity::shortest(unit.from_base(value));
                format!("{number} {}", unit.symbol()).trim_end().to_owned()
            }
            Type::Truth => (value != 0.0).to_string(),
            Type::Text => format!("{:?}", texts.text(value)),
            other => format!("{other:?} {value}"),
        },
    }
}

fn show(fault: &setout_formula::FormulaFault) -> String {
    let at = fault.at.range();
    format!("{} at {}..{}: {} | {}", fault.slug(), at.start, at.end, fault.message(), fault.help())
}

#[track_caller]
fn gives(text: &str, expected: &str) {
    assert_eq!(value(text), expected, "{text}");
}

#[test]
fn arithmetic_binds_as_on_paper() {
    gives("2 + 3 * 4", "14");
    gives("10 - 4 - 3", "3");
    gives("7 / 2", "3.5");
    gives("-2^2", "-4");
    gives("2^3^2", "512");
    gives("2^-1", "0.5");
    gives("--3", "3");
    gives("(2 + 3) * 4", "20");
    gives("1 < 2 && 2 < 3 || false", "true");
    gives("!(1 < 2)", "false");
}

#[test]
fn units_bind_to_the_number_before_them() {
    gives("64mm", "64 mm");
    gives("2.5 in", "63.5 mm");
    gives("2 mm^2", "2 mm^2");
    gives("2 mm/s", "2 mm/s");
    gives("5 mm/2", "2.5 mm");
    gives("1 / 2 mm", "0.5 mm^-1");
    gives("60 deg/s", "60 deg/s");
    gives("1.2 N*m", "1.2 N·m");
    gives("3 kgf·cm / 1 N·m", "0.2941995");
    gives("20 %", "0.2");
    gives("1e3 mm", "1000 mm");
    gives("width / 2 mm", "31");
    gives("10 N / 4 mm^2", "2.5 MPa");
    gives("6 V * current", "15 W");
    gives("3 count + 1", "4");
}

#[test]
fn trigonometry_is_exact_at_the_quadrants() {
    for (text, expected) in [
        ("sin(0 deg)", "0"),
        ("sin(90 deg)", "1"),
        ("sin(180 deg)", "0"),
        ("sin(270 deg)", "-1"),
        ("sin(360 deg)", "0"),
        ("cos(90 deg)", "0"),
        ("cos(180 deg)", "-1"),
        ("cos(-90 deg)", "0"),
        ("sin(-180 deg)", "0"),
        ("tan(180 deg)", "0"),
        ("tan(45 deg)", "1"),
        ("sin(30 deg)", "0.5"),
        ("cos(60 deg)", "0.5"),
        ("cos(720 deg)", "1"),
        ("sin(150 deg)", "0.5"),
        ("tan(135 deg)", "-1"),
        ("asin(0.5)", "30 deg"),
        ("acos(0.5)", "60 deg"),
        ("atan(1)", "45 deg"),
        ("acos(-1)", "180 deg"),
        ("atan2(0 mm, -1 mm)", "180 deg"),
        ("atan2(-1 mm, 0 mm)", "-90 deg"),
    ] {
        gives(text, expected);
    }
}

#[test]
fn branches_are_lazy() {
    gives("if(many > 3, 1 mm, 1 mm / 0)", "1 mm");
    gives("if(many < 3, 1 mm / 0, 2 mm)", "2 mm");
    gives("many > 3 || 1 / 0 > 1", "true");
    gives("many < 3 && 1 / 0 > 1", "false");
    gives("if(true, \"M4\", \"M5\")", "\"M4\"");
}

#[test]
fn rounding_goes_in_steps_and_halves_go_away_from_zero() {
    gives("round(2.5)", "3");
    gives("round(-2.5)", "-3");
    gives("round(0.35 mm, 0.1 mm)", "0.4 mm");
    gives("round(7.3 mm, 0.5 mm)", "7.5 mm");
    gives("floor(7.99 mm, 0.25 mm)", "7.75 mm");
    gives("ceil(11 mm, 5 mm)", "15 mm");
    gives(
        "round(7.3 mm)",
        "unit-mismatch at 0..13: `7.3 mm` is a length, so `round` needs a step | write `round(7.3 mm, 1 mm)`",
    );
}

#[test]
fn columns_are_combined_cell_by_cell_and_folded() {
    gives("sum(servo.stall)", "3.5 A");
    gives("max(servo.stall)", "2 A");
    gives("max(servo.stall, 3 A)", "3 A");
    gives("mean(servo.duty * servo.stall)", "0.875 A");
    gives("sum(if(servo.stall > 0.9 A, servo.stall, 0 A))", "3 A");
    gives("sum(servo.stall / max(servo.stall))", "1.75");
    gives("count(servo.stall)", "3");
    gives("count(servo.stall > 0.9 A)", "2");
    gives("sum(empty.mass)", "0 g");
    gives("count(empty.mass)", "0");
    gives(
        "min(empty.mass)",
        "domain at 0..15: `min(empty.mass)` has no rows to work on | give the schedule a row",
    );
    gives(
        "servo.stall * 2",
        "bad-formula at 0..15: `servo.stall * 2` is a whole column, not one value | put it into sum, min, max, mean or count; or name a row's cell",
    );
    gives(
        "sum(servo.stall + empty.mass * 1 A / 1 g)",
        "bad-formula at 4..40: columns of two schedules do not combine: their rows have nothing in common | sum each on its own, or put both columns into one schedule",
    );
}

#[test]
fn readings_are_no_differences() {
    gives("60 °C - 25 °C", "35 K");
    gives("25 °C + 10 K - 30 degC", "5 K");
    gives(
        "25 °C + 30 °C",
        "unit-mismatch at 0..6: adding needs a quantity, and `25 °C` is a temperature reading | readings in °C only subtract to a difference; write differences in K",
    );
    assert!(value("2 * 25 °C").starts_with("unit-mismatch"));
    assert!(value("2 W/°C").starts_with("unit-mismatch"));
    gives("60 °C > 25 °C", "true");
}

#[test]
fn kinds_are_named_with_the_missing_factor() {
    gives(
        "62 mm + 3 deg",
        "unit-mismatch at 0..13: `62 mm` is a length and `3 deg` is an angle: they cannot be added | `3 deg` lacks a factor in mm/deg; arc_length(radius, angle) makes a length of an angle",
    );
    gives(
        "sin(3 mm)",
        "unit-mismatch at 4..8: `sin` takes an angle, and `3 mm` is a length | `3 mm` lacks a factor in deg/mm",
    );
    gives(
        "sqrt(2 mm) + 1 mm",
        "unit-mismatch at 0..17: `sqrt(2 mm)` is a quantity in mm^(1/2) and `1 mm` is a length: they cannot be added | `1 mm` lacks a divisor in mm^(1/2)",
    );
    gives(
        "width - 5",
        "unit-mismatch at 0..9: `width` is a length and `5` is a plain number: they cannot be subtracted | give the number a unit: `5 mm`",
    );
    gives(
        "width > 0",
        "unit-mismatch at 0..9: `width` is a length and `0` is a plain number: they cannot be compared | give the number a unit: `0 mm`",
    );
    gives(
        "sin(many)",
        "unit-mismatch at 4..8: `sin` takes an angle, and `many` is a plain number | an angle in radians is written `(many) * 1 rad`",
    );
    gives(
        "width == 62 mm",
        "unit-mismatch at 0..14: `width` is a length: quantities are never compared with == | say how close they must be: `abs(a - b) <= 0.01 mm`",
    );
    gives(
        "width ^ many",
        "unit-mismatch at 0..12: `width` is a length, so its exponent must be a number written out, not `many` | write for example `^2` or `^(1/3)`; or make the base a plain number",
    );
    gives("(width^2)^(1/2)", "62 mm");
}

#[test]
fn slips_get_their_mend() {
    gives(
        "1/2 mm",
        "bad-formula at 0..6: `1/2 mm` can be read in two ways | write `(1 / 2) * 1 mm`, or `1 / (2 mm)`",
    );
    gives(
        "2 mm/width",
        "unknown-unit at 5..10: there is no unit `width` | put blanks round / to compute with a name: `2 mm / width`",
    );
    gives(
        "2 width",
        "unknown-unit at 2..7: there is no unit `width` | if `width` is a name, put an operator before it: `2 * width`",
    );
    gives("5 mm2", "unknown-unit at 2..5: there is no unit `mm2` | did you mean `5 mm^2`?");
    gives("2 inch", "unknown-unit at 2..6: there is no unit `inch` | did you mean `2 in`?");
    gives(".5 mm", "bad-formula at 0..2: a number does not begin with its point | write `0.5`");
    gives(
        "5. mm",
        "bad-formula at 0..2: a number does not end with its point | write `5` or `5.0`",
    );
    gives(
        "010 mm",
        "bad-formula at 0..3: a number has no leading zeros (some programs read them as octal) | write `10`",
    );
    gives(
        "1_000 mm",
        "bad-formula at 0..1: digits are not grouped by `_` | write the digits without it",
    );
    gives(
        "62 \u{2212} 3",
        "bad-formula at 3..6: the sign − (U+2212) is no minus | type the minus of the keyboard, `-`",
    );
    gives("2 × 3", "bad-formula at 2..4: × is not the sign of multiplication here | write `*`");
    gives(
        "2\u{a0}mm",
        "bad-formula at 1..3: a blank that is not an ordinary one stands here (a no-break or thin one) | type an ordinary blank",
    );
    gives("1 < 2 < 3", "bad-formula at 6..7: comparisons do not chain | write `a < b && b < c`");
    gives("(1 + 2", "bad-formula at 0..1: this ( is never closed | close it with )");
    gives("1 + 2)", "bad-formula at 5..6: this ) closes nothing | take it out, or open it before");
    gives(
        "width mm",
        "bad-formula at 6..8: an operator is missing before `mm` | a unit follows a number only; leave it out, or write `… * 1 mm`",
    );
    gives("pow(2, 3)", "unknown-function at 0..3: there is no function `pow` | write `x ^ y`");
    gives("sqr(2)", "unknown-function at 0..3: there is no function `sqr` | did you mean `sqrt`?");
    gives(
        "hypot(1)",
        "bad-formula at 0..8: `hypot` takes 2 to 3 arguments, not 1 | write `hypot(a, b, …)`",
    );
    gives("a and b", "bad-formula at 2..5: `and` is not read as an operator | write `&&`");
    gives("", "bad-formula at 0..0: a formula is missing here | write a value, such as `62 mm`");
}

#[test]
fn a_function_without_a_value_says_which_numbers_led_there() {
    gives(
        "width / (many - 14)",
        "domain at 0..19: a division by zero: `(many - 14)` is 0 | keep the divisor away from 0",
    );
    gives(
        "sqrt(width - 70 mm)",
        "domain at 0..19: the square root of a negative number: `width - 70 mm` is -8 mm | check the signs, or that the sides can meet",
    );
    gives(
        "acos(2)",
        "domain at 0..7: no angle has this sine or cosine: `2`, and it lies from -1 to 1 | check that the triangle closes: no side longer than the other two together",
    );
    assert!(value("1 / 0").starts_with("domain"));
    assert!(value("ln(0)").starts_with("domain"));
    assert!(value("tan(90 deg)").starts_with("domain"));
    assert!(value("10 ^ 400").starts_with("domain"));
    assert!(value("(0 - 8) ^ 0.5").starts_with("domain"));
    assert!(value("clamp(1, 3, 2)").starts_with("domain"));
    assert!(value("if(1 / 0 > 5, 1, 2)").starts_with("domain"));
}

#[test]
fn size_and_depth_are_bounded() {
    let long = vec!["1"; 2048].join("+");
    gives(&long, "2048");
    assert!(value(&vec!["1"; 2050].join("+")).starts_with("too-large"));
    gives(&format!("{}1{}", "(".repeat(63), ")".repeat(63)), "1");
    assert!(value(&format!("{}1{}", "(".repeat(65), ")".repeat(65))).starts_with("too-large"));
    assert!(value(&format!("{}1", "-".repeat(4000))).starts_with("too-large"));
    let all = vec!["1<2"; 682].join("&&");
    gives(&all, "true");
}

#[test]
fn every_function_does_what_its_example_says() {
    let functions = FUNCTIONS.iter().chain(LINKAGES);
    for function in functions.filter(|function| !function.example.is_empty()) {
        gives(function.example, function.result);
    }
}

fn requirement(text: &str) -> Requirement {
    let units = units();
    let formula = Formula::read(text, &units).0.unwrap();
    let names: Vec<_> = formula.names().iter().map(|name| meaning(&name.name).0).collect();
    formula.requirement(&names, &units, &mut Texts::default()).unwrap()
}

#[track_caller]
fn margin(text: &str, holds: bool, margin: Option<f64>) {
    let outcome = requirement(text).outcome(&mut Machine::default(), &SLOTS, 1e-9).unwrap();
    assert_eq!((outcome.holds, outcome.margin), (holds, margin), "{text}");
}

#[test]
fn a_margin_says_how_far_a_check_is_from_failing() {
    margin("width >= 60 mm", true, Some(2.0));
    margin("width <= 60 mm", false, Some(-2.0));
    margin("60 mm < width", true, Some(2.0));
    margin("width >= 62 mm", true, Some(0.0));
    margin("width > 62 mm", false, Some(0.0));
    margin("width > 61.9999999999 mm", false, Some(0.0));
    margin("width >= 60 mm && width <= 63 mm", true, Some(1.0));
    margin("width >= 65 mm && width <= 63 mm", false, Some(-3.0));
    margin("width >= 65 mm || width <= 63 mm", true, Some(1.0));
    margin("width >= 65 mm || width >= 70 mm", false, Some(-3.0));
    margin("!(width >= 65 mm)", true, Some(3.0));
    margin("!(width >= 60 mm && width <= 63 mm)", false, Some(-1.0));
    margin("if(many > 3, width > 60 mm, width > 90 mm)", true, Some(2.0));
}

#[test]
fn what_has_no_margin_leaves_it_to_the_rest() {
    margin("many == 14", true, None);
    margin("many != 14", false, None);
    margin("many == 14 && width >= 60 mm", true, Some(2.0));
    margin("many == 13 && width >= 60 mm", false, None);
    margin("many == 13 || width >= 60 mm", true, Some(2.0));
    margin("many == 14 || width >= 60 mm", true, None);
    margin("width <= 63 mm && many == 14 && width >= 60 mm", true, Some(1.0));
}

#[test]
fn a_side_that_cannot_be_computed_matters_only_where_it_decides() {
    margin("width >= 65 mm && missing > 1 mm", false, Some(-3.0));
    margin("width >= 60 mm || missing > 1 mm", true, Some(2.0));
    let undecided = requirement("width >= 60 mm && missing > 1 mm");
    assert!(
        undecided.outcome(&mut Machine::default(), &SLOTS, 1e-9).unwrap_err().is_not_computed()
    );
}

#[test]
fn checks_are_comparisons_of_one_kind() {
    let fault = |text: &str| {
        let units = units();
        let formula = Formula::read(text, &units).0.unwrap();
        let names: Vec<_> = formula.names().iter().map(|name| meaning(&name.name).0).collect();
        show(&formula.requirement(&names, &units, &mut Texts::default()).unwrap_err()[0])
    };
    assert_eq!(
        fault("width"),
        "unit-mismatch at 0..5: a check needs a comparison, and this is a length | write for example `gap >= 1 mm`"
    );
    assert_eq!(
        fault("width > 1 mm && current < 3 A"),
        "unit-mismatch at 16..29: this check compares a length and then a current, so it has no one margin | split it into two checks"
    );
}
