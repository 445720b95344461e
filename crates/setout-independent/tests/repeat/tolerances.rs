//! What tolerances come to, class by class and form by form.

use setout_design::{Design, Evaluation, Memory, Role, WrittenFormula};
use setout_independent::{repeat, repeat_formulas};
use setout_standards::tables;

use crate::{evaluated, said, with_number};

fn deviations(evaluation: &Evaluation) -> Vec<WrittenFormula> {
    evaluation.formulas().into_iter().filter(|formula| formula.role.is_deviation()).collect()
}

const FORMS: &str = "dimensions:
  plain: { value: 25 mm, tolerance: ±0.2 mm }
  unequal: { value: plain * 2, tolerance: +0.25 -0 mm }
  both_up: { value: 3 in, tolerance: +0.3 mm +0.1 mm }
  thou: { value: 1 in, tolerance: +/-5 thou }
  turned: { value: 30 deg, tolerance: ±12 arcmin }
  warm: { value: 25 °C, tolerance: ±2 K }
  paid: { value: 3 GBP, tolerance: ±0.1 EUR }
  none: { value: 9.80665 m/s^2, tolerance: 0 m/s^2 }
  bore: { value: plain / 2, tolerance: H7 }
  below: { value: 0 mm - 6 mm, tolerance: g6 }
  inch: { value: 0.5 in, unit: in, tolerance: js6 }
";

#[test]
fn every_form_agrees() {
    let evaluation = evaluated(FORMS);
    assert_eq!(evaluation.faults(), []);
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(deviations(&evaluation).len(), 22);
    assert_eq!((repeat.compared, repeat.by_last_digits), (22 + 11 + 2, 0));
}

#[test]
fn that_of_a_process_is_what_the_process_says() {
    let design = "setout: 1\nprocesses:\n  printed: { tolerance: +0.3 -0.1 mm }\n  \
                  reamed: { tolerance: H7 }\n";
    let table = "dimensions:\n  a: { value: 4 mm, tolerance: printed }\n  \
                 b: { value: 8 mm, tolerance: reamed }\n";
    let evaluation =
        Design::read(&Memory::new([("design.yaml", design), ("jaw.yaml", table)])).evaluate();
    assert_eq!(evaluation.faults(), []);
    assert_eq!(said(&repeat(&evaluation)), [""; 0]);
    let written: Vec<_> = deviations(&evaluation).into_iter().map(|f| f.written).collect();
    assert_eq!(written, ["+0.3 -0.1 mm", "+0.3 -0.1 mm", "H7", "H7"]);
}

#[test]
fn every_class_at_the_end_of_every_range() {
    let limits = tables().iter().find(|table| table.id == "limits").unwrap();
    let mut table = "dimensions:\n".to_owned();
    for class in limits.rows.iter().map(|row| row[0]) {
        for end in limits.columns[1..].iter().map(|range| range.split_once('-').unwrap().1) {
            let name = format!("{}{end}", if class < "a" { "hole_" } else { "shaft_" });
            let (class_name, size) = (class.to_lowercase(), format!("value: {end} mm"));
            table += &format!("  {name}_{class_name}: {{ {size}, tolerance: {class} }}\n");
        }
    }
    let evaluation = evaluated(&table);
    assert_eq!(evaluation.faults(), []);
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(repeat.compared, 47 * 13 * 3 + 2);
}

/// A lost sign, swapped limits, half of it, twice of it, another unit.
#[test]
fn a_planted_error_is_named() {
    let evaluation = evaluated(FORMS);
    let formulas = evaluation.formulas();
    let mut planted = 0;
    for at in 0..formulas.len() {
        let role = formulas[at].role;
        if !role.is_deviation() {
            continue;
        }
        let value = formulas[at].value.clone().unwrap();
        let right = value.number().unwrap();
        let partner = if role == Role::LowerDeviation { at + 1 } else { at - 1 };
        let other = formulas[partner].value.as_ref().unwrap().number().unwrap();
        let wrong = [-right, other, right / 2.0, right * 2.0, right * 25.4, right + 1e-6, 0.0];
        for number in wrong.into_iter().filter(|number| *number != right) {
            let mut formulas = formulas.clone();
            formulas[at].value = Some(with_number(&value, number));
            let repeat = repeat_formulas(&formulas, &evaluation.moneys());
            let found: Vec<_> = repeat.differences.iter().map(|d| (&d.name, d.role)).collect();
            assert_eq!(found, [(&formulas[at].name, role)], "{number} for {right}");
            assert_eq!((repeat.followed, repeat.not_repeated.len()), (0, 0));
            planted += 1;
        }
    }
    assert!(planted > 100, "{planted}");
}

/// The first engine's class at a wrong nominal value: what begins with the value is counted there.
#[test]
fn a_class_is_looked_up_at_the_second_engines_own_size() {
    let text = "dimensions:\n  pin: 6 mm\n  bore: { value: pin, tolerance: H7 }\n";
    let evaluation = evaluated(text);
    let mut formulas = evaluation.formulas();
    let at = |formulas: &[WrittenFormula], role| {
        formulas.iter().position(|f| &*f.name == "jaw.bore" && f.role == role).unwrap()
    };
    // As if the first engine had held 6 mm for the range above.
    let upper = at(&formulas, Role::UpperDeviation);
    let value = formulas[upper].value.clone().unwrap();
    formulas[upper].value = Some(with_number(&value, 0.015));
    let repeat = repeat_formulas(&formulas, &evaluation.moneys());
    assert_eq!(said(&repeat), ["jaw.bore (UpperDeviation): 0.015 mm and 0.012 mm"]);
    // As if it had taken the pin for 6.5 mm.
    let bore = at(&formulas, Role::Dimension);
    let value = formulas[bore].value.clone().unwrap();
    formulas[bore].value = Some(with_number(&value, 6.5));
    let repeat = repeat_formulas(&formulas, &evaluation.moneys());
    assert_eq!(said(&repeat), ["jaw.bore (Dimension): 6.5 mm and 6 mm"]);
    assert_eq!(repeat.followed, 1, "its deviation is that of 6.5 mm");
}

#[test]
fn a_tolerance_that_the_first_engine_lost_is_said() {
    let evaluation = evaluated("dimensions:\n  bore: { value: 6 mm, tolerance: H7 }\n");
    let mut formulas = evaluation.formulas();
    for formula in formulas.iter_mut().filter(|formula| formula.role.is_deviation()) {
        formula.value = None;
    }
    let none = "it has no value to compare with";
    assert_eq!(
        said(&repeat_formulas(&formulas, &evaluation.moneys())),
        [
            format!("jaw.bore (LowerDeviation): {none}"),
            format!("jaw.bore (UpperDeviation): {none}")
        ]
    );
}
