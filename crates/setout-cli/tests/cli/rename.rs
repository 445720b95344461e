//! `setout rename`.

use expect_test::expect;
use serde_json::json;

use crate::bench::Bench;
use crate::jaw::jaw;

/// The jaw, with a model of its own.
fn modelled() -> Bench {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "uses: [width]", "uses: [width], cad: ../cad/jaw.scad");
    bench.file("cad/jaw.scad", "include <../out/jaw.scad>\ncube(frame_width); // frame_width\n");
    bench
}

#[test]
fn a_dimension_is_renamed_with_all_that_names_it() {
    let bench = modelled();
    let before = ["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path));
    expect![[r#"
        $ setout rename frame.width span
        frame.width is frame.span now.

          params/frame.yaml: 2 places, lines 3 and 5

        These models still use the old name and are not edited:
          cad/jaw.scad
            frame_width is frame_span now: line 2

        No value changed. Written to params/frame.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout rename frame.width span"));
    assert_eq!(
        bench.text("params/frame.yaml"),
        before[0].replace("width:  ", "span:  ").replace("inner: width", "inner: span")
    );
    assert_eq!(bench.text("params/jaw.yaml"), before[1]);
    assert_eq!(bench.run("setout rename span width").status, 0);
    assert_eq!(["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path)), before);
    assert_eq!(bench.files().len(), 4, "nothing else is left there");
}

#[test]
fn several_tables_are_written() {
    let bench = jaw();
    expect![[r#"
        $ setout rename frame.inner room_inside
        frame.inner is frame.room_inside now.

          params/frame.yaml: 1 place, line 5
          params/jaw.yaml: 1 place, line 4

        No value changed. Written to params/frame.yaml and params/jaw.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout rename frame.inner room_inside"));
    assert_eq!(bench.run("setout rename jaw.pose.jaw opening").status, 0);
    assert!(bench.text("params/jaw.yaml").contains("columns: { opening: mm }"));
    assert!(bench.run("setout show jaw.pose.open.opening").out.contains("20 mm"));
    let check = bench.run("setout rename jaw.room space").out;
    assert!(!check.contains("out of date"), "checks are not exported: {check}");
}

#[test]
fn json_tells_what_was_renamed_where() {
    let bench = modelled();
    let json = bench.run("setout rename frame.width span --format json").json();
    assert_eq!(
        json,
        json!({
            "renamed": { "from": "frame.width", "to": "frame.span" },
            "files": [{ "file": "params/frame.yaml", "places": 2, "lines": [3, 5] }],
            "cad": [{ "file": "cad/jaw.scad", "line": 2, "old": "frame_width", "new": "frame_span" }],
            "exports": ["../out/jaw.csv"]
        })
    );
}

#[test]
fn what_cannot_be_renamed_is_told() {
    let bench = jaw();
    let files = ["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path));
    let calls = [
        "setout rename frame.width wall",
        "setout rename frame.width Span",
        "setout rename width span",
        "setout rename frame.depth span",
        "setout rename jaw.pose frame",
    ];
    expect![[r#"
        $ setout rename frame.width wall
        --- standard error
        params/frame.yaml:4:3: there is a dimension `wall` beside it already
            [duplicate-name]
              wall: { value: 3 mm, min: 2 mm, max: 4 mm, note: 'six lines of a 0.5 mm n…
              ^
          help: give `frame.width` another name, or rename that first
        --- status 2

        $ setout rename frame.width Span
        --- standard error
        params/frame.yaml:3:3: `Span` is no name [bad-name]
              width:   100 mm   # over all, ± nothing
              ^
          help: names are lower-case letters, digits and _, beginning with a letter:
            `span`
        --- status 2

        $ setout rename width span
        --- standard error
        setout: `width` could be several [ambiguous-name]
          help: write `frame.width` or `jaw.width`
        --- status 2

        $ setout rename frame.depth span
        --- standard error
        setout: there is no `frame.depth` [not-found]
          help: correct it, or add `depth` to the table `frame`
        --- status 2

        $ setout rename jaw.pose frame
        --- standard error
        setout: `frame` could be several [ambiguous-name]
          help: write `jaw.frame` or `frame.pose`
        --- status 2
    "#]]
    .assert_eq(&calls.map(|call| bench.shown(call)).join("\n"));
    let json = bench.run("setout rename frame.width wall --format json").json();
    assert_eq!(json["faults"][0]["fault"], "duplicate-name");
    bench.edit("params/jaw.yaml", "play: gap / 4", "play: gap / 4 deg + 1");
    assert_eq!(bench.run("setout rename frame.width span").status, 2, "the design has a fault");
    bench.edit("params/jaw.yaml", "play: gap / 4 deg + 1", "play: gap / 4");
    assert_eq!(["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path)), files);
}

#[test]
fn a_dimension_goes_to_another_table() {
    let bench = modelled();
    let before = ["params/frame.yaml", "params/jaw.yaml"].map(|path| bench.text(path));
    expect![[r#"
        $ setout rename frame.width jaw.frame_width
        frame.width is jaw.frame_width now.

          params/frame.yaml: 1 line taken out at line 3; 1 place, line 4
          params/jaw.yaml: 1 line put in at line 8

        These models still use the old name and are not edited:
          cad/jaw.scad
            frame_width is jaw_frame_width now: line 2

        No value changed. Written to params/frame.yaml and params/jaw.yaml.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout rename frame.width jaw.frame_width"));
    expect![[r#"
        about: Lower jaw and its tongue
        dimensions:
          width: { value: 62 mm, min: 55 mm, max: 70 mm }
          gap: { value: (frame.inner - width) / 2, note: air on both sides of the jaw }
          play: gap / 4
          steps: floor(width, 10 mm)
          pin: { text: M4, one_of: [M3, M4] }
          frame_width:   100 mm   # over all, ± nothing
        schedules:
          pose:
            columns: { jaw: mm }
            rows:
              shut: [gap]
              open: [20 mm]
        checks:
          room: { require: gap >= 15 mm, tight: 1 mm, why: the skin pulls the cheeks inwards }
          play_is_small: { require: play <= 5 mm }
          pin_is_there: { require: pin == "M4" }
        parts:
          jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 30 g, uses: [width], cad: ../cad/jaw.scad }
          pin_rod: { made: bought, cost: 1.20 GBP, mass: 2 g, uses: [pin] }
    "#]].assert_eq(&bench.text("params/jaw.yaml"));
    expect![[r#"
        # Masters: most of the head follows.
        dimensions:
          wall: { value: 3 mm, min: 2 mm, max: 4 mm, note: 'six lines of a 0.5 mm nozzle' }
          inner: jaw.frame_width - 2 * wall
    "#]]
    .assert_eq(&bench.text("params/frame.yaml"));
    let json = bench.run("setout rename jaw.frame_width frame.width --format json").json();
    assert_eq!(json["faults"], json!(null));
    assert_eq!(
        json["files"],
        json!([
            {
                "file": "params/frame.yaml", "places": 1, "lines": [4],
                "put_in": { "line": 5, "count": 1 }
            },
            {
                "file": "params/jaw.yaml", "places": 0, "lines": [],
                "taken_out": { "line": 8, "count": 1 }
            }
        ])
    );
    let parts: Vec<&str> = before[0].splitn(2, "  wall").collect();
    assert!(parts[0].contains("width:   100 mm   # over all"));
    assert_eq!(bench.text("params/jaw.yaml"), before[1], "there and back");
    assert_eq!(bench.files().len(), 4, "nothing else is left there");
}

#[test]
fn a_table_is_renamed_with_its_file() {
    let bench = modelled();
    let before = bench.text("params/frame.yaml");
    expect![[r#"
        $ setout rename frame carrier
        frame is carrier now.

          params/carrier.yaml: it was params/frame.yaml
          params/jaw.yaml: 1 place, line 4

        These models still use the old name and are not edited:
          cad/jaw.scad
            frame_width is carrier_width now: line 2

        No value changed. Written to params/carrier.yaml and params/jaw.yaml;
        params/frame.yaml is gone.
        The exports are out of date now; setout export writes them.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout rename frame carrier"));
    assert_eq!(bench.text("params/carrier.yaml"), before);
    assert!(bench.text("params/jaw.yaml").contains("(carrier.inner - width) / 2"));
    let json = bench.run("setout rename carrier.yaml params/frame.yaml --format json").json();
    assert_eq!(json["renamed"], json!({ "from": "carrier", "to": "frame" }));
    assert_eq!(
        json["files"][0],
        json!({
            "file": "params/frame.yaml", "file_before": "params/carrier.yaml",
            "places": 0, "lines": []
        })
    );
    let names = ["cad/jaw.scad", "params/design.yaml", "params/frame.yaml", "params/jaw.yaml"];
    assert_eq!(bench.files(), names);
}

#[test]
fn tables_that_are_not_there_or_are_there_are_told() {
    let bench = jaw();
    let before = bench.text("params/jaw.yaml");
    bench.file("params/lip.yaml", "dimensions: { cost: 3 GBP, in_jaw: jaw.cost }\n");
    bench.edit("params/jaw.yaml", "  play: gap / 4\n", "  play: gap / 4\n  cost: 2 GBP\n");
    let calls = [
        "setout rename frame.width farme.width",
        "setout rename frame.width lid.width",
        "setout rename frame jaw",
        "setout rename jaw mouth",
        "setout rename frame.width jaw",
        "setout rename jaw.pose.open frame.open",
        "setout rename frame.width jaw.gap",
        "setout rename jaw.jaw lip.jaw",
    ];
    expect![[r#"
        $ setout rename frame.width farme.width
        --- standard error
        setout: there is no table `farme` [not-found]
          help: did you mean `frame.width`?
        --- status 2

        $ setout rename frame.width lid.width
        --- standard error
        setout: there is no table `lid` [not-found]
          help: did you mean `lip.width`?
        --- status 2

        $ setout rename frame jaw
        --- standard error
        params/jaw.yaml:1:1: there is a table `jaw` already [duplicate-name]
            about: Lower jaw and its tongue
            ^
          help: give `frame` another name, or rename that one first
        --- status 2

        $ setout rename jaw mouth
        --- standard error
        setout: `jaw` could be several [ambiguous-name]
          help: write `jaw.jaw` or `params/jaw.yaml`
        --- status 2

        $ setout rename frame.width jaw
        --- standard error
        setout: `jaw` could be several [ambiguous-name]
          help: write `frame.jaw` or `jaw.width`
        --- status 2

        $ setout rename jaw.pose.open frame.open
        --- standard error
        params/jaw.yaml:14:7: `jaw.pose.open` stays in its schedule [bad-name]
                  open: [20 mm]
                  ^
          help: write the new name alone, such as `open`
        --- status 2

        $ setout rename frame.width jaw.gap
        --- standard error
        params/jaw.yaml:4:3: there is a dimension `gap` in `jaw` already
            [duplicate-name]
              gap: { value: (frame.inner - width) / 2, note: air on both sides of the j…
              ^
          help: give `frame.width` another name, or rename that first
        --- status 2

        $ setout rename jaw.jaw lip.jaw
        --- standard error
        params/lip.yaml:1:36: `jaw.cost` could be of the table `jaw` or of `jaw` in this
            table [ambiguous-name]
            dimensions: { cost: 3 GBP, in_jaw: jaw.cost }
                                               ^
          help: for the latter write `lip.jaw.cost`; else rename `lip.jaw`
        --- status 2
    "#]]
    .assert_eq(&calls.map(|call| bench.shown(call)).join("\n"));
    assert_eq!(bench.text("params/jaw.yaml"), before.replace("/ 4\n", "/ 4\n  cost: 2 GBP\n"));
}

#[test]
fn a_design_that_is_half_written_is_told_by_every_command() {
    let bench = jaw();
    bench.file("params/.setout-ab12.tmp", "dimensions: {}\n");
    let note = "jaw.yaml.gone\tmouth.yaml\n.setout-ab12.tmp\tframe.yaml\n";
    bench.file("params/.setout-unfinished", note);
    expect![[r#"
        $ setout check
        --- standard error
        setout: the design is half written: params/frame.yaml is to be replaced yet [io]
          help: if no setout is at work, finish it: mv params/.setout-ab12.tmp
            params/frame.yaml && rm params/.setout-unfinished
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout check"));
    for call in ["setout diff", "setout set frame.width 90mm", "setout rename jaw mouth"] {
        let answer = bench.run(call);
        assert!(answer.err.contains("half written") && answer.status == 2, "{}", answer.err);
    }
    std::fs::rename(
        bench.root().join("params/.setout-ab12.tmp"),
        bench.root().join("params/frame.yaml"),
    )
    .expect("finished by hand");
    assert!(!bench.run("setout show").err.contains("half written"));
}
