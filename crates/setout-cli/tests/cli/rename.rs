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
          cad/jaw.scad:2 uses frame_width; it is frame_span now

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
