//! `setout import`: where the table goes, and what is said.

use expect_test::expect;

use crate::bench::{Bench, keys};

const VARS: &str = "headW = 60; // over all\njaw_w = headW * 0.6 - 2;\n$fn = 64;\n";

fn bench() -> Bench {
    let bench = Bench::lid();
    bench.file("old/face.scad", VARS);
    bench
}

#[test]
fn a_table_is_written_and_the_rest_named() {
    let bench = bench();
    expect![[r#"
        $ setout import old/face.scad
        Wrote params/face.yaml: 2 values.

        Assumed
          lengths in mm: head_w

        Renamed
          headW  to  head_w

        Left out
          line 3: $fn = 64;
            it is a setting of the program, not a dimension
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout import old/face.scad"));
    expect![[r#"
        dimensions:
          head_w:
            value: 60 mm
            note: over all
          jaw_w: head_w * 0.6 - 2 mm
    "#]]
    .assert_eq(&bench.text("params/face.yaml"));
    assert_eq!(bench.run("setout show face.jaw_w").status, 0);
    // Nothing is overwritten.
    expect![[r#"
        $ setout import old/face.scad
        --- standard error
        setout: params/face.yaml is there already, and nothing is overwritten [io]
          help: give the table another name with --table NAME
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout import old/face.scad"));
    assert_eq!(bench.run("setout -C old import face.scad --table other --strict").status, 1);
    assert!(bench.files().contains(&"params/other.yaml".to_owned()));
}

#[test]
fn json_has_the_report() {
    let bench = bench();
    let json = bench.run("setout import old/face.scad --table jaw --format json").json();
    let wanted = ["assumed", "file", "left_out", "names", "renamed", "table", "taken"];
    assert_eq!(keys(&json), wanted);
    assert_eq!((&json["taken"], &json["file"]), (&2.into(), &"params/jaw.yaml".into()));
    assert_eq!(json["left_out"][0]["line"], 3);
    let json = bench.run("setout import old/face.scad --to-stdout --format json").json();
    assert!(json["text"].as_str().expect("the table").starts_with("dimensions:\n"));
}

#[test]
fn standard_output_takes_the_table_alone() {
    let bench = bench();
    let before = bench.files();
    let answer = bench.run("setout import old/face.scad --to-stdout");
    assert!(answer.out.starts_with("dimensions:\n") && answer.err.contains("Left out"));
    assert_eq!((answer.status, bench.files()), (0, before));
}

#[test]
fn what_cannot_be_read_is_refused() {
    let bench = bench();
    bench.file("old/none.scad", "cube(3);\n");
    bench.file("old/design.csv", "name,value\n");
    expect![[r#"
        $ setout import old/none.scad
        0 values, and nothing was written.

        Left out
          line 1: cube(3);
            it is no assignment
        --- standard error
        setout: nothing in old/none.scad can be taken into a table [bad-value]
          help: a line such as `width = 62; // mm` can, or a CSV record below
            `name,value,unit`
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout import old/none.scad"));
    for (call, slug) in [
        ("setout import old/gone.scad", "not-found"),
        ("setout import old", "bad-call"),
        ("setout import params/lid.yaml", "bad-call"),
        ("setout import old/face.scad --table design", "bad-call"),
        ("setout import old/face.scad --table Jaw", "bad-call"),
        ("setout import old/face.scad --table lid", "io"),
        ("setout import old/design.csv", "bad-value"),
    ] {
        let answer = bench.run(call);
        assert_eq!(answer.status, 2, "{call}: {answer:?}");
        assert!(answer.err.contains(&format!("[{slug}]")), "{call}: {answer:?}");
    }
}
