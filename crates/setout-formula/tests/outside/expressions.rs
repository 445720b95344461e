//! Formulas against values computed with mpmath (`data/expressions.csv`).

use crate::{apart, evaluated};

/// What is asked of every formula; the worst is off by 5e-16.
const LARGEST: f64 = 4e-15;
/// What is asked where the file notes that an ulp of an angle is many of its cosine: the number in
/// radians is rounded once more when it becomes an angle.
const LARGEST_ILL_CONDITIONED: f64 = 1e-14;

struct Row {
    formula: &'static str,
    value: f64,
    note: &'static str,
}

fn rows() -> impl Iterator<Item = Row> {
    let text = include_str!("../data/expressions.csv");
    text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| {
        let [note, value, formula] = line.rsplitn(3, ',').collect::<Vec<_>>()[..] else {
            panic!("three columns: {line}");
        };
        Row { formula: formula.trim_matches('"'), value: value.parse().expect("a value"), note }
    })
}

#[test]
fn formulas_agree_with_mpmath_to_the_last_digits() {
    let mut worst = (0.0, "");
    for Row { formula, value, note } in rows() {
        let found = evaluated(formula, &[]).unwrap_or_else(|fault| panic!("{formula}: {fault:?}"));
        let error = apart(found, value);
        let ill_conditioned = note.ends_with("ill-conditioned");
        let most = if ill_conditioned { LARGEST_ILL_CONDITIONED } else { LARGEST };
        assert!(error <= most, "{formula} is {value}, not {found}: {error:e}");
        if error > worst.0 && !ill_conditioned {
            worst = (error, formula);
        }
    }
    println!("worst {:e} in {}", worst.0, worst.1);
}

#[test]
fn the_file_holds_all_eighty_formulas() {
    assert_eq!(rows().count(), 80);
}
