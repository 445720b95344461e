//! The second engine against the first: they agree on good designs, and every planted error of the
//! first is found where it begins.

mod language;
mod planted;
mod random;
mod sample;
mod units;

use setout_design::{Design, Evaluation, Memory, Role};
use setout_independent::Repeat;

/// A design of one table `jaw`.
fn evaluated(table: &str) -> Evaluation {
    let design = "setout: 1\ncurrency: GBP\nrates: { EUR: 0.85 GBP }\n";
    Design::read(&Memory::new([("design.yaml", design), ("jaw.yaml", table)])).evaluate()
}

/// A design of dimensions `a`, `b`, … with these formulas.
fn of_formulas(formulas: &[&str]) -> Evaluation {
    let lines =
        formulas.iter().zip('a'..).map(|(formula, name)| format!("  {name}: '{formula}'\n"));
    let evaluation = evaluated(&format!("dimensions:\n{}", lines.collect::<String>()));
    assert_eq!(evaluation.faults(), []);
    evaluation
}

/// What differs and what was not repeated, a line each.
fn said(repeat: &Repeat) -> Vec<String> {
    let shown = |amount: &setout_design::Amount| amount.to_string();
    let differs = repeat.differences.iter().map(|difference| {
        let second = difference.second.as_ref().map_or_else(|| "none".to_owned(), shown);
        let (name, role) = (&difference.name, difference.role);
        format!("{name} ({role:?}): {} and {second}", difference.first)
    });
    let not =
        repeat.not_repeated.iter().map(|not| format!("{} ({:?}): {}", not.name, not.role, not.why));
    differs.chain(not).collect()
}

/// How many formulas of a role there are.
fn number_of(evaluation: &Evaluation, role: Role) -> usize {
    evaluation.formulas().iter().filter(|formula| formula.role == role).count()
}
