//! `setout new`, and the road from there.

use expect_test::expect;

use crate::bench::Bench;

#[test]
fn a_new_design_is_whole() {
    let bench = Bench::empty();
    expect![[r#"
        $ setout new
        Made params/design.yaml, params/eye.yaml, params/frame.yaml and params/schema.
          setout check says whether everything fits
          setout show lists every dimension with its value
          setout export writes the dimensions for CAD and for spreadsheets
        Change a value in params/eye.yaml and check again.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout new"));
    let files =
        ["design.yaml", "eye.yaml", "frame.yaml", "schema/design.json", "schema/table.json"];
    assert_eq!(bench.files(), files.map(|file| format!("params/{file}")));
    expect![[r#"
        $ setout check --strict
        An eye with its lid
        2 tables, 6 dimensions, 1 check, 1 part

        1 check and 1 limit hold.

        All parts together: cost 0.70 EUR, mass 12 g.
        Everything that was assessed holds.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout check --strict"));
    let json = bench.run("setout check --format json").json();
    assert_eq!(json["warnings"], serde_json::json!([]));
}

#[test]
fn from_new_to_export_and_again() {
    let bench = Bench::empty();
    bench.run("setout new");
    let first = bench.run("setout export");
    assert_eq!(first.status, 0, "{first:?}");
    let texts = ["exports/dimensions.csv", "exports/dimensions.scad"].map(|path| bench.text(path));
    assert_eq!(bench.run("setout export").status, 0);
    assert_eq!(bench.run("setout export --verify").status, 0);
    std::fs::remove_dir_all(bench.root().join("exports")).expect("removed");
    assert_eq!(bench.run("setout export").out, first.out);
    assert_eq!(
        ["exports/dimensions.csv", "exports/dimensions.scad"].map(|path| bench.text(path)),
        texts
    );
}

#[test]
fn a_new_design_goes_where_it_is_told() {
    let bench = Bench::empty();
    expect![[r#"
        $ setout new owl/face
        Made owl/face/params/design.yaml, owl/face/params/eye.yaml,
        owl/face/params/frame.yaml and owl/face/params/schema.
          setout -C owl/face check says whether everything fits
          setout -C owl/face show lists every dimension with its value
          setout -C owl/face export writes the dimensions for CAD and for spreadsheets
        Change a value in owl/face/params/eye.yaml and check again.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout new owl/face"));
    bench.file("shed/rod.txt", "");
    expect![[r#"
        $ setout -C shed new
        Made shed/params/design.yaml, shed/params/eye.yaml, shed/params/frame.yaml and
        shed/params/schema.
          setout -C shed check says whether everything fits
          setout -C shed show lists every dimension with its value
          setout -C shed export writes the dimensions for CAD and for spreadsheets
        Change a value in shed/params/eye.yaml and check again.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout -C shed new"));
    let json = bench.run("setout new fox --format json").json();
    assert_eq!(json["written"][0], "fox/params/design.yaml");
}

#[test]
fn nothing_is_overwritten() {
    let bench = Bench::with(&[("params/frame.yaml", "mine"), ("flat/design.yaml", "setout: 1\n")]);
    expect![[r#"
        $ setout new
        --- standard error
        setout: params is there already, and nothing is overwritten [io]
          help: name another folder: setout new DIR
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout new"));
    expect![[r#"
        $ setout new flat
        --- standard error
        setout: flat/design.yaml is there already, and nothing is overwritten [io]
          help: name another folder: setout new DIR
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout new flat"));
    bench.file("file", "");
    expect![[r#"
        $ setout new file
        --- standard error
        setout: no design can be made: file/params: File exists (os error 17) [io]
          help: name a folder that can be written to
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout new file"));
    assert_eq!(bench.files(), ["file", "flat/design.yaml", "params/frame.yaml"]);
    std::fs::create_dir(bench.root().join("bare")).expect("made");
    std::fs::create_dir(bench.root().join("bare/params")).expect("made");
    assert_eq!(bench.run("setout new bare").status, 0);
}
