//! Errors planted into what the first engine gives, each found, and only where it begins.

use setout_design::{Amount, Evaluation, WrittenFormula};
use setout_independent::{Repeat, repeat_formulas};

use crate::{evaluated, of_formulas, said};

const CHAIN: &[&str] = &["62 mm", "a * 2", "b + 1 in", "sqrt(c * a)", "2 * 3 mm + a / 2"];

/// The design, after something was done to one of its formulas.
fn doctored(evaluation: &Evaluation, name: &str, what: impl Fn(&mut WrittenFormula)) -> Repeat {
    let mut formulas = evaluation.formulas();
    what(formulas.iter_mut().find(|formula| &*formula.name == name).expect("the formula"));
    repeat_formulas(&formulas, &evaluation.moneys())
}

fn by(factor: f64) -> impl Fn(&mut WrittenFormula) {
    move |formula| {
        if let Some(Amount::Number { number, .. }) = &mut formula.value {
            *number *= factor;
        }
    }
}

fn names(repeat: &Repeat) -> Vec<&str> {
    repeat.differences.iter().map(|difference| &*difference.name).collect()
}

#[test]
fn one_altered_value_is_named_alone() {
    let evaluation = of_formulas(CHAIN);
    for name in ["jaw.a", "jaw.b", "jaw.c", "jaw.d", "jaw.e"] {
        let repeat = doctored(&evaluation, name, by(1.0 + 1e-9));
        assert_eq!((names(&repeat), repeat.followed), (vec![name], 0));
        let repeat = doctored(&evaluation, name, by(1.0 + 2e-12));
        assert_eq!((names(&repeat), repeat.followed), (vec![name], 0), "{:?}", said(&repeat));
    }
}

/// An error of the first engine is passed on by what names it; that is counted, not listed.
#[test]
fn what_only_follows_is_counted() {
    let evaluation = of_formulas(CHAIN);
    let wrong = of_formulas(&["62 mm", "a * 2.001", "b + 1 in", "sqrt(c * a)", "2 * 3 mm + a / 2"]);
    let mut formulas = wrong.formulas();
    for (formula, right) in formulas.iter_mut().zip(evaluation.formulas()) {
        formula.written = right.written;
    }
    let repeat = repeat_formulas(&formulas, &evaluation.moneys());
    assert_eq!(said(&repeat), ["jaw.b (Dimension): 124.062 mm and 124 mm"]);
    assert_eq!((repeat.followed, repeat.compared), (2, 4));
    assert!(!repeat.agrees());
}

/// As if the first engine had another factor, function or precedence than what is written.
#[test]
fn factors_functions_and_precedence() {
    for (computed, written) in [
        ("25.41 mm + 1 mm", "1 in + 1 mm"),
        ("9.81 N * 1 mm", "1 kgf·mm"),
        ("273.15 K / 1 K", "(0 °C - -273.16 °C) / 1 K"),
        ("sin(30 deg)", "cos(30 deg)"),
        ("floor(2.6)", "round(2.6)"),
        ("round(7.2 mm, 0.5 mm)", "round(7.3 mm, 0.5 mm)"),
        ("(2^3)^2", "2^3^2"),
        ("(-2)^2", "-2^2"),
        ("(1 + 2) * 3", "1 + 2 * 3"),
        ("9 - (4 - 3)", "9 - 4 - 3"),
        ("8 / (4 * 2)", "8 / 4 * 2"),
        ("if(2 > 3, 1, 2)", "if(2 < 3, 1, 2)"),
        ("min(1, 2)", "max(1, 2)"),
        ("cos(90.0000001 deg) * 1 m", "cos(90 deg) * 1 m"),
        ("1000.0000001 mm - 1000 mm", "1000 mm - 1000 mm"),
    ] {
        let evaluation = of_formulas(&[computed]);
        assert_eq!(names(&doctored(&evaluation, "jaw.a", |_| {})), [""; 0], "{computed}");
        let repeat = doctored(&evaluation, "jaw.a", |formula| formula.written = written.into());
        assert_eq!(names(&repeat), ["jaw.a"], "{computed} for {written}");
    }
}

#[test]
fn checks_limits_and_totals() {
    let evaluation = evaluated(
        "dimensions:\n  gap: { value: 3 mm, min: 1 mm, travel: [2 mm, 4 mm] }\n\
         checks:\n  room: { require: gap >= 1 mm, tight: 0.5 mm, why: room }\n\
         parts:\n  lid: { made: bought, quantity: 3, cost: 2 GBP, mass: 4 g }\n",
    );
    let formulas = evaluation.formulas();
    for index in 0..formulas.len() {
        let mut formulas = formulas.clone();
        by(1.001)(&mut formulas[index]);
        let repeat = repeat_formulas(&formulas, &evaluation.moneys());
        let (name, role) = (&formulas[index].name, formulas[index].role);
        let found: Vec<_> = repeat.differences.iter().map(|d| (&d.name, d.role)).collect();
        assert_eq!(found, [(name, role)]);
    }
    assert_eq!(formulas.len(), 1 + 3 + 2 + 3 + 2);
}

#[test]
fn a_verdict_that_its_margin_belies() {
    let evaluation = evaluated(
        "dimensions:\n  gap: 3 mm\nchecks:\n  room: { require: gap < 3 mm, why: room }\n  \
         pin: { require: 'gap > 2 mm || 1 == 2', why: pin }\n",
    );
    let turned = |formula: &mut WrittenFormula| formula.holds = formula.holds.map(|holds| !holds);
    assert_eq!(names(&doctored(&evaluation, "jaw.room", turned)), ["jaw.room"]);
    assert_eq!(names(&doctored(&evaluation, "jaw.pin", turned)), ["jaw.pin"]);
}

#[test]
fn a_function_that_the_second_engine_lacks_is_said() {
    let evaluation = of_formulas(&["3 mm", "a * 2"]);
    let repeat = doctored(&evaluation, "jaw.a", |formula| {
        formula.written = "clearance(\"M3\", \"medium\")".into();
    });
    let said = said(&repeat);
    assert_eq!(said, ["jaw.a (Dimension): the other engine has no `clearance`"]);
    assert_eq!(repeat.compared, 3, "what names it goes on from the first engine's value");
}

#[test]
fn a_jump_on_the_last_digits_is_said() {
    // In binary 0.1 + 0.2 is more than 0.3, by its seventeenth digit.
    let repeat = doctored(&of_formulas(&["if(0.1 + 0.2 > 0.3, 1, 2)"]), "jaw.a", |_| {});
    let why =
        "it rounds or compares a number whose last digits decide: 1, and 2 by the other engine";
    assert_eq!(said(&repeat), [format!("jaw.a (Dimension): {why}")]);
}
