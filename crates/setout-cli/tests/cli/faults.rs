//! Faults beside what could be computed.

use expect_test::expect;

use crate::bench::Bench;

fn faulty() -> Bench {
    Bench::with(&[
        (
            "params/design.yaml",
            "setout: 1\nname: A jaw\nexports:\n  - { format: csvv, file: ../a.csv }\n  \
             - { format: csv, file: jaw.yaml }\n",
        ),
        (
            "params/jaw.yaml",
            "dimensions:\n  width: 62 mm\n  inner: widht - 3 mm\n  \"bad\u{202e}name\": 3 mm\n  \
             half: width / 2\n  long: 1 mm + 2 mm + 3 mm + 4 mm + 5 mm + 6 mm + 7 mm + 8 mm + \
             9 mm + 10 mm + 鼻 + 11 mm + 12 mm\nchecks:\n  room: { require: inner >= 3 mm }\n  \
             fits: { require: half >= 40 mm }\n",
        ),
    ])
}

#[test]
fn faults_are_drawn_at_their_places() {
    let bench = faulty();
    expect![[r#"
        $ setout check
        A jaw
        1 table, 4 dimensions, 2 checks

        fails    jaw.fits, margin -9 mm
                 requires    half >= 40 mm
                 that is     31 mm >= 40 mm
                 at          params/jaw.yaml:9:3

        unknown  jaw.room, could not be computed
                 requires    inner >= 3 mm
                 at          params/jaw.yaml:8:3

        The design has 5 faults. Of the checks and limits 1 fails and 1 is unknown.
        --- standard error
        params/design.yaml:4:27: there is no export format `csvv` [bad-choice]
              - { format: csvv, file: ../a.csv }
                                      ^
          help: did you mean `csv`?
        params/design.yaml:5:26: `jaw.yaml` is a table of this design [unsafe-path]
              - { format: csv, file: jaw.yaml }
                                     ^
          help: export to another file
        params/jaw.yaml:3:10: there is no `widht` [unknown-name]
              inner: widht - 3 mm
                     ^
          help: did you mean `width`?
        params/jaw.yaml:4:3: `bad\u{202e}name` is no name [bad-name]
              "bad\u{202e}name": 3 mm
              ^
          help: names are lower-case letters, digits and _, beginning with a letter:
            `bad_name`
        params/jaw.yaml:6:80: `鼻` has no meaning in a formula [bad-formula]
            …mm + 4 mm + 5 mm + 6 mm + 7 mm + 8 mm + 9 mm + 10 mm + 鼻 + 11 mm + 12 mm
                                                                    ^
          help: formulas hold numbers with units, names, + - * / ^, comparisons and
            calls
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout check"));
    expect![[r#"
        $ setout show jaw.half jaw.inner
        jaw.half, derived
          value       31 mm
          formula     width / 2
          reaches     1 check
          at          params/jaw.yaml:5:3

        jaw.inner, derived
          value       not computed
          formula     widht - 3 mm
          reaches     1 check
          at          params/jaw.yaml:3:3
        --- standard error
        params/design.yaml:4:27: there is no export format `csvv` [bad-choice]
              - { format: csvv, file: ../a.csv }
                                      ^
          help: did you mean `csv`?
        params/design.yaml:5:26: `jaw.yaml` is a table of this design [unsafe-path]
              - { format: csv, file: jaw.yaml }
                                     ^
          help: export to another file
        params/jaw.yaml:3:10: there is no `widht` [unknown-name]
              inner: widht - 3 mm
                     ^
          help: did you mean `width`?
        params/jaw.yaml:4:3: `bad\u{202e}name` is no name [bad-name]
              "bad\u{202e}name": 3 mm
              ^
          help: names are lower-case letters, digits and _, beginning with a letter:
            `bad_name`
        params/jaw.yaml:6:80: `鼻` has no meaning in a formula [bad-formula]
            …mm + 4 mm + 5 mm + 6 mm + 7 mm + 8 mm + 9 mm + 10 mm + 鼻 + 11 mm + 12 mm
                                                                    ^
          help: formulas hold numbers with units, names, + - * / ^, comparisons and
            calls
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout show jaw.half jaw.inner"));
}

#[test]
fn faults_stand_beside_what_was_computed() {
    let bench = faulty();
    let answer = bench.run("setout show --format json");
    let json = answer.json();
    assert_eq!(answer.status, 2);
    assert_eq!(json["dimensions"][0]["value"], 62.0);
    assert!(json["dimensions"][1]["value"].is_null());
    expect![[r#"
        {
          "column": 10,
          "fault": "unknown-name",
          "file": "params/jaw.yaml",
          "help": "did you mean `width`?",
          "line": 3,
          "message": "there is no `widht`"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["faults"][2]));
    let json = bench.run("setout check --format json").json();
    assert_eq!(json["checks"][0]["verdict"], "unknown");
    assert_eq!(json["checks"][1]["verdict"], "fails");
    assert_eq!(json["verdict"], "fails");
    assert_eq!(json["faults"].as_array().map(Vec::len), Some(5));
}

#[test]
fn of_many_faults_the_first_are_drawn() {
    let lines: String = (0..60).map(|n| format!("  d{n:02}: nothing\n")).collect();
    let jaw = format!("dimensions:\n{lines}");
    let bench = Bench::with(&[("params/design.yaml", "setout: 1\n"), ("params/jaw.yaml", &jaw)]);
    let answer = bench.run("setout check");
    assert_eq!(answer.err.matches("[unknown-name]").count(), 50);
    assert!(answer.err.ends_with("and 10 more faults; --format json lists all\n"));
    let json = bench.run("setout check --format json").json();
    assert_eq!(json["faults"].as_array().map(Vec::len), Some(60));
}

#[test]
fn line_ends_of_all_kinds_are_counted() {
    let jaw = "\u{feff}dimensions:\r\n  a: 1 mm\r\n  b: nowt\r\n";
    let bench = Bench::with(&[("params/design.yaml", "setout: 1\n"), ("params/jaw.yaml", jaw)]);
    let err = bench.run("setout show jaw.a").err;
    let (placed, _) = err.split_once("  help:").expect("a help");
    expect![[r#"
        params/jaw.yaml:3:6: there is no `nowt` [unknown-name]
              b: nowt
                 ^
    "#]]
    .assert_eq(placed);
}
