//! Checks and limits, at rest.

use setout_design::{How, Verdict};

use crate::good;

fn check(require: &str) -> setout_design::CheckResult {
    let text = format!(
        "dimensions:\n  w: 10 mm\n  a: 30 deg\n  in_in: 2 in\nchecks:\n  c: {{ {require}, why: because }}\n"
    );
    good(&[("t", &text)]).checks()[0].clone()
}

#[test]
fn margins_come_in_the_checks_own_unit() {
    let shown = |require: &str| {
        let check = check(require);
        format!("{} {:?} {}", check.verdict, check.margin.unwrap(), check.unit.symbol())
    };
    assert_eq!(shown("require: w >= 9 mm"), "holds 1.0 mm");
    assert_eq!(shown("require: w >= 12 mm"), "fails -2.0 mm");
    assert_eq!(shown("require: in_in >= 1 in"), "holds 1.0 in");
    assert_eq!(shown("require: w + 1 mm >= 1 cm"), "holds 0.1 cm");
    assert_eq!(shown("require: w >= 9 mm, tight: 1.5 mm"), "tight 1.0 mm");
    assert_eq!(shown("require: w >= 9 mm, tight: 0.1 cm"), "holds 0.1 cm");
    assert_eq!(shown("require: w >= 9 mm, tight: 0.2 cm"), "tight 0.1 cm");
    assert_eq!(shown("require: sin(a) <= 0.75"), "holds 0.25 ");
}

#[test]
fn a_margin_of_nothing_holds_or_fails_by_its_sign() {
    assert_eq!(check("require: w >= 10 mm").verdict, Verdict::Holds);
    assert_eq!(check("require: w > 10 mm").verdict, Verdict::Fails);
    assert_eq!(check("require: w >= 10.0000000001 mm").verdict, Verdict::Holds);
    assert_eq!(check("require: w >= 10.0001 mm").verdict, Verdict::Fails);
}

#[test]
fn a_check_says_its_numbers() {
    assert_eq!(check("require: w - 1 mm >= 9 mm").filled_in.to_string(), "10 mm - 1 mm >= 9 mm");
    assert_eq!(
        check("require: w^2 / w >= 9 mm").filled_in.to_string(),
        "(10 mm)^2 / 10 mm >= 9 mm"
    );
}

/// A state is only given where it was assessed; one in which nothing varies repeats the one before.
#[test]
fn states_that_were_not_assessed_are_absent() {
    let design = good(&[(
        "t",
        "dimensions:\n  w: 10 mm\n  open: { value: 0 deg, travel: [0 deg, 28 deg] }\n  made: { value: 5 mm, tolerance: printed }\n  \
         exact: { value: 5 mm, tolerance: 0 mm }\n\
         checks:\n  still: { require: w > 1 mm }\n  moves: { require: open < 30 deg }\n  is_made: { require: made > 1 mm }\n  is_exact: { require: exact > 1 mm }\n",
    )]);
    let states = |name: &str| {
        let check = design.checks().iter().find(|check| check.name == name).unwrap();
        (check.travel.as_ref().map(|state| state.how), check.worst.as_ref().map(|state| state.how))
    };
    assert_eq!(states("t.still"), (Some(How::Computed), Some(How::Computed)));
    assert_eq!(states("t.moves"), (None, None));
    assert_eq!(states("t.is_made"), (Some(How::Computed), None));
    assert_eq!(states("t.is_exact"), (Some(How::Computed), Some(How::Computed)));
}

#[test]
fn limits_bound_the_nominal_value() {
    let design = good(&[(
        "t",
        "dimensions:\n  a: { value: 5 mm, min: 4 mm, max: 6 mm }\n  b: { value: a * 2, max: 9 mm }\n  \
         c: { value: a, travel: [0 mm, 4 mm] }\n  d: { value: a, min: 5 mm }\n  free: { value: 1 mm, travel: [0 mm, 3 mm] }\n",
    )]);
    let shown: Vec<String> = design
        .limits()
        .iter()
        .map(|limit| format!("{} {} {:?}", limit.name, limit.verdict, limit.margin.unwrap()))
        .collect();
    assert_eq!(shown, ["t.a holds 1.0", "t.b fails -1.0", "t.c fails -1.0", "t.d holds 0.0"]);
    assert_eq!(design.verdict(), Verdict::Fails);
}

/// A limit is told in the unit of what it limits, and here that is not known.
#[test]
fn limits_of_what_cannot_be_understood_are_told_in_no_unit() {
    let table = "dimensions:\n  a: { value: nothing * 2, min: 1 in, max: 2 in, travel: [1 in, 2 in], tolerance: ±0.1 in }\n";
    let evaluation = setout_design::Design::read(&crate::texts(&[("t", table)])).evaluate();
    let a = &evaluation.dimensions()[0];
    assert_eq!((a.min, a.max, a.travel, a.deviations), (None, None, None, None));
    for limit in evaluation.limits() {
        assert_eq!((limit.verdict, limit.min, limit.max), (Verdict::Unknown, None, None));
    }
    let formulas = evaluation.formulas().into_iter();
    let of_a = formulas.filter(|of| &*of.name == "t.a");
    let values: Vec<String> = of_a.filter_map(|of| Some(of.value?.to_string())).collect();
    assert_eq!(values, ["1 in", "2 in", "1 in", "2 in"]);
}
