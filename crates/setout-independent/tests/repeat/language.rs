//! What the two engines read alike.

use setout_independent::repeat;

use crate::{evaluated, of_formulas, said};

#[test]
fn precedence_laziness_and_functions() {
    let formulas = [
        "7 / 2",
        "2^3^2",
        "-2^2",
        "2^-1",
        "8 / 4 / 2",
        "9 - 4 - 3",
        "1 + 2 * 3 - 4 / 5",
        "-(2 - 3)^3",
        "if(1 > 0, 2, 1 / 0)",
        "if(a > 3 && !(b < 3), if(true, 4, 5), 6)",
        "- - 3 + + 4",
        "round(0.35 mm, 0.1 mm)",
        "round(-2.5)",
        "ceil(1.1 mm, 0.01 mm)",
        "floor(62 mm / 1 mm)",
        "sin(180 deg) * 3 mm",
        "cos(90 deg)",
        "atan2(-1 mm, -1 mm)",
        "atan2(0 mm, -1 mm)",
        "hypot(1 mm, 2 mm, 2 mm)",
        "arc_length(10 mm, 90 deg)",
        "clamp(9, 0, 5)",
        "min(3, a, 2)",
        "acos(0.3) - asin(0.3)",
        "mean(1, 2, 4)",
        "10000.3 mm - 10000.2 mm",
    ];
    let repeat = repeat(&of_formulas(&formulas));
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(repeat.compared, formulas.len() + 2);
    assert_eq!(repeat.by_last_digits, 3, "sin(180 deg), cos(90 deg), and the small difference");
}

#[test]
fn columns_texts_and_checks() {
    let evaluation = evaluated(
        "dimensions:
  size: { text: M4 }
  again: size
  is_four: if(again == \"M4\", 4 mm, 5 mm)
  total: sum(servo.stall * servo.share)
  most: max(servo.stall / max(servo.stall), 0.1)
  strong: count(servo.stall > 1 A)
  micro: count(servo.size == \"micro\")
  all: count(servo.size)
  low: { value: mean(servo.stall), min: min(servo.stall), max: max(servo.stall) }
schedules:
  servo:
    columns: { size: text, stall: A, share: '%' }
    rows:
      left: [standard, 1.2 A, 50 %]
      right: [standard, 1.25 A, 60 %]
      pan: [micro, 0.75 A, 70 %]
checks:
  one: { require: 'low > 1 A && low < 2 A', tight: 0.01 A, why: one }
  two: { require: '!(low < 1 A || total > 2 A)', why: two }
  three: { require: 'size == \"M4\"', why: three }
  four: { require: 'is_four <= 4 mm', why: no margin is left but that is enough }
  five: { require: 'is_four < 4 mm', why: the same fails }
parts:
  lid: { made: bought, quantity: 2, cost: 3 EUR, mass: 5 g }
  pin: { made: bought, cost: lid.cost / 4 }
",
    );
    assert_eq!(evaluation.faults(), []);
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(repeat.compared, evaluation.formulas().len());
    assert_eq!(repeat.compared, 9 + 9 + 2 + 5 + 1 + 5 + 2);
}

#[test]
fn what_has_no_value_is_said() {
    let evaluation = evaluated("dimensions:\n  a: 1 / 0\n  b: a + 1\n  c: 2\n");
    let repeat = repeat(&evaluation);
    let none = "it has no value to compare with";
    let lines = [format!("jaw.a (Dimension): {none}"), format!("jaw.b (Dimension): {none}")];
    assert_eq!(said(&repeat)[..2], lines);
}

#[test]
fn long_formulas_and_deep_ones() {
    let sum = vec!["1"; 2048].join("+");
    let product = vec!["a"; 1000].join("*");
    let and = vec!["a>1"; 800].join("&&");
    let deep = format!("{}a{}", "(".repeat(60), ")".repeat(60));
    let powers = vec!["1"; 60].join("^");
    let evaluation =
        of_formulas(&["1.0001", &sum, &product, &format!("if({and},1,2)"), &deep, &powers]);
    assert_eq!(said(&repeat(&evaluation)), [""; 0]);
}

#[test]
fn long_columns() {
    let rows: String = (0..3000).map(|row| format!("      r{row}: [{row}.5 mm]\n")).collect();
    let evaluation = evaluated(&format!(
        "dimensions:\n  all: sum(list.x * list.x)\n  most: max(list.x) / count(list.x > 1 m)\n\
         schedules:\n  list:\n    columns: {{ x: mm }}\n    rows:\n{rows}"
    ));
    assert_eq!(evaluation.faults(), []);
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(repeat.compared, 3000 + 2 + 2);
}
