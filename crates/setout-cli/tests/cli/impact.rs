//! `setout impact`.

use expect_test::expect;
use serde_json::json;

use crate::bench::{Bench, keys};
use crate::jaw::jaw;

#[test]
fn other_values_are_tried() {
    let bench = jaw();
    let before = bench.files();
    expect![[r#"
        $ setout impact jaw.width=66mm
        With these values:
          jaw.width  62 → 66 mm

        3 dimensions change:
          jaw.gap            16 → 14 mm
          jaw.play            4 → 3.5 mm  via jaw.gap
          jaw.pose.shut.jaw  16 → 14 mm   via jaw.gap

        Reached, with the same value: jaw.steps.

        1 part has to be made again:
          jaw.jaw  printed  3.10 → 3.30 GBP     30 g
              jaw.width

        fails    jaw.room, margin -1 mm; it held by 1 mm
                 requires    gap >= 15 mm
                 that is     14 mm >= 15 mm
                 because     the skin pulls the cheeks inwards

        1 check keeps its verdict with another margin:
          holds  jaw.play_is_small  1 → 1.5 mm

        Schedules with other values: jaw.pose.
        Exports with other values: ../out/jaw.csv.
        All parts together: cost 4.30 → 4.50 GBP, mass 32 g as before.

        3 dimensions change, 1 part has to be made again, 1 check would fail. Nothing
        has been written.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout impact jaw.width=66mm"));
    expect![[r#"
        $ setout impact frame.wall=3.5mm width=60mm
        --- standard error
        setout: `width` could be several [ambiguous-name]
          help: write `frame.width` or `jaw.width`
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout impact frame.wall=3.5mm width=60mm"));
    assert_eq!(bench.files(), before);
}

#[test]
fn edits_of_all_kinds_are_told() {
    let bench = jaw();
    expect![[r#"
        $ setout impact jaw.gap=9mm jaw.pin=M3 frame.wall=30/10*1mm
        With these values:
          frame.wall   3 → 3 mm  by 30/10*1mm
          jaw.gap     16 → 9 mm  overridden: (frame.inner - width) / 2
          jaw.pin     M4 → M3

        2 dimensions change:

        From jaw.gap:
          jaw.play            4 → 2.25 mm
          jaw.pose.shut.jaw  16 → 9 mm

        Reached, with the same value: frame.inner.

        1 part has to be made again (bought):
          jaw.pin_rod  bought     1.20 GBP     2 g
              jaw.pin

        fails    jaw.room, margin -6 mm; it held by 1 mm
                 requires    gap >= 15 mm
                 that is     9 mm >= 15 mm
                 because     the skin pulls the cheeks inwards
                 from        jaw.gap

        fails    jaw.pin_is_there, a yes or no without a margin; it held
                 requires    pin == "M4"
                 that is     "M3" == "M4"
                 from        jaw.pin

        1 check keeps its verdict with another margin:
          holds  jaw.play_is_small  1 → 2.75 mm

        Schedules with other values: jaw.pose.
        Exports with other values: ../out/jaw.csv.
        All parts together: cost 4.30 GBP as before, mass 32 g as before.

        2 dimensions change, 1 part has to be made again, 2 checks would fail. Nothing
        has been written.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout impact jaw.gap=9mm jaw.pin=M3 frame.wall=30/10*1mm"));
    expect![[r#"
        $ setout impact jaw.width=62mm
        jaw.width is already 62 mm.
        Nothing would change.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout impact jaw.width=62mm"));
}

#[test]
fn without_values_the_reach_is_shown() {
    let bench = jaw();
    expect![[r#"
        $ setout impact frame.wall
        frame.wall  3 mm

        4 dimensions depend on it:
          frame.inner        94 mm
          jaw.gap            16 mm  via frame.inner
          jaw.play           4 mm   via frame.inner, jaw.gap
          jaw.pose.shut.jaw  16 mm  via frame.inner, jaw.gap

        2 checks:
          jaw.room, jaw.play_is_small

        1 limit:
          frame.wall

        1 schedule:
          jaw.pose

        1 export:
          ../out/jaw.csv

        frame.wall reaches 4 dimensions and 2 checks.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout impact frame.wall"));
    expect![[r#"
        $ setout impact jaw.steps jaw.pin
        jaw.steps  60 mm
        jaw.pin    M4

        1 part:
          jaw.pin_rod  jaw.pin

        1 check:
          jaw.pin_is_there

        1 export:
          ../out/jaw.csv

        jaw.steps and jaw.pin reach 1 check and 1 part.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout impact jaw.steps jaw.pin"));
    expect![[r#"
        $ setout impact jaw.pose.open.jaw
        jaw.pose.open.jaw  20 mm

        1 schedule:
          jaw.pose

        1 export:
          ../out/jaw.csv

        Nothing depends on jaw.pose.open.jaw.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout impact jaw.pose.open.jaw"));
}

#[test]
fn the_document_keeps_its_keys() {
    let json = jaw().run("setout impact frame.wall=3.5mm jaw.width=66mm --format json").json();
    let all = [
        "changed",
        "checks",
        "cost",
        "edits",
        "exports",
        "limits",
        "mass",
        "parts",
        "schedules",
        "unchanged",
    ];
    assert_eq!(keys(&json), all);
    assert_eq!(json["changed"][1]["name"], "jaw.gap");
    expect![[r#"
        {
          "after": "3.5mm",
          "after_value": 3.5,
          "before": "3 mm",
          "before_value": 3.0,
          "column": 3,
          "file": "params/frame.yaml",
          "line": 4,
          "name": "frame.wall",
          "overridden": false,
          "unit": "mm",
          "what": "value"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["edits"][0]));
    expect![[r#"
        {
          "after": 13.5,
          "because": [
            "frame.wall",
            "jaw.width"
          ],
          "before": 16.0,
          "column": 3,
          "file": "params/jaw.yaml",
          "line": 4,
          "name": "jaw.gap",
          "path": [
            "jaw.width",
            "jaw.gap"
          ],
          "unit": "mm"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["changed"][1]));
    expect![[r#"
        {
          "because": [
            "jaw.width"
          ],
          "cost": {
            "after": 3.3000000000000003,
            "before": 3.1,
            "unit": "GBP"
          },
          "mass": {
            "after": 30.0,
            "before": 30.0,
            "unit": "g"
          },
          "name": "jaw.jaw",
          "remake": true,
          "uses": [
            "jaw.width"
          ]
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["parts"][0]));
    expect![[r#"
        {
          "after": {
            "margin": -1.5,
            "verdict": "fails"
          },
          "because": [
            "frame.wall",
            "jaw.width"
          ],
          "before": {
            "margin": 1.0,
            "verdict": "holds"
          },
          "name": "jaw.room",
          "turned": true,
          "unit": "mm",
          "why": "the skin pulls the cheeks inwards"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["checks"][0]));
    expect![[r#"
        {
          "after": {
            "margin": 0.5,
            "max": 4.0,
            "min": 2.0,
            "value": 3.5,
            "verdict": "holds"
          },
          "before": {
            "margin": 1.0,
            "max": 4.0,
            "min": 2.0,
            "value": 3.0,
            "verdict": "holds"
          },
          "name": "frame.wall",
          "of": "limits",
          "turned": false,
          "unit": "mm"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["limits"][0]));
    expect![[r#"
        {
          "after": 4.5,
          "before": 4.3,
          "unit": "GBP"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["cost"]));
    assert_eq!(json["unchanged"], json!(["jaw.steps"]));
    assert_eq!(json["schedules"], json!(["jaw.pose"]));
    assert_eq!(json["exports"], json!(["../out/jaw.csv"]));
    let json = jaw().run("setout impact frame.wall --format json").json();
    let all =
        ["checks", "cost", "exports", "limits", "mass", "of", "parts", "reached", "schedules"];
    assert_eq!(keys(&json), all);
    expect![[r#"
        {
          "column": 3,
          "file": "params/jaw.yaml",
          "line": 4,
          "name": "jaw.gap",
          "path": [
            "frame.wall",
            "frame.inner",
            "jaw.gap"
          ],
          "unit": "mm",
          "value": 16.0
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["reached"][1]));
}

#[test]
fn any_of_several_edits_is_said() {
    let bench = Bench::with(&[
        ("params/design.yaml", "setout: 1\n"),
        ("params/t.yaml", "dimensions:\n  a: 1 mm\n  b: 1 mm\n  m: max(a, b)\n"),
    ]);
    let json = bench.run("setout impact t.a=5mm t.b=5mm --format json").json();
    let changed = json!([["t.a", "t.b"], true]);
    assert_eq!(json!([json["changed"][0]["because"], json["changed"][0]["any_of"]]), changed);
    let text = bench.run("setout impact t.a=5mm t.b=5mm").out;
    assert!(text.contains("\nFrom t.a and t.b, none of them alone:\n  t.m  1 → 5 mm\n"), "{text}");
}

#[test]
fn texts_and_units_stand_beside_their_numbers() {
    let bench = Bench::with(&[
        ("params/design.yaml", "setout: 1\n"),
        ("params/t.yaml", "dimensions:\n  a: 62 mm\n  pin: { text: M4 }\n  same: pin\n"),
    ]);
    let json = bench.run("setout impact t.a=6.5cm t.pin=M5 --format json").json();
    let edit = &json["edits"][0];
    assert_eq!(
        json!([edit["before_value"], edit["after_value"], edit["unit"]]),
        json!([6.2, 6.5, "cm"])
    );
    let same = &json["changed"][0];
    assert_eq!(json!([same["before"], same["after"], same["unit"]]), json!(["M4", "M5", ""]));
}

#[test]
fn failing_is_a_status_only_when_strict() {
    let bench = jaw();
    assert_eq!(bench.run("setout impact jaw.width=66mm").status, 0);
    assert_eq!(bench.run("setout impact jaw.width=66mm --strict").status, 1);
    assert_eq!(bench.run("setout impact jaw.width=80mm --strict").status, 1);
    assert_eq!(bench.run("setout impact jaw.width=60mm --strict").status, 0);
    bench.edit("params/jaw.yaml", "gap >= 15 mm", "gap >= 18 mm");
    assert_eq!(bench.run("setout impact jaw.width=66mm --strict").status, 0, "it failed before");
}

#[test]
fn bad_calls_say_how_they_would_be_right() {
    let bench = jaw();
    let calls = [
        "setout impact",
        "setout impact jaw.width=66mm frame.wall",
        "setout impact width",
        "setout impact jaw.widht=3mm",
        "setout impact jaw.width=66furlong jaw.gap=",
        "setout impact jaw.width=66furlong frame.wall=2*(3mm",
        "setout impact jaw.width=3deg",
        "setout impact jaw.width=1mm jaw.width=2mm",
        "setout impact jaw.pin=M7",
        "setout impact jaw.width=jaw.play*1",
    ];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[r#"
        $ setout impact
        --- standard error
        setout: `<NAME=VALUE>...` is missing [bad-call]
          help: --help after the command shows how it is called
        --- status 2

        $ setout impact jaw.width=66mm frame.wall
        --- standard error
        setout: some of these have values and some do not [bad-call]
          help: give all of them values to try them, or none to see their reach
        --- status 2

        $ setout impact width
        --- standard error
        setout: `width` could be several [ambiguous-name]
          help: write `frame.width` or `jaw.width`
        --- status 2

        $ setout impact jaw.widht=3mm
        --- standard error
        setout: there is no `jaw.widht` [not-found]
          help: did you mean `jaw.width`?
        --- status 2

        $ setout impact jaw.width=66furlong jaw.gap=
        --- standard error
        setout: there is no value in `jaw.gap=` [bad-call]
          help: write for example `jaw.width=64mm`
        --- status 2

        $ setout impact jaw.width=66furlong frame.wall=2*(3mm
        --- standard error
        setout: in the value for `jaw.width`: there is no unit `furlong` [unknown-unit]
          help: if `furlong` is a name, put an operator before it: `66 * furlong`
        setout: in the value for `frame.wall`: this ( is never closed [bad-formula]
          help: close it with )
        --- status 2

        $ setout impact jaw.width=3deg
        --- standard error
        setout: `jaw.width` is a length, and `3deg` is an angle [unit-mismatch]
          help: write an amount in mm
        --- status 2

        $ setout impact jaw.width=1mm jaw.width=2mm
        --- standard error
        setout: `jaw.width` is given two values [bad-call]
          help: give it one
        --- status 2

        $ setout impact jaw.pin=M7
        --- standard error
        setout: in the value for `jaw.pin`: `M7` is not one of the choices [bad-choice]
          help: write one of M3, M4
        --- status 2

        $ setout impact jaw.width=jaw.play*1
        With these values:
          jaw.width  62 mm → not computed  by jaw.play*1

        4 dimensions change:
          jaw.gap            16 mm → not computed
          jaw.play            4 mm → not computed  via jaw.gap
          jaw.steps          60 mm → not computed
          jaw.pose.shut.jaw  16 mm → not computed  via jaw.gap

        1 part has to be made again:
          jaw.jaw  printed  3.10 GBP → not computed     30 g
              jaw.width

        unknown  jaw.room, could not be computed; it held by 1 mm
                 requires    gap >= 15 mm
                 because     the skin pulls the cheeks inwards

        unknown  jaw.play_is_small, could not be computed; it held by 1 mm
                 requires    play <= 5 mm

        unknown  jaw.width, its limits could not be judged
                 value       not computed
                 limits      not computed
                 at          params/jaw.yaml:3:3

        Schedules with other values: jaw.pose.
        Exports with other values: ../out/jaw.csv.
        All parts together: cost 4.30 GBP → not computed, mass 32 g as before.

        4 dimensions change, 1 part has to be made again, 2 checks would be unknown, 1
        limit would be unknown. Nothing has been written.
        --- standard error
        params/jaw.yaml:3:3: a circle of dimensions that need each other: jaw.width
            needs jaw.play needs jaw.gap needs jaw.width [cycle]
              width: { value: 62 mm, min: 55 mm, max: 70 mm }
              ^
          help: give one of them a value of its own: jaw.width at params/jaw.yaml:3:3,
            jaw.play at params/jaw.yaml:5:3, jaw.gap at params/jaw.yaml:4:3
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
    let json = bench.run("setout impact jaw.widht=3mm --format json");
    assert_eq!((json.status, &json.json()["faults"][0]["fault"]), (2, &"not-found".into()));
    let json = bench.run("setout impact jaw.width=3deg --format json").json();
    assert_eq!(json["faults"][0]["fault"], "unit-mismatch");
}

#[test]
fn a_design_with_faults_is_tried_all_the_same() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "gap / 4", "gpa / 4");
    let answer = bench.run("setout impact jaw.width=66mm --strict --format json");
    assert_eq!(answer.status, 2);
    let json = answer.json();
    assert_eq!(json["changed"][0]["name"], "jaw.gap");
    assert_eq!(json["faults"][0]["fault"], "unknown-name");
}

#[test]
fn values_that_bring_a_fault_show_what_they_reach() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "gap / 4", "sqrt(gap * 1 mm - 9 mm^2)");
    let answer = bench.run("setout impact jaw.width=90mm --format json");
    assert_eq!(answer.status, 2);
    let json = answer.json();
    let changed = json["changed"].as_array().unwrap();
    let value =
        |name: &str| changed.iter().find(|one| one["name"] == name).unwrap()["after"].clone();
    assert_eq!((value("jaw.gap"), value("jaw.play")), (json!(2.0), json!(null)));
    assert_eq!(json["faults"][0]["fault"], "domain");
}
