//! The second engine against the first: they agree on good designs, and every planted error of the
//! first is found where it begins.

mod digits;
mod hardware;
mod language;
mod linkages;
mod planted;
mod random;
mod sample;
mod sources;
mod tolerances;
mod units;

use std::collections::HashSet;

use setout_design::{Amount, Design, Evaluation, Memory, Role, WrittenFormula};
use setout_independent::{Repeat, repeat_formulas};

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

/// A design of dimensions `d0`, `d1`, … with these formulas, however many. What has no value is
/// allowed.
fn of_many(formulas: &[String]) -> Evaluation {
    let lines = formulas.iter().enumerate().map(|(at, formula)| format!("  d{at}: '{formula}'\n"));
    evaluated(&format!("dimensions:\n{}", lines.collect::<String>()))
}

/// The values of the dimensions, in their order.
fn dimensions(evaluation: &Evaluation) -> Vec<WrittenFormula> {
    let all = evaluation.formulas().into_iter();
    all.filter(|formula| formula.role == Role::Dimension).collect()
}

/// Which of these values the second engine names when the first is made to have given them to a
/// formula. None is passed over.
fn named(formula: &WrittenFormula, values: impl IntoIterator<Item = Amount>) -> Vec<bool> {
    let wrong = |(at, value): (usize, Amount)| WrittenFormula {
        name: format!("wrong.{at}").into(),
        value: Some(value),
        ..formula.clone()
    };
    let wrong: Vec<_> = values.into_iter().enumerate().map(wrong).collect();
    let repeat = repeat_formulas(&wrong, &[]);
    assert_eq!((repeat.followed, repeat.not_repeated.len()), (0, 0), "{:?}", said(&repeat));
    assert_eq!(repeat.differences.len() + repeat.compared, wrong.len());
    let differ: HashSet<&str> = repeat.differences.iter().map(|it| &*it.name).collect();
    wrong.iter().map(|formula| differ.contains(&*formula.name)).collect()
}

/// The same amount with another number.
fn with_number(amount: &Amount, number: f64) -> Amount {
    match amount {
        Amount::Number { unit, .. } => Amount::Number { number, unit: unit.clone() },
        other => panic!("{other} is no number"),
    }
}

/// How many formulas of a role there are.
fn number_of(evaluation: &Evaluation, role: Role) -> usize {
    evaluation.formulas().iter().filter(|formula| formula.role == role).count()
}
