//! `setout check`.

use expect_test::expect;

use crate::bench::{Bench, keys};

/// A design with a check of each verdict, limits broken, axes and tolerances.
fn trouble() -> Bench {
    Bench::with(&[
        ("params/design.yaml", "setout: 1\nname: A jaw\n"),
        (
            "params/jaw.yaml",
            "dimensions:
  gap: { value: 0.4 mm, tolerance: ±0.1 mm }
  arm: { value: 21.7 mm, min: 18 mm, max: 20 mm }
  swing: { value: 0 deg, travel: [0 deg, 30 deg] }
  reach: arm * cos(swing)
  lone: 3 mm
checks:
  room: { require: gap >= 0.5 mm, why: a tongue that touches the palate stalls both of the servos that move the jaw }
  snug: { require: gap >= 0.3 mm, tight: 0.2 mm, why: it rattles otherwise }
  far: { require: reach >= 21 mm }
  short: { require: arm <= 25 mm }
",
        ),
    ])
}

#[test]
fn all_holds() {
    expect![[r#"
        $ setout check
        A lid
        1 table, 3 dimensions, 1 check, 1 part

        1 check and 1 limit hold.

        All parts together: cost 1.20 GBP, mass 38 g.
        Everything that was assessed holds.
        --- status 0
    "#]]
    .assert_eq(&Bench::lid().shown("setout check"));
}

#[test]
fn what_does_not_hold_comes_first() {
    let bench = trouble();
    expect![[r#"
        $ setout check
        A jaw
        1 table, 5 dimensions, 4 checks

        fails    jaw.room, margin -0.2 mm
                 at rest     fails, margin -0.1 mm, computed
                 at worst    fails, margin -0.2 mm, proved
                             found with jaw.gap -0.1 mm off
                 requires    gap >= 0.5 mm
                 that is     0.4 mm >= 0.5 mm, at rest
                 because     a tongue that touches the palate stalls both of the servos
                             that move the jaw
                 at          params/jaw.yaml:8:3

        fails    jaw.far, margin -2.20725 mm
                 at rest     holds, margin 0.7 mm, computed
                 moving      fails, margin -2.20725 mm, proved
                             found with jaw.swing at 30 deg
                 requires    reach >= 21 mm
                 that is     21.7 mm >= 21 mm, at rest
                 at          params/jaw.yaml:10:3

        fails    jaw.arm, outside its limits by 1.7 mm
                 value       21.7 mm
                 limits      18 to 20 mm
                 at          params/jaw.yaml:3:3

        tight    jaw.snug, margin 0 mm of the 0.2 mm asked for
                 at rest     tight, margin 0.1 mm, computed
                 at worst    tight, margin 0 mm, proved
                             found with jaw.gap -0.1 mm off
                 requires    gap >= 0.3 mm
                 that is     0.4 mm >= 0.3 mm, at rest
                 because     it rattles otherwise
                 at          params/jaw.yaml:9:3

        1 of 4 checks and 0 of 1 limit holds.

        params/jaw.yaml:6:3: nothing uses `jaw.lone` [unused]
          help: name it in a formula, a check or a part's `uses`, or take it out

        Of the checks and limits 3 fail and 1 is tight.

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 1
    "#]]
    .assert_eq(&bench.shown("setout check"));
    expect![[r#"
        $ setout check --all --at rest
        A jaw
        1 table, 5 dimensions, 4 checks

        fails    jaw.room, margin -0.1 mm
                 requires    gap >= 0.5 mm
                 that is     0.4 mm >= 0.5 mm
                 because     a tongue that touches the palate stalls both of the servos
                             that move the jaw
                 at          params/jaw.yaml:8:3

        fails    jaw.arm, outside its limits by 1.7 mm
                 value       21.7 mm
                 limits      18 to 20 mm
                 at          params/jaw.yaml:3:3

        tight    jaw.snug, margin 0.1 mm of the 0.2 mm asked for
                 requires    gap >= 0.3 mm
                 that is     0.4 mm >= 0.3 mm
                 because     it rattles otherwise
                 at          params/jaw.yaml:9:3

        holds  jaw.far    0.7 mm  reach >= 21 mm
        holds  jaw.short  3.3 mm  arm <= 25 mm

        2 of 4 checks and 0 of 1 limit hold.

        1 check depends on axes that move; it was assessed at rest only.
          jaw.far
        2 checks depend on tolerances; they were assessed at nominal dimensions only.
          jaw.room, jaw.snug

        params/jaw.yaml:6:3: nothing uses `jaw.lone` [unused]
          help: name it in a formula, a check or a part's `uses`, or take it out

        Of the checks and limits 2 fail and 1 is tight.

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 1
    "#]]
    .assert_eq(&bench.shown("setout check --all --at rest"));
}

#[test]
fn strict_counts_warnings() {
    let bench = Bench::lid();
    assert_eq!(bench.run("setout check --strict").status, 0);
    bench.edit("params/lid.yaml", "tight: 0.5 mm", "tight: 2 mm");
    let tight = bench.run("setout check --format json");
    assert_eq!((tight.status, &tight.json()["verdict"]), (0, &"tight".into()));
    assert_eq!(tight.json()["warnings"][0]["warning"], "tight");
    assert_eq!(bench.run("setout check --strict").status, 1);
}

/// Of each sort the first are shown, with what helps said once.
#[test]
fn many_warnings_of_one_sort_are_counted() {
    let gaps: String = (1..=7).map(|n| format!("  gap_{n}: {n} mm\n")).collect();
    let sum: Vec<String> = (1..=7).map(|n| format!("gap_{n}")).collect();
    let table = format!(
        "dimensions:\n  pin: {{ value: 4 mm, tolerance: ±0.1 mm }}\n  lone: 1 mm\n{gaps}  \
         heavy: 3 g\nchecks:\n  fits: {{ require: pin + {} >= 1 mm }}\n",
        sum.join(" + ")
    );
    let design = ("params/design.yaml", "setout: 1\nname: A row of gaps\n");
    let bench = Bench::with(&[design, ("params/row.yaml", &table)]);
    expect![[r#"
        $ setout check
        A row of gaps
        1 table, 10 dimensions, 1 check

        1 check holds.

        params/row.yaml:3:3: nothing uses `row.lone` [unused]
        params/row.yaml:11:3: nothing uses `row.heavy` [unused]
          help: name it in a formula, a check or a part's `uses`, or take it out

        params/row.yaml:4:3: `row.gap_1` has no tolerance, unlike others in the check
            `row.fits` [untoleranced]
        params/row.yaml:5:3: `row.gap_2` has no tolerance, unlike others in the check
            `row.fits` [untoleranced]
        params/row.yaml:6:3: `row.gap_3` has no tolerance, unlike others in the check
            `row.fits` [untoleranced]
        params/row.yaml:7:3: `row.gap_4` has no tolerance, unlike others in the check
            `row.fits` [untoleranced]
        params/row.yaml:8:3: `row.gap_5` has no tolerance, unlike others in the check
            `row.fits` [untoleranced]
          help: write `tolerance: ±` and how much, or `tolerance: 0 mm` if it is exact
        and 2 more like these; --format json lists all

        Everything that was assessed holds.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout check"));
    let all = bench.run("setout check --format json").json()["warnings"].as_array().map(Vec::len);
    assert_eq!(all, Some(9));
}

#[test]
fn the_document_keeps_its_keys() {
    let answer = trouble().run("setout check --format json");
    let json = answer.json();
    assert_eq!(answer.status, 1);
    assert_eq!(
        keys(&json),
        [
            "caution",
            "checks",
            "cost",
            "design",
            "fingerprint",
            "limits",
            "mass",
            "verdict",
            "warnings"
        ]
    );
    expect![[r#"
        [
          {
            "column": 3,
            "file": "params/jaw.yaml",
            "filled_in": "0.4 mm >= 0.5 mm",
            "line": 8,
            "margin": -0.19999999999999996,
            "name": "jaw.room",
            "requirement": "gap >= 0.5 mm",
            "rest": {
              "how": "computed",
              "margin": -0.09999999999999998,
              "verdict": "fails"
            },
            "tight": null,
            "travel": {
              "how": "computed",
              "margin": -0.09999999999999998,
              "verdict": "fails"
            },
            "unit": "mm",
            "verdict": "fails",
            "why": "a tongue that touches the palate stalls both of the servos that move the jaw",
            "worst": {
              "at": {},
              "at_least": -0.2,
              "boxes": 1,
              "deviations": {
                "jaw.gap": -0.1
              },
              "how": "proved",
              "left": 0,
              "margin": -0.19999999999999996,
              "verdict": "fails"
            }
          },
          {
            "column": 3,
            "file": "params/jaw.yaml",
            "filled_in": "0.4 mm >= 0.3 mm",
            "line": 9,
            "margin": 0.0,
            "name": "jaw.snug",
            "requirement": "gap >= 0.3 mm",
            "rest": {
              "how": "computed",
              "margin": 0.10000000000000003,
              "verdict": "tight"
            },
            "tight": 0.2,
            "travel": {
              "how": "computed",
              "margin": 0.10000000000000003,
              "verdict": "tight"
            },
            "unit": "mm",
            "verdict": "tight",
            "why": "it rattles otherwise",
            "worst": {
              "at": {},
              "at_least": 0.0,
              "boxes": 1,
              "deviations": {
                "jaw.gap": -0.1
              },
              "how": "proved",
              "left": 0,
              "margin": 0.0,
              "verdict": "tight"
            }
          },
          {
            "column": 3,
            "file": "params/jaw.yaml",
            "filled_in": "21.7 mm >= 21 mm",
            "line": 10,
            "margin": -2.2072487378776806,
            "name": "jaw.far",
            "requirement": "reach >= 21 mm",
            "rest": {
              "how": "computed",
              "margin": 0.6999999999999993,
              "verdict": "holds"
            },
            "tight": null,
            "travel": {
              "at": {
                "jaw.swing": 30.0
              },
              "at_least": -2.2072487378776877,
              "boxes": 1,
              "how": "proved",
              "left": 0,
              "margin": -2.2072487378776806,
              "verdict": "fails"
            },
            "unit": "mm",
            "verdict": "fails",
            "why": null,
            "worst": {
              "at": {
                "jaw.swing": 30.0
              },
              "at_least": -2.2072487378776877,
              "boxes": 1,
              "how": "proved",
              "left": 0,
              "margin": -2.2072487378776806,
              "verdict": "fails"
            }
          },
          {
            "column": 3,
            "file": "params/jaw.yaml",
            "filled_in": "21.7 mm <= 25 mm",
            "line": 11,
            "margin": 3.3000000000000007,
            "name": "jaw.short",
            "requirement": "arm <= 25 mm",
            "rest": {
              "how": "computed",
              "margin": 3.3000000000000007,
              "verdict": "holds"
            },
            "tight": null,
            "travel": {
              "how": "computed",
              "margin": 3.3000000000000007,
              "verdict": "holds"
            },
            "unit": "mm",
            "verdict": "holds",
            "why": null,
            "worst": {
              "how": "computed",
              "margin": 3.3000000000000007,
              "verdict": "holds"
            }
          }
        ]
    "#]]
    .assert_eq(&format!("{:#}\n", json["checks"]));
    expect![[r#"
        [
          {
            "column": 3,
            "file": "params/jaw.yaml",
            "line": 3,
            "margin": -1.6999999999999993,
            "max": 20.0,
            "min": 18.0,
            "name": "jaw.arm",
            "of": "limits",
            "unit": "mm",
            "value": 21.7,
            "verdict": "fails"
          }
        ]
    "#]]
    .assert_eq(&format!("{:#}\n", json["limits"]));
    expect![[r#"
        [
          {
            "column": 3,
            "file": "params/jaw.yaml",
            "help": "name it in a formula, a check or a part's `uses`, or take it out",
            "line": 6,
            "message": "nothing uses `jaw.lone`",
            "name": "jaw.lone",
            "warning": "unused"
          },
          {
            "column": 3,
            "file": "params/jaw.yaml",
            "help": "give it more room, or ask for less",
            "line": 9,
            "message": "`jaw.snug` holds with less margin than it asks for",
            "name": "jaw.snug",
            "warning": "tight"
          }
        ]
    "#]]
    .assert_eq(&format!("{:#}\n", json["warnings"]));
}

#[test]
fn a_design_without_checks() {
    let bench = Bench::with(&[("params/design.yaml", "setout: 1\n")]);
    expect![[r#"
        $ setout check
        params

        There is no check or limit in this design yet.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout check"));
}

#[test]
fn a_second_engine_agrees() {
    expect![[r#"
        $ setout check --independent
        A lid
        1 table, 3 dimensions, 1 check, 1 part

        1 check and 1 limit hold.

        All parts together: cost 1.20 GBP, mass 38 g.
        Everything that was assessed holds.

        Every formula and tolerance evaluated a second time by another engine: 14 values
        agree to 1e-12, and none is left out.
        --- status 0
    "#]]
    .assert_eq(&Bench::lid().shown("setout check --independent"));
    let answer = trouble().run("setout check --independent --format json");
    expect![[r#"
        {
          "by_last_digits": 0,
          "compared": 17,
          "differences": [],
          "followed": 0,
          "not_repeated": []
        }
    "#]]
    .assert_eq(&format!("{:#}\n", answer.json()["independent"]));
    assert!(trouble().run("setout check --format json").json().get("independent").is_none());
}
