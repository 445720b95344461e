//! Hardware lookups, linkages and tolerance classes in tables.

use setout_design::{Design, HARDWARE};

use crate::{faults, good, texts, values};

/// Values of the standards that the functions name; `setout-standards` holds them to other tables.
#[test]
fn every_lookup_does_what_its_example_says() {
    let mut table = String::from("dimensions:\n");
    for function in HARDWARE {
        table.push_str(&format!("  {}: {}\n", function.name, function.example));
    }
    let design = good(&[("t", &table)]);
    for function in HARDWARE {
        let value = design.value(&format!("t.{}", function.name)).unwrap();
        let shown = match &value {
            setout_design::Amount::Text(text) => format!("{text:?}"),
            other => other.to_string(),
        };
        assert_eq!(shown, function.result, "{}", function.example);
    }
}

#[test]
fn a_screw_is_chosen_once() {
    let design = good(&[(
        "jaw",
        "dimensions:\n  pivot: { text: M4, one_of: [M3, M4, M5] }\n  hole: clearance_hole(pivot)\n  \
         close: clearance_hole(pivot, \"fine\")\n  bore: shoulder_diameter(\"8\")\n  thread: shoulder_thread(\"8\")\n  tap: tap_drill(thread)\n",
    )]);
    assert_eq!(
        values(&design, "jaw.hole jaw.close jaw.thread jaw.tap"),
        "jaw.hole 4.5 mm, jaw.close 4.3 mm, jaw.thread M6, jaw.tap 5 mm"
    );
    let wider = design.design().with(&[("jaw.pivot", "M5")]).unwrap().evaluate();
    assert_eq!(values(&wider, "jaw.hole"), "jaw.hole 5.5 mm");
}

#[test]
fn a_size_that_a_table_lacks_names_its_neighbours() {
    let evaluation = Design::read(&texts(&[(
        "t",
        "dimensions:\n  a: clearance_hole(\"M7\")\n  b: head_height(\"M2.5\", \"button\")\n  c: clearance_hole(4 mm)\n  \
         d: four_bar_output(10 mm, 20 mm, 20 mm, 60 mm, 90 deg, \"open\")\n  e: clearance_hole(\"M4\", 3)\n  f: { value: 20 mm, tolerance: H77 }\n",
    )]))
    .evaluate();
    let found = faults(&evaluation);
    let lines: Vec<&str> = found.lines().collect();
    assert!(lines[0].starts_with("params/t.yaml:2:6: "), "{found}");
    assert!(lines[0].contains("M7") && lines[0].ends_with("(domain)"), "{found}");
    assert!(lines[1].contains("ISO 7380-1"), "{found}");
    assert!(evaluation.faults()[1].help.contains("M3, M4, M5"), "{}", evaluation.faults()[1].help);
    assert_eq!(
        lines[2],
        "params/t.yaml:4:21: `clearance_hole` takes a text here, and `4 mm` is a length (unit-mismatch)"
    );
    assert_eq!(
        lines[3],
        "params/t.yaml:5:6: the linkage cannot close at θ2 = 90 deg: shortest gap 20.8276 mm (domain)"
    );
    assert_eq!(
        lines[4],
        "params/t.yaml:6:27: `clearance_hole` takes a text here, and `3` is a plain number (unit-mismatch)"
    );
    assert!(lines[5].starts_with("params/t.yaml:7:33: ") && lines[5].contains("H77"), "{found}");
}

/// ISO 286-2: H7 at 25 mm is +21/0 µm, g6 -7/-20 µm.
#[test]
fn tolerances_come_to_deviations() {
    let design = good(&[(
        "t",
        "dimensions:\n  bore: { value: 25 mm, tolerance: H7 }\n  pin: { value: bore, tolerance: g6 }\n  \
         plate: { value: 1 in, tolerance: printed }\n  slot: { value: 5 mm, tolerance: +0.1 -0.3 mm }\n",
    )]);
    let deviations: Vec<_> = design.dimensions().iter().map(|d| d.deviations.unwrap()).collect();
    assert_eq!(deviations[0], [0.0, 0.021]);
    assert_eq!(deviations[1], [-0.02, -0.007]);
    assert!((deviations[2][1] - 0.2 / 25.4).abs() < 1e-15);
    assert_eq!(deviations[3], [-0.3, 0.1]);
}
