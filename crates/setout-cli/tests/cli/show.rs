//! `setout show`.

use expect_test::expect;

use crate::bench::{Bench, keys};

/// All kinds of things.
fn drive() -> Bench {
    let bench = Bench::lid();
    bench.file(
        "params/drive.yaml",
        "about: What moves it
dimensions:
  supply: 6 V
  reversed: 1 mm > 2 mm
  opening: { value: 0 deg, travel: [0 deg, 28 deg], note: \"shut\\nat rest\" }
schedules:
  servo:
    about: one row a servo
    columns: { channel: count, size: text, neutral: deg, stall_current: A }
    rows:
      lid_left: [0, standard, 90 deg, 2.5 A]
      lid_right: [1, micro, 120 deg, 0.75 A]
",
    );
    bench
}

#[test]
fn everything_is_listed() {
    expect![[r#"
        $ setout show
        A lid
        2 tables, 6 dimensions, 1 schedule, 1 check, 1 part

        drive
          supply    6 V
          reversed  false
          opening   0 deg  moves 0 to 28 deg; shut at rest
          servo: one row a servo
                       channel  size      neutral  stall_current
                       count              deg      A
            lid_left   0        standard   90      2.5
            lid_right  1        micro     120      0.75

        lid
          width  62 mm  55 to 70 mm; ±0.2 mm; over all
          inner  59 mm  from width - 2 * 1.5 mm
          screw  M4
          check  room  holds  1 mm  the ball has to go in
          part  lid  1  bought  1.20 GBP  38 g

        All parts together: cost 1.20 GBP, mass 38 g.

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 0
    "#]]
    .assert_eq(&drive().shown("setout show"));
}

#[test]
fn one_thing_in_full() {
    let bench = drive();
    let shown = bench.shown("setout show lid.width lid.inner lid.screw lid.room lid.lid");
    expect![[r#"
        $ setout show lid.width lid.inner lid.screw lid.room lid.lid
        lid.width, chosen
          value       62 mm
          limits      55 to 70 mm, holds
          tolerance   ±0.2 mm
          note        over all
          used by     lid.inner
          reaches     1 value, 1 check and 1 part
          at          params/lid.yaml:2:3

        lid.inner, derived
          value       59 mm
          formula     width - 2 * 1.5 mm
          reaches     1 check and 1 part
          at          params/lid.yaml:3:3

        lid.screw, chosen
          value       M4
          reaches     1 part
          at          params/lid.yaml:4:3

        holds    lid.room, margin 1 mm
                 requires    inner >= 58 mm
                 that is     59 mm >= 58 mm
                 because     the ball has to go in
                 at          params/lid.yaml:6:3

        lid.lid, bought
          quantity    1
          cost        1.20 GBP
          mass        38 g
          uses        lid.inner, lid.screw
          fingerprint b248cdcf7af7537e581e79cb8ff4cc3b
          at          params/lid.yaml:8:3
        --- status 0
    "#]]
    .assert_eq(&shown);
    expect![[r#"
        $ setout show drive.servo drive.servo.lid_left.neutral
        drive.servo.lid_left.neutral, chosen
          value       90 deg
          at          params/drive.yaml:11:31

        drive.servo: one row a servo
                     channel  size      neutral  stall_current
                     count              deg      A
          lid_left   0        standard   90      2.5
          lid_right  1        micro     120      0.75
          at          params/drive.yaml:7:3

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout show drive.servo drive.servo.lid_left.neutral"));
    expect![[r#"
        $ setout show drive.servo.neutral drive.opening
        drive.servo.lid_left.neutral, chosen
          value       90 deg
          at          params/drive.yaml:11:31

        drive.servo.lid_right.neutral, chosen
          value       120 deg
          at          params/drive.yaml:12:29

        drive.opening, chosen
          value       0 deg
          travel      0 to 28 deg
          note        shut at rest
          at          params/drive.yaml:5:3

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout show drive.servo.neutral drive.opening"));
}

#[test]
fn a_table_by_name_or_by_option() {
    let bench = drive();
    expect![[r#"
        $ setout show lid
        lid
          width  62 mm  55 to 70 mm; ±0.2 mm; over all
          inner  59 mm  from width - 2 * 1.5 mm
          screw  M4
          check  room  holds  1 mm  the ball has to go in
          part  lid  1  bought  1.20 GBP  38 g
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout show lid"));
    assert_eq!(bench.run("setout show lid").out, bench.run("setout show --table lid").out);
}

#[test]
fn a_name_that_is_not_there() {
    let bench = drive();
    let calls = [
        "setout show lid.widht",
        "setout show --table lidd",
        "setout show lid_left",
        "setout show quite.another",
    ];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[r#"
        $ setout show lid.widht
        --- standard error
        setout: nothing in this design is called `lid.widht` [not-found]
          help: did you mean `lid.width`?
        --- status 2

        $ setout show --table lidd
        --- standard error
        setout: there is no table `lidd` [not-found]
          help: did you mean `lid`?
        --- status 2

        $ setout show lid_left
        --- standard error
        setout: nothing in this design is called `lid_left` [not-found]
          help: setout show without a name lists everything
        --- status 2

        $ setout show quite.another
        --- standard error
        setout: nothing in this design is called `quite.another` [not-found]
          help: setout show without a name lists everything
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
    let answer = bench.run("setout show lid.inner lid.widht --format json");
    let json = answer.json();
    assert_eq!((answer.status, &json["faults"][0]["fault"]), (2, &"not-found".into()));
    assert_eq!(json["dimensions"][0]["name"], "lid.inner");
}

#[test]
fn a_bare_name_stands_for_one_thing() {
    let bench = drive();
    assert_eq!(bench.run("setout show width").out, bench.run("setout show lid.width").out);
    bench.file("params/jaw.yaml", "dimensions:\n  width: 40 mm\n");
    expect![[r#"
        $ setout show width
        --- standard error
        setout: `width` could be any of 2 things [ambiguous-name]
          help: write `jaw.width` or `lid.width`
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout show width"));
}

#[test]
fn the_document_keeps_its_keys() {
    let json = drive().run("setout show --format json").json();
    assert_eq!(
        keys(&json),
        [
            "caution",
            "checks",
            "cost",
            "design",
            "dimensions",
            "fingerprint",
            "mass",
            "parts",
            "schedules"
        ]
    );
    expect![[r#"
        [
          {
            "column": 3,
            "deviations": null,
            "file": "params/drive.yaml",
            "formula": "6 V",
            "kind": "chosen",
            "line": 3,
            "max": null,
            "min": null,
            "name": "drive.supply",
            "note": null,
            "tolerance": null,
            "travel": null,
            "unit": "V",
            "value": 6.0
          },
          {
            "column": 3,
            "deviations": null,
            "file": "params/drive.yaml",
            "formula": "1 mm > 2 mm",
            "kind": "chosen",
            "line": 4,
            "max": null,
            "min": null,
            "name": "drive.reversed",
            "note": null,
            "tolerance": null,
            "travel": null,
            "unit": "",
            "value": false
          },
          {
            "column": 3,
            "deviations": null,
            "file": "params/drive.yaml",
            "formula": "0 deg",
            "kind": "chosen",
            "line": 5,
            "max": null,
            "min": null,
            "name": "drive.opening",
            "note": "shut\nat rest",
            "tolerance": null,
            "travel": [
              0.0,
              28.0
            ],
            "unit": "deg",
            "value": 0.0
          },
          {
            "column": 3,
            "deviations": [
              -0.2,
              0.2
            ],
            "file": "params/lid.yaml",
            "formula": "62 mm",
            "kind": "chosen",
            "line": 2,
            "max": 70.0,
            "min": 55.0,
            "name": "lid.width",
            "note": "over all",
            "tolerance": "±0.2 mm",
            "travel": null,
            "unit": "mm",
            "value": 62.0
          },
          {
            "column": 3,
            "deviations": null,
            "file": "params/lid.yaml",
            "formula": "width - 2 * 1.5 mm",
            "kind": "derived",
            "line": 3,
            "max": null,
            "min": null,
            "name": "lid.inner",
            "note": null,
            "tolerance": null,
            "travel": null,
            "unit": "mm",
            "value": 59.0
          },
          {
            "column": 3,
            "deviations": null,
            "file": "params/lid.yaml",
            "kind": "chosen",
            "line": 4,
            "name": "lid.screw",
            "note": null,
            "text": "M4",
            "tolerance": null
          }
        ]
    "#]]
    .assert_eq(&format!("{:#}\n", json["dimensions"]));
    expect![[r#"
        [
          {
            "about": "one row a servo",
            "column": 3,
            "columns": [
              {
                "name": "channel",
                "unit": "count"
              },
              {
                "name": "size",
                "unit": null
              },
              {
                "name": "neutral",
                "unit": "deg"
              },
              {
                "name": "stall_current",
                "unit": "A"
              }
            ],
            "file": "params/drive.yaml",
            "line": 7,
            "name": "drive.servo",
            "rows": [
              {
                "cells": [
                  0.0,
                  "standard",
                  90.0,
                  2.5
                ],
                "name": "lid_left"
              },
              {
                "cells": [
                  1.0,
                  "micro",
                  120.0,
                  0.75
                ],
                "name": "lid_right"
              }
            ]
          }
        ]
    "#]]
    .assert_eq(&format!("{:#}\n", json["schedules"]));
    expect![[r#"
        [
          {
            "cad": null,
            "column": 3,
            "cost": {
              "unit": "GBP",
              "value": 1.2
            },
            "file": "params/lid.yaml",
            "fingerprint": "b248cdcf7af7537e581e79cb8ff4cc3b",
            "line": 8,
            "made": "bought",
            "mass": {
              "unit": "g",
              "value": 38.0
            },
            "material": null,
            "name": "lid.lid",
            "note": null,
            "quantity": 1.0,
            "uses": [
              "lid.inner",
              "lid.screw"
            ]
          }
        ]
    "#]]
    .assert_eq(&format!("{:#}\n", json["parts"]));
    assert_eq!(json["cost"], serde_json::json!({ "value": 1.2, "unit": "GBP" }));
}

#[test]
fn numbers_read_back_exactly() {
    let bench = Bench::lid();
    bench.edit("params/lid.yaml", "width - 2 * 1.5 mm", "width / 3 + 0.1 mm + 0.2 mm");
    let answer = bench.run("setout show lid.inner --format json");
    let value = answer.json()["dimensions"][0]["value"].as_f64();
    assert_eq!(value.map(f64::to_bits), Some((62.0_f64 / 3.0 + 0.1 + 0.2).to_bits()));
}

#[test]
fn a_wide_schedule_goes_on_below() {
    let bench = Bench::with(&[("params/design.yaml", "setout: 1\n")]);
    let columns: Vec<String> = (0..9).map(|n| format!("a_long_column_{n}: mm")).collect();
    let cells: Vec<String> = (0..9).map(|n| format!("{n}.25 mm")).collect();
    let (columns, cells) = (columns.join(", "), cells.join(", "));
    let table = format!(
        "schedules:\n  s:\n    columns: {{ {columns} }}\n    rows:\n      first: [{cells}]\n"
    );
    bench.file("params/t.yaml", &table);
    expect![[r#"
        $ setout show t.s
        t.s
                 a_long_column_0  a_long_column_1  a_long_column_2  a_long_column_3
                 mm               mm               mm               mm
          first  0.25             1.25             2.25             3.25
                 a_long_column_4  a_long_column_5  a_long_column_6  a_long_column_7
                 mm               mm               mm               mm
          first  4.25             5.25             6.25             7.25
                 a_long_column_8
                 mm
          first  8.25
          at          params/t.yaml:2:3
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout show t.s"));
}

/// The tables are the same for every design, so no design is needed.
#[test]
fn standards_are_listed_and_shown_in_full() {
    let bench = Bench::empty();
    let listed = bench.run("setout show --standards");
    assert_eq!(listed.status, 0);
    assert!(listed.out.contains("clearance          ISO 273 "), "{}", listed.out);
    let shown = bench.run("setout show --standards washers");
    assert!(shown.out.contains("standard    ISO 7089, edition 2000"), "{}", shown.out);
    let json = bench.run("setout show --standards clearance --format json").json();
    assert_eq!(json["standards"][0]["rows"][3], serde_json::json!(["M3", "3.2", "3.4", "3.6"]));
    let missing = bench.run("setout show --standards clearnce");
    assert_eq!(missing.status, 2);
    assert!(missing.err.contains("did you mean `clearance`?"), "{}", missing.err);
}
