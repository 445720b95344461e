//! `setout set`.

use std::fs;

use expect_test::expect;
use serde_json::json;

use crate::bench::{Bench, keys};
use crate::jaw::jaw;

#[test]
fn a_value_is_set_in_its_table() {
    let bench = jaw();
    let before = bench.text("params/frame.yaml");
    expect![[r#"
        $ setout set frame.width 92mm
        params/frame.yaml:3
          was  width: 100 mm # over all, ± nothing
                      ^^^^^^
          now  width: 92mm # over all, ± nothing
                      ^^^^

        fails    jaw.room, margin -3 mm; it held by 1 mm
                 requires    gap >= 15 mm
                 that is     12 mm >= 15 mm
                 because     the skin pulls the cheeks inwards

        All parts together: cost 4.30 GBP as before, mass 32 g as before.
        4 dimensions changed, 1 check fails. Written to params/frame.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set frame.width 92mm"));
    assert_eq!(bench.text("params/frame.yaml"), before.replace("100 mm ", "92mm "));
    assert_eq!(bench.files().len(), 3, "nothing else is left there");
}

#[test]
fn all_other_bytes_stay() {
    let table = "\u{feff}# µ, jaws\r\n\r\ndimensions:\r\n  width:   62 mm   # ± as printed\r\n  \
                 arm:\r\n    note: 'the \"arm\"'\r\n    value:\t 3 mm # keep\r\n  \
                 list: { value: 1 mm, note: a }\r\n# the end"
        .replace(":\t", ":");
    let bench = Bench::with(&[("params/design.yaml", "setout: 1\n"), ("params/jaw.yaml", &table)]);
    for (call, from, to) in [
        ("setout set jaw.width 64.5mm", "62 mm ", "64.5mm "),
        ("setout set arm -3mm", "value: 3 mm ", "value: -3mm "),
        ("setout set jaw.list=max(1mm,2mm)", "value: 1 mm,", "value: \"max(1mm,2mm)\","),
    ] {
        let before = bench.text("params/jaw.yaml");
        assert_eq!(bench.run(call).status, 0, "{call}");
        assert_eq!(bench.text("params/jaw.yaml"), before.replace(from, to), "{call}");
    }
}

#[test]
fn several_values_are_set_together_or_not_at_all() {
    let bench = jaw();
    expect![[r#"
        $ setout set frame.wall=3.5mm jaw.width=60mm frame.width=99mm
        params/frame.yaml:4
          was  wall: { value: 3 mm, min: 2 mm, max: 4 mm, note: 'six lines of a 0.5 mm
                              ^^^^
               nozzle' }
          now  wall: { value: 3.5mm, min: 2 mm, max: 4 mm, note: 'six lines of a 0.5 mm
                              ^^^^^
               nozzle' }
        params/jaw.yaml:3
          was  width: { value: 62 mm, min: 55 mm, max: 70 mm }
                               ^^^^^
          now  width: { value: 60mm, min: 55 mm, max: 70 mm }
                               ^^^^
        params/frame.yaml:3
          was  width: 100 mm # over all, ± nothing
                      ^^^^^^
          now  width: 99mm # over all, ± nothing
                      ^^^^

        1 part has to be made again:
          jaw.jaw  printed  3.10 → 3.00 GBP     30 g
              jaw.width

        All parts together: cost 4.30 → 4.20 GBP, mass 32 g as before.
        1 dimension changed, 1 part has to be made again, no check or limit got worse.
        Written to params/frame.yaml and params/jaw.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set frame.wall=3.5mm jaw.width=60mm frame.width=99mm"));
    assert!(bench.text("params/frame.yaml").contains("wall: { value: 3.5mm, min"));
    assert!(bench.text("params/frame.yaml").contains("width:   99mm   #"));
    let before = ["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path));
    assert_eq!(bench.run("setout set frame.wall=2.5mm jaw.width=60furlong").status, 2);
    assert_eq!(["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path)), before);
}

#[test]
fn a_formula_is_replaced_on_purpose() {
    let bench = jaw();
    expect![[r#"
        $ setout set jaw.play 4mm
        --- standard error
        setout: `jaw.play` is derived: gap / 4 [bad-call]
          help: --formula replaces the formula; to keep it, set what it names
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set jaw.play 4mm"));
    assert!(bench.text("params/jaw.yaml").contains("play: gap / 4"));
    assert_eq!(bench.run("setout set jaw.play 4mm --formula").status, 0);
    assert!(bench.text("params/jaw.yaml").contains("play: 4mm"));
}

#[test]
fn the_value_that_stands_there_is_not_written() {
    let bench = jaw();
    let modified =
        || fs::metadata(bench.root().join("params/jaw.yaml")).and_then(|of| of.modified());
    let before = modified().expect("a time");
    expect![[r#"
        $ setout set jaw.width 62mm
        jaw.width is already 62 mm.
        Nothing has been written.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set jaw.width 62mm"));
    assert_eq!(modified().expect("a time"), before);
    let json = bench.run("setout set jaw.width 62mm --format json").json();
    assert_eq!(json["set"]["before"], json["set"]["after"]);
}

#[test]
fn what_would_be_a_fault_is_refused() {
    let bench = jaw();
    let before = bench.text("params/jaw.yaml");
    let calls = [
        "setout set jaw.width",
        "setout set width 3mm",
        "setout set jaw.widht 3mm",
        "setout set jaw.width 3furlong",
        "setout set jaw.width 3deg",
        "setout set jaw.width jaw.steps",
        "setout set jaw.pin M7",
        "setout set jaw.pose.open.jaw 3A",
    ];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[r#"
        $ setout set jaw.width
        --- standard error
        setout: `jaw.width` gives no value [bad-call]
          help: write `jaw.width=VALUE`
        --- status 2

        $ setout set width 3mm
        --- standard error
        setout: `width` could be several [ambiguous-name]
          help: write `frame.width` or `jaw.width`
        --- status 2

        $ setout set jaw.widht 3mm
        --- standard error
        setout: `jaw.jaw` is a part and has no `widht` [bad-call]
          help: a part has made, material, quantity, cost, mass, cad, uses and note
        --- status 2

        $ setout set jaw.width 3furlong
        --- standard error
        setout: in the value for `jaw.width`: there is no unit `furlong` [unknown-unit]
          help: if `furlong` is a name, put an operator before it: `3 * furlong`
        --- status 2

        $ setout set jaw.width 3deg
        --- standard error
        setout: `jaw.width` is a length, and `3deg` is an angle [unit-mismatch]
          help: write an amount in mm
        --- status 2

        $ setout set jaw.width jaw.steps
        --- standard error
        params/jaw.yaml:3:3: a circle of dimensions that need each other: jaw.width
            needs jaw.steps needs jaw.width [cycle]
              width: { value: 62 mm, min: 55 mm, max: 70 mm }
              ^
          help: give one of them a value of its own: jaw.width at params/jaw.yaml:3:3,
            jaw.steps at params/jaw.yaml:6:3
        --- status 2

        $ setout set jaw.pin M7
        --- standard error
        setout: in the value for `jaw.pin`: `M7` is not one of the choices [bad-choice]
          help: write one of M3, M4
        --- status 2

        $ setout set jaw.pose.open.jaw 3A
        --- standard error
        setout: in the value for `jaw.pose.open.jaw`: the column `jaw` holds a length,
            and `3A` is a current [unit-mismatch]
          help: write an amount in mm
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
    assert_eq!(bench.text("params/jaw.yaml"), before);
}

#[test]
fn nothing_is_written_while_the_design_has_a_fault() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "gap / 4", "gpa / 4");
    let before = bench.text("params/jaw.yaml");
    let answer = bench.run("setout set jaw.width 60mm");
    assert_eq!((answer.status, answer.out.as_str()), (2, ""));
    assert!(answer.err.contains("there is no `gpa`"), "{}", answer.err);
    assert_eq!(bench.text("params/jaw.yaml"), before);
    assert_eq!(bench.run("setout set jaw.play gap/4 --formula").status, 0, "which mends it");
}

#[test]
fn the_document_keeps_its_keys() {
    let json = jaw().run("setout set jaw.width=66mm --format json").json();
    let all = [
        "changed",
        "checks",
        "cost",
        "edits",
        "exports",
        "limits",
        "lines",
        "mass",
        "parts",
        "schedules",
        "set",
        "unchanged",
    ];
    assert_eq!(keys(&json), all);
    expect![[r#"
        {
          "after": "width: { value: 66mm, min: 55 mm, max: 70 mm }",
          "before": "width: { value: 62 mm, min: 55 mm, max: 70 mm }",
          "file": "params/jaw.yaml",
          "line": 3,
          "name": "jaw.width"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["set"]));
    assert_eq!(json["lines"], json!([json["set"]]));
    assert_eq!(json["changed"][0]["after"], 14.0);
}

#[test]
fn a_table_that_cannot_be_written_is_said() {
    let bench = jaw();
    let path = bench.root().join("params/jaw.yaml");
    let mut permissions = fs::metadata(&path).expect("there").permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).expect("set");
    let answer = bench.run("setout set jaw.width 60mm --format json");
    assert_eq!(answer.status, 2);
    assert_eq!(answer.json()["faults"][0]["fault"], "io");
}
