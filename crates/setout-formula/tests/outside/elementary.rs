//! Elementary functions against mpmath to the last bit (`data/elementary.csv`), in ulps: the
//! distance between two neighbouring floats at the true value.

use setout_formula::{Code, Enclosure, Formula, Interval, Machine, Meaning, Texts, Type};
use setout_quantity::Kind;

use crate::{evaluated, known_units};

struct Row {
    operands: [f64; 2],
    /// The true value is the sum of both.
    value: f64,
    rest: f64,
}

fn rows(function: &str) -> Vec<Row> {
    let text = include_str!("../data/elementary.csv");
    let number = |text: &str| if text.is_empty() { 0.0 } else { text.parse().expect("a number") };
    let columns = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let wanted = columns.filter(|columns| columns[0] == function && columns.len() == 5);
    let row = |columns: Vec<&str>| Row {
        operands: [number(columns[1]), number(columns[2])],
        value: number(columns[3]),
        rest: number(columns[4]),
    };
    wanted.map(row).collect()
}

/// The code of a formula of `x` and `y`, which are of one kind.
fn code(formula: &str, kind: Kind) -> Code {
    let formula = Formula::read(formula, &known_units()).0.expect("a formula");
    let slot = |name: &str| u32::from(name == "y");
    let meaning = |name: &str| Meaning::Value { slot: slot(name), of: Type::Quantity(kind) };
    let names: Vec<_> = formula.names().iter().map(|used| meaning(&used.name)).collect();
    formula.compile(&names, &known_units(), &mut Texts::default()).expect("kinds that fit").code
}

fn ulps(found: f64, row: &Row) -> f64 {
    let size = row.value.abs();
    let ulp = if size < f64::MAX { size.next_up() - size } else { size - size.next_down() };
    ((found - row.value) - row.rest).abs() / ulp
}

/// Whether the interval over the operands alone holds the true value.
fn is_held(code: &Code, row: &Row) -> bool {
    let at = |slot: u32| Enclosure::of(Interval::point(row.operands[slot as usize]));
    let found = code.enclose(&Texts::default(), &at).interval;
    found.contains(row.value)
        && (row.rest <= 0.0 || found.high() > row.value)
        && (row.rest >= 0.0 || found.low() < row.value)
}

/// Checks a formula on all rows of a function, and that there are at least so many.
#[track_caller]
fn within(most_ulps: f64, function: &str, formula: &str, kind: Kind, at_least: usize) {
    let code = code(formula, kind);
    let rows = rows(function);
    assert!(rows.len() >= at_least, "{} rows of {function}", rows.len());
    let mut worst = (0.0, [0.0; 2]);
    for row in &rows {
        let found = Machine::default().run(&code, &row.operands).expect("a value");
        assert!(is_held(&code, row), "{function}{:?}: its interval misses it", row.operands);
        let error = ulps(found, row);
        let Row { operands, value, .. } = row;
        assert!(
            error <= most_ulps,
            "{function}{operands:?} is {value:e}, not {found:e}: {error} ulps"
        );
        if error > worst.0 {
            worst = (error, *operands);
        }
    }
    println!("{function}: worst {:.3} ulps at {:?}", worst.0, worst.1);
}

#[test]
fn sines_of_degrees_are_good_to_an_ulp_and_a_half() {
    within(1.5, "sin", "sin(x)", Kind::ANGLE, 270);
    within(1.5, "cos", "cos(x)", Kind::ANGLE, 270);
    within(1.5, "tan", "tan(x)", Kind::ANGLE, 270);
}

#[test]
fn angles_of_ratios_are_good_to_two_ulps() {
    within(2.0, "asin", "asin(x)", Kind::NUMBER, 100);
    within(2.0, "acos", "acos(x)", Kind::NUMBER, 100);
    within(2.0, "atan", "atan(x)", Kind::NUMBER, 100);
}

/// The quotient is rounded as well.
#[test]
fn directions_are_good_to_three_ulps() {
    within(3.1, "atan2", "atan2(x, y)", Kind::LENGTH, 220);
}

#[test]
fn powers_roots_and_logarithms_are_good_to_an_ulp() {
    within(1.0, "cbrt", "cbrt(x)", Kind::LENGTH, 100);
    within(1.0, "hypot", "hypot(x, y)", Kind::LENGTH, 200);
    within(1.0, "exp", "exp(x)", Kind::NUMBER, 100);
    within(1.0, "ln", "ln(x)", Kind::NUMBER, 130);
    within(1.0, "log10", "log10(x)", Kind::NUMBER, 130);
    within(1.0, "pow", "x ^ y", Kind::NUMBER, 240);
}

/// By the definition of degrees: every quarter turn, however many turns away.
#[test]
fn quadrants_are_exact_however_many_turns_away() {
    for turns in [0.0, 1.0, -1.0, 7.0, -1e6, 1e12] {
        for (quarter, sine) in [(0.0, 0.0), (1.0, 1.0), (2.0, 0.0), (3.0, -1.0)] {
            let angle = 360.0 * turns + 90.0 * quarter;
            assert_eq!(evaluated("sin(x)", &[("x", Kind::ANGLE, angle)]), Ok(sine), "{angle}");
            let ahead = angle - 90.0;
            assert_eq!(evaluated("cos(x)", &[("x", Kind::ANGLE, ahead)]), Ok(sine), "{ahead}");
        }
    }
}

/// What a sine took apart the arc sine puts together: the angle, not its neighbour.
#[test]
fn whole_and_half_degrees_come_back_from_their_sine_cosine_and_tangent() {
    for half in -179..180 {
        let angle = [("x", Kind::ANGLE, f64::from(half) / 2.0)];
        let back = Ok(angle[0].2);
        assert_eq!(evaluated("asin(sin(x))", &angle), back);
        assert_eq!(evaluated("atan(tan(x))", &angle), back);
        assert_eq!(evaluated("acos(cos(x))", &angle), Ok(angle[0].2.abs()));
    }
}
