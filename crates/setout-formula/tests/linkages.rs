//! Linkages against published examples and a numeric loop closure.

use std::io::Write;
use std::process::{Command, Stdio};

use setout_formula::{Formula, Machine, Texts};
use setout_quantity::Units;

/// The value in base units, or the message of the fault.
fn value(text: &str) -> Result<f64, String> {
    let units = Units::standard();
    let (formula, faults) = Formula::read(text, &units);
    assert!(faults.is_empty(), "{text}: {faults:?}");
    let formula = formula.unwrap();
    let mut texts = Texts::default();
    let compiled = formula.compile(&[], &units, &mut texts).unwrap();
    let result = Machine::with(&texts).run(&compiled.code, &[]);
    result.map_err(|stop| formula.explain(&stop, &[], &units, &texts).message())
}

#[track_caller]
fn near(text: &str, expected: f64) {
    let found = value(text).unwrap();
    assert!((found - expected).abs() <= 1e-6, "{text} is {found}, not {expected}");
}

/// a, b, c, d, θ2; then θ3, θ4 and the transmission angle of the open circuit and of the crossed
/// one. The first is a textbook example (Norton, Design of Machinery, Ex. 4-1, from memory); all
/// were computed by intersecting circles at high precision and by a numeric loop closure, which
/// agree to 1e-9 deg.
const FOUR_BARS: [([f64; 5], [f64; 3], [f64; 3]); 4] = [
    (
        [40.0, 120.0, 80.0, 100.0, 40.0],
        [20.297882788196475, 57.32488007036079, 37.02699728216432],
        [-60.97796679586443, -98.00496407802875, 37.02699728216432],
    ),
    (
        [60.0, 30.0, 55.0, 70.0, 60.0],
        [4.029268804731807, 100.5542476488756, 96.5249788441438],
        [-108.85108986678192, 154.62393128907428, 96.5249788441438],
    ),
    (
        [40.0, 100.0, 40.0, 100.0, 50.0],
        [0.0, 50.0, 50.0],
        [-44.82935963153541, -94.82935963153541, 50.0],
    ),
    (
        [12.0, 38.0, 18.0, 40.0, 70.0],
        [10.093551465284433, 85.16834004204276, 75.07478857675832],
        [-44.972783237272566, -120.04757181403089, 75.07478857675832],
    ),
];

#[test]
fn four_bars_stand_as_in_the_examples() {
    for ([a, b, c, d, angle], open, crossed) in FOUR_BARS {
        for (circuit, expected) in [("open", open), ("crossed", crossed)] {
            let call = |name: &str| {
                format!("{name}({a} mm, {b} mm, {c} mm, {d} mm, {angle} deg, \"{circuit}\")")
            };
            near(&call("four_bar_coupler"), expected[0]);
            near(&call("four_bar_output"), expected[1]);
            near(&call("four_bar_transmission"), expected[2]);
        }
    }
}

/// Norton, Design of Machinery, Ex. 4-2, from memory; recomputed.
#[test]
fn a_slider_crank_stands_as_in_the_example() {
    near("slider_crank(40 mm, 120 mm, -20 mm, 60 deg, \"open\")", 126.83800519452289);
    near("slider_crank(40 mm, 120 mm, -20 mm, 60 deg, \"crossed\")", 40.0 - 126.83800519452289);
}

#[test]
fn classes_are_grashofs() {
    for (links, class) in [
        ("40 mm, 120 mm, 80 mm, 100 mm", "crank-rocker"),
        ("60 mm, 30 mm, 55 mm, 70 mm", "Grashof double-rocker"),
        ("40 mm, 100 mm, 40 mm, 100 mm", "change-point"),
        ("12 mm, 38 mm, 18 mm, 40 mm", "crank-rocker"),
        ("80 mm, 100 mm, 90 mm, 40 mm", "double-crank"),
        ("80 mm, 100 mm, 40 mm, 90 mm", "rocker-crank"),
        ("50 mm, 60 mm, 70 mm, 90 mm", "triple-rocker"),
    ] {
        assert_eq!(
            value(&format!("if(four_bar_class({links}) == \"{class}\", 1, 0)")),
            Ok(1.0),
            "{links}"
        );
    }
}

#[test]
fn what_cannot_close_says_by_how_much() {
    let fault = |text: &str| value(text).unwrap_err();
    assert_eq!(
        fault("four_bar_output(60 mm, 30 mm, 55 mm, 70 mm, 95 deg, \"open\")"),
        "the linkage cannot close at θ2 = 95 deg: shortest gap 11.0839 mm"
    );
    assert_eq!(
        fault("slider_crank(40 mm, 30 mm, 0 mm, 90 deg, \"open\")"),
        "the slider-crank cannot close at θ2 = 90 deg: shortest gap 10 mm"
    );
    assert_eq!(
        fault("four_bar_output(0 mm, 30 mm, 55 mm, 70 mm, 95 deg, \"open\")"),
        "the link a has no length: it is 0 mm"
    );
    assert_eq!(
        fault("four_bar_output(40 mm, 100 mm, 40 mm, 100 mm, 50 deg, \"opened\")"),
        "`opened` is no circuit of a linkage"
    );
    assert!(
        fault("if(four_bar_class(30.3 mm, 10.1 mm, 10.1 mm, 10.1 mm) == \"x\", 1, 0)")
            .contains("longest")
    );
    assert!(
        fault("if(four_bar_class(10 mm, 10 mm, 10 mm, 40 mm) == \"x\", 1, 0)").contains("longest")
    );
}

/// Ten thousand linkages against a solve of the loop by Newton's method in Python.
#[test]
fn random_linkages_agree_with_a_numeric_loop_closure() {
    let mut state = 0x9e37_79b9_7f4a_7c15_u64;
    let mut random = |low: f64, high: f64| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        low + (high - low) * (state >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut lines = String::new();
    let mut closed = 0;
    for index in 0..10_000 {
        let [a, b, c, d] = [(); 4].map(|()| random(10.0, 120.0));
        let angle = random(-180.0, 180.0);
        let circuit = if index % 2 == 0 { "open" } else { "crossed" };
        let call = |name: &str| {
            format!("{name}({a} mm, {b} mm, {c} mm, {d} mm, 1 deg * ({angle}), \"{circuit}\")")
        };
        let pose = (value(&call("four_bar_coupler")), value(&call("four_bar_output")));
        let shown = match pose {
            (Ok(coupler), Ok(output)) => {
                closed += 1;
                format!("{coupler:?} {output:?}")
            }
            _ => "open".to_owned(),
        };
        lines.push_str(&format!("{a:?} {b:?} {c:?} {d:?} {angle:?} {circuit} {shown}\n"));
    }
    assert!(closed > 3_000, "only {closed} linkages close");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/linkages.py");
    let mut python = Command::new("python3")
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 is needed for this test: install it, or run tests/run");
    python.stdin.take().unwrap().write_all(lines.as_bytes()).unwrap();
    let output = python.wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    assert_eq!(said.trim(), format!("{closed} closed, {} open, 0 wrong", 10_000 - closed));
}
