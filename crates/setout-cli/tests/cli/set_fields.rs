//! `setout set` of limits, tolerances, units and notes, and of many values from a file.

use std::io::Cursor;

use expect_test::expect;
use serde_json::json;

use crate::jaw::jaw;

#[test]
fn limits_are_set_beside_the_value() {
    let bench = jaw();
    let before = bench.text("params/jaw.yaml");
    expect![[r#"
        $ setout set jaw.width 58mm --min -3mm --tolerance H7
        params/jaw.yaml:3
          was  width: { value: 62 mm, min: 55 mm, max: 70 mm }
                               ^^^^^       ^^^^^
          now  width: { value: 58mm, min: -3mm, max: 70 mm, tolerance: H7 }
                               ^^^^       ^^^^            ^^^^^^^^^^^^^^^

        1 part has to be made again:
          jaw.jaw  printed  3.10 → 2.90 GBP     30 g
              jaw.width

        All parts together: cost 4.30 → 4.10 GBP, mass 32 g as before.
        4 dimensions changed, 1 part has to be made again, no check or limit got worse.
        Written to params/jaw.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set jaw.width 58mm --min -3mm --tolerance H7"));
    let line = "width: { value: 62 mm, min: 55 mm, max: 70 mm }";
    let now = "width: { value: 58mm, min: -3mm, max: 70 mm, tolerance: H7 }";
    assert_eq!(bench.text("params/jaw.yaml"), before.replace(line, now));
}

#[test]
fn a_short_form_and_a_long_one_get_new_fields() {
    let bench = jaw();
    expect![[r#"
        $ setout set frame.width --max 120mm --note wide
        params/frame.yaml:3
          was  width: 100 mm # over all, ± nothing
          now  width: { value: 100 mm, max: 120mm, note: wide } # over all, ± nothing
                      ^^^^^^^^^      ^^^^^^^^^^^^^^^^^^^^^^^^^^

        All parts together: cost 4.30 GBP as before, mass 32 g as before.
        No dimension changed, no check or limit got worse. Written to params/frame.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set frame.width --max 120mm --note wide"));
    bench.edit("params/jaw.yaml", "  play: gap / 4\n", "  play:\n    value: gap / 4\n");
    expect![[r#"
        $ setout set jaw.play --unit cm --max 1cm
        params/jaw.yaml:7
          was  nothing
          now  unit: cm
        params/jaw.yaml:8
          was  nothing
          now  max: 1cm

        All parts together: cost 4.30 GBP as before, mass 32 g as before.
        No dimension changed, no check or limit got worse. Written to params/jaw.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set jaw.play --unit cm --max 1cm"));
    expect![[r#"
        $ setout set jaw.play --unit cm
        All of it stands there already.
        Nothing has been written.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set jaw.play --unit cm"));
}

#[test]
fn json_has_a_line_for_each_line_of_the_table() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "  play: gap / 4\n", "  play:\n    value: gap / 4\n");
    let json = bench.run("setout set jaw.play --max 1cm --format json").json();
    assert_eq!(
        json["lines"],
        json!([{
            "name": "jaw.play", "file": "params/jaw.yaml", "line": 7,
            "before": null, "after": "max: 1cm"
        }])
    );
    assert_eq!((&json["edits"][0]["what"], &json["changed"]), (&json!("limits"), &json!([])));
}

#[test]
fn fields_that_do_not_fit_are_refused() {
    let bench = jaw();
    let before = bench.text("params/jaw.yaml");
    let calls = [
        "setout set jaw.width --min 3deg",
        "setout set jaw.width --min 80mm",
        "setout set jaw.width --note",
        "setout set jaw.gap 3mm --min 1mm",
        "setout set jaw.pose.open.jaw --min 1mm",
        "setout set jaw.width=1mm jaw.gap=2mm --min 1mm",
        "setout set jaw.width --from x.csv",
        "setout set",
    ];
    expect![[r#"
        $ setout set jaw.width --min 3deg
        --- standard error
        params/jaw.yaml:3:31: `jaw.width` is a length, and `3deg` is an angle
            [unit-mismatch]
              width: { value: 62 mm, min: 3deg, max: 70 mm }
                                          ^
          help: write an amount in mm
        --- status 2

        $ setout set jaw.width --min 80mm
        --- standard error
        params/jaw.yaml:3:31: nothing satisfies the limits of `jaw.width`: min is 80 mm,
            max 70 mm [bad-limits]
              width: { value: 62 mm, min: 80mm, max: 70 mm }
                                          ^
          help: swap them, or check what they come from
        --- status 2

        $ setout set jaw.width --note
        --- standard error
        setout: `--note <TEXT>` has no value [bad-call]
          help: write a value after it
        --- status 2

        $ setout set jaw.gap 3mm --min 1mm
        --- standard error
        setout: `jaw.gap` is derived: (frame.inner - width) / 2 [bad-call]
          help: --formula replaces the formula; to keep it, set what it names
        --- status 2

        $ setout set jaw.pose.open.jaw --min 1mm
        --- standard error
        setout: `jaw.pose.open.jaw` is a cell and has no `min` [bad-call]
          help: a cell has a value alone
        --- status 2

        $ setout set jaw.width=1mm jaw.gap=2mm --min 1mm
        --- standard error
        setout: fields are set of one thing at a time [bad-call]
          help: write for example `jaw.width --min 55mm`, or for several
            `jaw.width.min=55mm frame.depth.min=80mm`
        --- status 2

        $ setout set jaw.width --from x.csv
        --- standard error
        setout: `--from` brings its own names and fields [bad-call]
          help: leave out either --from or what else is to be set
        --- status 2

        $ setout set
        --- standard error
        setout: `<NAME=VALUE>...` is missing [bad-call]
          help: --help after the command shows how it is called
        --- status 2
    "#]]
    .assert_eq(&calls.map(|call| bench.shown(call)).join("\n"));
    assert_eq!(bench.text("params/jaw.yaml"), before);
}

#[test]
fn values_of_a_file_are_set_together() {
    let bench = jaw();
    let before = ["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path));
    bench.file("new.csv", "Name,Value\r\nframe.width, 98 mm\r\n\r\njaw.steps,\"floor(width, 5 mm)\"\r\njaw.pin,M4\r\njaw.jaw.cost,5 GBP\n");
    let refused = bench.shown("setout set --from new.csv");
    expect![[r#"
        $ setout set --from new.csv
        --- standard error
        new.csv:4:1: `jaw.steps` is derived: floor(width, 10 mm) [bad-call]
          help: --formula replaces the formula; to keep it, set what it names
        new.csv:6:1: `jaw.jaw.cost` is derived: width * 0.05 GBP / 1 mm [bad-call]
          help: --formula replaces the formula; to keep it, set what it names
        --- status 2
    "#]]
    .assert_eq(&refused);
    expect![[r#"
        $ setout set --from new.csv --formula
        params/frame.yaml:3
          was  width: 100 mm # over all, ± nothing
                      ^^^
          now  width: 98 mm # over all, ± nothing
                      ^^
        params/jaw.yaml:6
          was  steps: floor(width, 10 mm)
                                   ^^
          now  steps: floor(width, 5 mm)
                                   ^
        jaw.pin is already M4.
        params/jaw.yaml:19
          was  jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 30 g, uses:
                                           ^^^^^^^^^^^^    ^^^^^^^
               [width] }
          now  jaw: { made: printed, cost: 5 GBP, mass: 30 g, uses: [width] }
                                           ^

        tight    jaw.room, margin 0 mm; it held by 1 mm
                 requires    gap >= 15 mm
                 that is     15 mm >= 15 mm
                 because     the skin pulls the cheeks inwards
                 from        frame.width

        1 part with another cost or mass:
          jaw.jaw  printed  3.10 → 5.00 GBP     30 g

        All parts together: cost 4.30 → 6.20 GBP, mass 32 g as before.
        4 dimensions changed, 1 check is tight. Written to params/frame.yaml and
        params/jaw.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set --from new.csv --formula"));
    assert_eq!(
        bench.text("params/frame.yaml"),
        before[0].replace("width:   100 mm", "width:   98 mm")
    );
    let jaw = before[1]
        .replace("floor(width, 10 mm)", "floor(width, 5 mm)")
        .replace("width * 0.05 GBP / 1 mm", "5 GBP");
    assert_eq!(bench.text("params/jaw.yaml"), jaw);
}

#[test]
fn values_come_from_standard_input() {
    let bench = jaw();
    let call = "setout set --from - --format json";
    let answer = bench.run_as(call, |io| io.stdin = Box::new(Cursor::new("frame.wall,2.5 mm")));
    assert_eq!(answer.json()["lines"][0]["line"], 4);
    assert!(bench.text("params/frame.yaml").contains("{ value: 2.5 mm, min"));
    assert_eq!(bench.run(call).json()["faults"][0]["file"], "standard input");
}

#[test]
fn every_fault_of_a_file_has_its_line() {
    let bench = jaw();
    let before = ["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path));
    bench.file(
        "bad.csv",
        "name,value\nframe.width,98 mm\nframe.widht,98 mm\njaw.gap,3 mm\nframe.wall\nframe.wall,\nwidth,3 mm\nframe.width,97 mm\njaw.steps,max(1 mm, 2 mm)\n",
    );
    expect![[r#"
        $ setout set --from bad.csv
        --- standard error
        bad.csv:3:1: there is no `frame.widht` [not-found]
          help: did you mean `frame.width`?
        bad.csv:4:1: `jaw.gap` is derived: (frame.inner - width) / 2 [bad-call]
          help: --formula replaces the formula; to keep it, set what it names
        bad.csv:5:1: this line has 1 of 2 fields [bad-call]
          help: write `name,value`, and a value with a comma in it in double quotes
        bad.csv:6:1: there is no value in `frame.wall=` [bad-call]
          help: write for example `jaw.width=64mm`
        bad.csv:7:1: `width` could be several [ambiguous-name]
          help: write `frame.width` or `jaw.width`
        bad.csv:8:1: `frame.width` is given two values [bad-call]
          help: line 2 has it first; take one of them out
        bad.csv:9:1: this line has 3 of 2 fields [bad-call]
          help: write `name,value`, and a value with a comma in it in double quotes
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from bad.csv"));
    bench.file("worse.csv", "frame.width,98 furlongs\nframe.wall,3 deg\n");
    expect![[r#"
        $ setout set --from worse.csv
        --- standard error
        worse.csv:1:1: in the value for `frame.width`: there is no unit `furlongs`
            [unknown-unit]
          help: if `furlongs` is a name, put an operator before it: `98 * furlongs`
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from worse.csv"));
    bench.file("zero.csv", "frame.width,98 mm\nframe.wall,5 mm\njaw.width,1 mm / 0\n");
    expect![[r#"
        $ setout set --from zero.csv
        --- standard error
        zero.csv:3:1: in the value for `jaw.width`: a division by zero: `0` [domain]
          help: keep the divisor away from 0
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from zero.csv"));
    expect![[r#"
        $ setout set --from none.csv
        --- standard error
        setout: none.csv cannot be read: No such file or directory (os error 2)
            [not-found]
          help: name a file, or - for standard input
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from none.csv"));
    assert_eq!(["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path)), before);
}
