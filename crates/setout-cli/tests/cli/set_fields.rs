//! `setout set` of limits, tolerances, units, notes and all other fields.

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
        All of it is so already.
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
fn fields_of_checks_and_parts_are_set() {
    let bench = jaw();
    let calls = [
        "setout set jaw.room --require gap>=14mm --tight 2mm --why rubs",
        "setout set play_is_small --why it --without tight",
        "setout set jaw.jaw --material PETG --quantity 2 --note slowly --uses width,pin",
        "setout set pin_rod --without mass,cost",
        "setout set jaw.width --travel 62mm,[60mm --spread uniform",
    ];
    expect![[r#"
        $ setout set jaw.room --require gap>=14mm --tight 2mm --why rubs
        params/jaw.yaml:15
          was  room: { require: gap >= 15 mm, tight: 1 mm, why: the skin pulls the
                                   ^  ^^^^^^         ^^^^       ^^^^^^^^^^^^^^^^^^
               cheeks inwards }
               ^^^^^^^^^^^^^^
          now  room: { require: gap>=14mm, tight: 2mm, why: rubs }
                                     ^^^^         ^^^       ^^^^

        All parts together: cost 4.30 GBP as before, mass 32 g as before.
        No dimension changed, no check or limit got worse. Written to params/jaw.yaml.
        --- status 0

        $ setout set play_is_small --why it --without tight
        params/jaw.yaml:16
          was  play_is_small: { require: play <= 5 mm }
          now  play_is_small: { require: play <= 5 mm, why: it }
                                                     ^^^^^^^^^

        All parts together: cost 4.30 GBP as before, mass 32 g as before.
        No dimension changed, no check or limit got worse. Written to params/jaw.yaml.
        --- status 0

        $ setout set jaw.jaw --material PETG --quantity 2 --note slowly --uses width,pin
        params/jaw.yaml:19
          was  jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 30 g, uses:
               [width] }
          now  jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 30 g, uses:
               [width, pin], material: PETG, quantity: 2, note: slowly }
                     ^^^^^ ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^

        1 part has to be made again:
          jaw.jaw  printed     3.10 GBP     30 g
              edited itself

        All parts together: cost 4.30 → 7.40 GBP, mass 32 → 62 g.
        No dimension changed, 1 part has to be made again, no check or limit got worse.
        Written to params/jaw.yaml.
        --- status 0

        $ setout set pin_rod --without mass,cost
        params/jaw.yaml:20
          was  pin_rod: { made: bought, cost: 1.20 GBP, mass: 2 g, uses: [pin] }
                                        ^^^^^^^^^^^^^^^^^^^^^^^^^^^
          now  pin_rod: { made: bought, uses: [pin] }

        1 part with another cost or mass:
          jaw.pin_rod  bought  1.20 GBP → not computed  2 g → not computed

        All parts together: cost 7.40 → 6.20 GBP, mass 62 → 60 g.
        No dimension changed, no check or limit got worse. Written to params/jaw.yaml.
        --- status 0

        $ setout set jaw.width --travel 62mm,[60mm --spread uniform
        --- standard error
        params/jaw.yaml:3:66: formulas have no lists [bad-formula]
            … value: 62 mm, min: 55 mm, max: 70 mm, travel: [62mm, "[60mm"], spread: un…
                                                                    ^
          help: write the values out, or use a schedule's column
        --- status 2
    "#]]
    .assert_eq(&calls.map(|call| bench.shown(call)).join("\n"));
    expect![[r#"
        about: Lower jaw and its tongue
        dimensions:
          width: { value: 62 mm, min: 55 mm, max: 70 mm }
          gap: { value: (frame.inner - width) / 2, note: air on both sides of the jaw }
          play: gap / 4
          steps: floor(width, 10 mm)
          pin: { text: M4, one_of: [M3, M4] }
        schedules:
          pose:
            columns: { jaw: mm }
            rows:
              shut: [gap]
              open: [20 mm]
        checks:
          room: { require: gap>=14mm, tight: 2mm, why: rubs }
          play_is_small: { require: play <= 5 mm, why: it }
          pin_is_there: { require: pin == "M4" }
        parts:
          jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 30 g, uses: [width, pin], material: PETG, quantity: 2, note: slowly }
          pin_rod: { made: bought, uses: [pin] }
    "#]].assert_eq(&bench.text("params/jaw.yaml"));
}

#[test]
fn a_name_can_have_the_field_behind_it() {
    let bench = jaw();
    let call = "setout set jaw.width.max=75mm jaw.room.tight=2mm frame.wall=2.5mm jaw.pin.one_of=M3,M4,M5 --format json";
    let json = bench.run(call).json();
    let names: Vec<_> =
        json["lines"].as_array().expect("lines").iter().map(|l| &l["name"]).collect();
    assert_eq!(names, ["jaw.width", "jaw.room", "frame.wall", "jaw.pin"]);
    assert!(bench.text("params/jaw.yaml").contains("pin: { text: M4, one_of: [M3, M4, M5] }"));
    bench.file("fields.csv", "name,value\njaw.width.min,50 mm\njaw.jaw.mass,31 g\njaw.room.why,\"hot, and close\"\njaw.width.max,76 mm\n");
    expect![[r#"
        $ setout set --from fields.csv
        params/jaw.yaml:3
          was  width: { value: 62 mm, min: 55 mm, max: 75mm }
                                           ^^          ^^^^
          now  width: { value: 62 mm, min: 50 mm, max: 76 mm }
                                           ^^          ^^^^^
        params/jaw.yaml:19
          was  jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 30 g, uses:
                                                                          ^^
               [width] }
          now  jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 31 g, uses:
                                                                          ^^
               [width] }
        params/jaw.yaml:15
          was  room: { require: gap >= 15 mm, tight: 2mm, why: the skin pulls the cheeks
                                                               ^^^^^^^^^^^^^^^^^^^^^^^^^
               inwards }
               ^^^^^^^
          now  room: { require: gap >= 15 mm, tight: 2mm, why: "hot, and close" }
                                                               ^^^^^^^^^^^^^^^^

        1 part with another cost or mass:
          jaw.jaw  printed     3.10 GBP  30 → 31 g

        All parts together: cost 4.30 GBP as before, mass 32 → 33 g.
        No dimension changed, no check or limit got worse. Written to params/jaw.yaml.
        The exports are out of date now; setout export writes them.

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set --from fields.csv"));
    bench.file("bad.csv", "jaw.width.min,90 mm\nframe.wall,3 deg\njaw.room.min,3 mm\n");
    expect![[r#"
        $ setout set --from bad.csv
        --- standard error
        bad.csv:3:1: `jaw.room` is a check and has no `min` [bad-call]
          help: a check has require, tight and why
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from bad.csv"));
    bench.file("bad.csv", "jaw.pin_rod.mass,2 g\njaw.width.min,90 mm\njaw.room.tight,3 deg\n");
    expect![[r#"
        $ setout set --from bad.csv
        --- standard error
        bad.csv:2:1: in the value for `jaw.width.min`: nothing satisfies the limits of
            `jaw.width`: min is 90 mm, max 76 mm [bad-limits]
          help: swap them, or check what they come from
        bad.csv:3:1: in the value for `jaw.room.tight`: the margin is a length, and `3
            deg` is an angle [unit-mismatch]
          help: write an amount in mm
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout set --from bad.csv"));
}

#[test]
fn a_field_is_taken_out() {
    let bench = jaw();
    expect![[r#"
        $ setout set frame.wall --without min,note
        params/frame.yaml:4
          was  wall: { value: 3 mm, min: 2 mm, max: 4 mm, note: 'six lines of a 0.5 mm
                                    ^^^^^^^^^^^         ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
               nozzle' }
               ^^^^^^^
          now  wall: { value: 3 mm, max: 4 mm }

        All parts together: cost 4.30 GBP as before, mass 32 g as before.
        No dimension changed, no check or limit got worse. Written to params/frame.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set frame.wall --without min,note"));
    bench.edit("params/frame.yaml", "  inner: width - 2 * wall\n", "  inner:\n    value: width - 2 * wall\n    # of the skull\n    max: 99 mm   # at most\n    note: air\n");
    let json = bench.run("setout set frame.inner --without max --format json").json();
    assert_eq!(
        json["lines"],
        json!([
            { "name": "frame.inner", "file": "params/frame.yaml", "line": 7, "before": "# of the skull", "after": null },
            { "name": "frame.inner", "file": "params/frame.yaml", "line": 8, "before": "max: 99 mm   # at most", "after": null }
        ])
    );
    assert!(bench.text("params/frame.yaml").ends_with("value: width - 2 * wall\n    note: air\n"));
    let calls = [
        "setout set frame.inner --without value",
        "setout set frame.inner --without maks",
        "setout set frame.inner --without tight",
        "setout set jaw.room --without require",
        "setout set frame.inner --without max",
        "setout set frame.inner --max 3mm --without max",
        "setout set jaw.room --min 3mm",
        "setout set jaw.pose --note x",
        "setout set jaw.width.foo 3mm",
        "setout set jaw.widht.min 3mm",
        "setout set jaw.width.min=",
    ];
    expect![[r#"
        $ setout set frame.inner --without value
        --- standard error
        setout: `frame.inner` cannot be without its `value` [bad-call]
          help: give it another one
        --- status 2

        $ setout set frame.inner --without maks
        --- standard error
        setout: there is no field `maks` [bad-call]
          help: did you mean `mass`?
        --- status 2

        $ setout set frame.inner --without tight
        --- standard error
        setout: `frame.inner` is a dimension and has no `tight` [bad-call]
          help: a dimension has value, unit, min, max, travel, tolerance, spread,
            shares, one_of and note
        --- status 2

        $ setout set jaw.room --without require
        --- standard error
        setout: `jaw.room` cannot be without its `require` [bad-call]
          help: give it another one
        --- status 2

        $ setout set frame.inner --without max
        All of it is so already.
        Nothing has been written.
        --- status 0

        $ setout set frame.inner --max 3mm --without max
        --- standard error
        setout: `frame.inner.max` is given two values [bad-call]
          help: give it one
        --- status 2

        $ setout set jaw.room --min 3mm
        --- standard error
        setout: `jaw.room` is a check and has no `min` [bad-call]
          help: a check has require, tight and why
        --- status 2

        $ setout set jaw.pose --note x
        --- standard error
        setout: `jaw.pose` is a schedule and has no `note` [bad-call]
          help: name a cell to set its value, as in drive.servo.jaw_left.neutral
        --- status 2

        $ setout set jaw.width.foo 3mm
        --- standard error
        setout: `jaw.width` is a dimension and has no `foo` [bad-call]
          help: a dimension has value, unit, min, max, travel, tolerance, spread,
            shares, one_of and note
        --- status 2

        $ setout set jaw.widht.min 3mm
        --- standard error
        setout: there is no `jaw.widht` [not-found]
          help: did you mean `jaw.width`?
        --- status 2

        $ setout set jaw.width.min=
        --- standard error
        setout: there is no value in `jaw.width.min=` [bad-call]
          help: `setout set jaw.width --without min` takes it out
        --- status 2
    "#]]
    .assert_eq(&calls.map(|call| bench.shown(call)).join("\n"));
}

#[test]
fn a_fault_is_mended_by_a_field() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "min: 55 mm", "min: 75 mm");
    assert_eq!(bench.run("setout check").status, 2);
    assert_eq!(bench.run("setout set jaw.width --min 80mm").status, 2);
    assert_eq!(bench.run("setout set frame.wall --note other").status, 2, "the fault stays");
    assert_eq!(bench.run("setout set jaw.width --min 50mm").status, 0);
    assert!(bench.text("params/jaw.yaml").contains("min: 50mm, max: 70 mm"));
}
