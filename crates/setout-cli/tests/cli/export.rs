//! `setout export`.

use expect_test::expect;

use crate::bench::{Bench, keys};

#[test]
fn what_has_changed_is_written() {
    let bench = Bench::lid();
    let mut shown = String::new();
    for (edit, call) in [
        (None, "setout export --verify"),
        (None, "setout export"),
        (None, "setout export"),
        (Some(("62 mm", "63 mm")), "setout export --verify"),
        (None, "setout export out/lid.csv"),
        (None, "setout export --verify"),
        (None, "setout export"),
        (Some(("over all", "over everything")), "setout export --verify"),
        (None, "setout export"),
        (None, "setout export --verify"),
    ] {
        if let Some((from, to)) = edit {
            bench.edit("params/lid.yaml", from, to);
            shown += &format!("({from} becomes {to})\n");
        }
        shown += &bench.shown(call);
    }
    expect![[r#"
        $ setout export --verify
        out/lid.csv   is not there
        out/lid.scad  is not there
        --- status 1
        $ setout export
        out/lid.csv   written; it is new
        out/lid.scad  written; it is new
        --- status 0
        $ setout export
        out/lid.csv   is current
        out/lid.scad  is current
        --- status 0
        (62 mm becomes 63 mm)
        $ setout export --verify
        out/lid.csv   is out of date
        out/lid.scad  is out of date
        --- status 1
        $ setout export out/lid.csv
        out/lid.csv  written; it was out of date
        --- status 0
        $ setout export --verify
        out/lid.csv   is current
        out/lid.scad  is out of date
        --- status 1
        $ setout export
        out/lid.csv   is current
        out/lid.scad  written; it was out of date
        --- status 0
        (over all becomes over everything)
        $ setout export --verify
        out/lid.csv   has the current values, other notes or order
        out/lid.scad  has the current values, other notes or order
        --- status 0
        $ setout export
        out/lid.csv   written; notes or order had changed
        out/lid.scad  written; notes or order had changed
        --- status 0
        $ setout export --verify
        out/lid.csv   is current
        out/lid.scad  is current
        --- status 0
    "#]]
    .assert_eq(&shown);
}

#[test]
fn current_files_are_left_alone() {
    let bench = Bench::lid();
    bench.run("setout export");
    let written = |path: &str| {
        let meta = std::fs::metadata(bench.root().join(path)).expect("there");
        meta.modified().expect("a time")
    };
    let before = written("out/lid.csv");
    std::thread::sleep(std::time::Duration::from_millis(20));
    bench.run("setout export");
    assert_eq!(written("out/lid.csv"), before);
}

#[test]
fn work_of_others_is_not_overwritten() {
    let bench = Bench::lid();
    bench.file("out/lid.csv", "my,own,figures\n");
    let refused = bench.shown("setout export");
    assert_eq!(bench.files(), ["out/lid.csv", "params/design.yaml", "params/lid.yaml"]);
    let forced = bench.shown("setout export --force");
    bench.edit("out/lid.scad", "lid_width = 62", "lid_width = 66");
    let verified = bench.shown("setout export --verify");
    let edited = bench.shown("setout export");
    assert!(bench.text("out/lid.scad").contains("lid_width = 62"));
    expect![[r#"
        $ setout export
        out/lid.csv   not written; it was not written by setout
        out/lid.scad  not written; it is not there
        Nothing was written.
        --- standard error
        setout: out/lid.csv was not written by setout [io]
          help: --force overwrites it; export to another file to keep it
        --- status 2

        $ setout export --force
        out/lid.csv   written over a file that was not setout's
        out/lid.scad  written; it is new
        --- status 0

        $ setout export --verify
        out/lid.csv   is current
        out/lid.scad  was edited by hand
        --- status 1

        $ setout export
        out/lid.csv   is current
        out/lid.scad  written over what a hand had changed
        --- status 0
    "#]]
    .assert_eq(&[refused, forced, verified, edited].join("\n"));
}

#[test]
fn one_more_file_goes_where_it_may() {
    let bench = Bench::lid();
    let calls = [
        "setout export --to csv --file sheets/lid.csv",
        "setout -C params export --to openscad --file ../lid.scad",
        "setout export --to csv --file ../lid.csv",
        "setout export --to csv --file params/lid.yaml",
        "setout export --to csv --file lid.txt",
        "setout export --to csv --file .hidden.csv",
        "setout export --to cvs --file lid.csv",
        "setout export lid.csv",
        "setout export out/lid.csw",
    ];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[r#"
        $ setout export --to csv --file sheets/lid.csv
        sheets/lid.csv  written; it is new
        --- status 0

        $ setout -C params export --to openscad --file ../lid.scad
        lid.scad  written; it is new
        --- status 0

        $ setout export --to csv --file ../lid.csv
        --- standard error
        setout: ../lid.csv lies outside of the design's root [unsafe-path]
          help: name a file below (bench)
        --- status 2

        $ setout export --to csv --file params/lid.yaml
        --- standard error
        setout: `params/lid.yaml` is a table of this design [unsafe-path]
          help: export to another file
        --- status 2

        $ setout export --to csv --file lid.txt
        --- standard error
        setout: a file of format csv ends with .csv [unsafe-path]
          help: write for example `dimensions.csv`
        --- status 2

        $ setout export --to csv --file .hidden.csv
        --- standard error
        setout: ".hidden.csv" begins with a dot; only leading .. parts may, to go up
            from the design [unsafe-path]
          help: write for example `dimensions.csv`
        --- status 2

        $ setout export --to cvs --file lid.csv
        --- standard error
        setout: there is no export format `cvs` [bad-call]
          help: did you mean `csv`?
        --- status 2

        $ setout export lid.csv
        --- standard error
        setout: design.yaml lists no export to lid.csv [not-found]
          help: it lists out/lid.csv, out/lid.scad
        --- status 2

        $ setout export out/lid.csw
        --- standard error
        setout: design.yaml lists no export to out/lid.csw [not-found]
          help: did you mean `out/lid.csv`?
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
    let files = ["lid.scad", "params/design.yaml", "params/lid.yaml", "sheets/lid.csv"];
    assert_eq!(bench.files(), files);
}

#[cfg(unix)]
#[test]
fn links_are_not_followed_out_of_the_root() {
    let (bench, outside) = (Bench::lid(), Bench::empty());
    std::os::unix::fs::symlink(outside.root(), bench.root().join("out")).expect("linked");
    expect![[r#"
        $ setout export
        Nothing was written.
        --- standard error
        setout: out/lid.csv is not read: a symbolic link in it leads out of the root of
            the design, or nowhere [unsafe-path]
          help: name an ordinary file below the root of the design
        setout: out/lid.scad is not read: a symbolic link in it leads out of the root of
            the design, or nowhere [unsafe-path]
          help: name an ordinary file below the root of the design
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout export"));
    let answer = bench.run("setout export --to csv --file out/x.csv --format json");
    assert_eq!(answer.json()["faults"][0]["fault"], "unsafe-path");
    assert!(outside.files().is_empty());
}

#[test]
fn a_design_with_faults_is_not_exported() {
    let bench = Bench::lid();
    bench.edit("params/lid.yaml", "inner: width", "inner: widht");
    expect![[r#"
        $ setout export
        Nothing was written.
        --- standard error
        params/lid.yaml:3:10: there is no `widht` [unknown-name]
              inner: widht - 2 * 1.5 mm
                     ^
          help: did you mean `width`?
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout export"));
    expect![[r#"
        $ setout export --stdout csv
        --- standard error
        params/lid.yaml:3:10: there is no `widht` [unknown-name]
              inner: widht - 2 * 1.5 mm
                     ^
          help: did you mean `width`?
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout export --stdout csv"));
    assert_eq!(bench.files(), ["params/design.yaml", "params/lid.yaml"]);
}

#[test]
fn an_export_to_standard_output() {
    let bench = Bench::lid();
    let answer = bench.run("setout export --stdout openscad");
    bench.run("setout export");
    assert_eq!(answer.out, bench.text("out/lid.scad"));
    let answer = bench.run("setout export --stdout csv --format json");
    assert_eq!(answer.json()["faults"][0]["fault"], "bad-call");
}

#[test]
fn a_design_that_lists_none() {
    let bench = Bench::with(&[("params/design.yaml", "setout: 1\n")]);
    expect![[r#"
        $ setout export
        There is no file to export. List files under `exports` in design.yaml, or name
        one with --to and --file.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout export"));
}

#[test]
fn the_document_keeps_its_keys() {
    let bench = Bench::lid();
    let json = bench.run("setout export --format json").json();
    expect![[r#"
        {
          "exports": [
            {
              "current": true,
              "file": "out/lid.csv",
              "fingerprint": "63f0f2ea7a094e3cdb9561f3ad79f887",
              "format": "csv",
              "standing": "missing",
              "written": true
            },
            {
              "current": true,
              "file": "out/lid.scad",
              "fingerprint": "58f6b17111b97341f5aa8c719ab9751a",
              "format": "openscad",
              "standing": "missing",
              "written": true
            }
          ]
        }
    "#]]
    .assert_eq(&format!("{json:#}\n"));
    let json = bench.run("setout export --verify --format json").json();
    assert_eq!(keys(&json), ["exports"]);
    assert_eq!(json["exports"][0]["standing"], "current");
    assert_eq!(json["exports"][0]["written"], false);
}
