//! Random formulas, with units and without, against Python's arithmetic and its `math` module.
//!
//! Python computes with plain floats in base units, by the factors of these tests' own table. It is
//! required: a machine without `python3` fails the test.

use std::io::Write;
use std::process::{Command, Stdio};

use setout_quantity::Kind;

use crate::grow::{Grower, NAMES, Numbers, kind_of, spellings};
use crate::judge::{Judged, Unjudged, judged};
use crate::random::Random;
use crate::tree::{Language, Tree};
use crate::units::{NUMBER, UNITS};
use crate::{Named, evaluated};

/// A random formula, the values of its names, and its value as far as it can be told.
struct Case {
    tree: Tree,
    values: Vec<f64>,
    judged: Result<Judged, Unjudged>,
}

impl Case {
    fn python(&self) -> String {
        let spelt: Vec<_> = spellings().iter().map(|name| name.replace('.', "_")).collect();
        let spelt: Vec<_> = spelt.iter().map(String::as_str).collect();
        let values =
            spelt.iter().zip(&self.values).map(|(name, value)| format!("{name}={value:?}"));
        let values = values.collect::<Vec<_>>().join(" ");
        format!("{values}\t{}\n", self.tree.written(Language::Python, &spelt))
    }

    fn ours(&self) -> String {
        self.tree.written(Language::Ours, &spellings())
    }

    fn names(&self) -> Vec<Named> {
        let values = NAMES.iter().zip(&self.values);
        values
            .map(|((name, dims), value)| (*name, kind_of(*dims), *value))
            .collect::<Vec<(_, Kind, _)>>()
    }
}

/// The values that Python gives, in one run for all formulas; none where it has none.
fn python(cases: &[Case]) -> Vec<Option<f64>> {
    let child = Command::new("python3")
        .args(["-I", "-c", include_str!("../data/evaluate.py")])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    let mut child = child.unwrap_or_else(|error| {
        panic!("this test needs Python 3 as `python3` on the PATH, to compare with: {error}")
    });
    let lines: String = cases.iter().map(Case::python).collect();
    child.stdin.take().unwrap().write_all(lines.as_bytes()).expect("Python reads its lines");
    let output = child.wait_with_output().expect("Python ends");
    assert!(output.status.success(), "Python failed");
    let text = String::from_utf8(output.stdout).expect("text");
    let found: Vec<_> = text.lines().map(|line| line.parse().ok()).collect();
    assert_eq!(found.len(), cases.len());
    found
}

/// Grown formulas of which something can be told: at least so many with a value.
fn cases(random: &mut Random, with_units: bool, wanted: usize) -> Vec<Case> {
    let mut cases = Vec::new();
    let mut with_value = 0;
    while with_value < wanted {
        let dims = if with_units { UNITS[random.below(UNITS.len())].dims } else { NUMBER };
        let mut grower = Grower { random, numbers: Numbers::Usual, plain: !with_units };
        let depth = 1 + with_value % 5;
        let tree = match with_value % 5 {
            4 => grower.formula(|grower| grower.condition(None, depth)),
            _ => grower.formula(|grower| grower.quantity(dims, depth)),
        };
        let values = grower.values();
        let judged = judged(&tree, &values);
        let told = match judged {
            Ok(judged) => judged.tells(),
            Err(unjudged) => unjudged == Unjudged::NoValue,
        };
        if told {
            with_value += usize::from(judged.is_ok());
            cases.push(Case { tree, values, judged });
        }
    }
    cases
}

fn compared(case: &Case, theirs: Option<f64>) -> Result<(), String> {
    let theirs = theirs.filter(|value| value.is_finite());
    match (evaluated(&case.ours(), &case.names()), theirs, case.judged) {
        (Ok(ours), Some(theirs), Ok(judged)) if (ours - theirs).abs() <= judged.tolerance() => {
            Ok(())
        }
        // Python goes on with an infinity, and may divide by it: the judge has seen it.
        (Err(fault), _, Err(Unjudged::NoValue)) if fault.slug() == "domain" => Ok(()),
        (ours, theirs, judged) => Err(format!("{ours:?} here, {theirs:?} there, {judged:?} meant")),
    }
}

fn thousand_agree(with_units: bool) {
    let (mut random, seed) = Random::seeded();
    let cases = cases(&mut random, with_units, 1000);
    let mut without = (0, 0);
    for (case, theirs) in cases.iter().zip(python(&cases)) {
        compared(case, theirs).unwrap_or_else(|why| {
            panic!("seed {seed}: {}\n{why}\nPython: {}", case.ours(), case.python())
        });
        if case.judged.is_err() {
            without.0 += 1;
            without.1 += usize::from(theirs.is_none_or(|value| !value.is_finite()));
        }
    }
    println!("seed {seed}: {} formulas, {without:?} without value here, there too", cases.len());
    assert!(without.1 * 100 >= without.0 * 95, "{without:?} without value here, there too");
}

#[test]
fn a_thousand_random_formulas_of_plain_numbers_agree_with_python() {
    thousand_agree(false);
}

#[test]
fn a_thousand_random_formulas_with_units_agree_with_python() {
    thousand_agree(true);
}
