//! `setout trace`.

use expect_test::expect;
use serde_json::json;

use crate::bench::{Bench, keys};
use crate::jaw::jaw;

#[test]
fn a_value_can_be_checked_by_hand() {
    let bench = jaw();
    expect![[r#"
        $ setout trace jaw.play
        jaw.play = gap / 4
                 = 16 mm / 4
                 = 4 mm                                                params/jaw.yaml:5

        It is made of 2 derived values and 3 chosen values:

        jaw.gap = (frame.inner - width) / 2
                = (94 mm - 62 mm) / 2
                = 16 mm                                                params/jaw.yaml:4

        frame.inner = width - 2 * wall
                    = 100 mm - 2 * 3 mm
                    = 94 mm                                          params/frame.yaml:5

        jaw.width     62 mm  params/jaw.yaml:3
        frame.width  100 mm  params/frame.yaml:3
        frame.wall     3 mm  params/frame.yaml:4  six lines of a 0.5 mm nozzle
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout trace jaw.play"));
    expect![[r#"
        $ setout trace jaw.room
        jaw.room  gap >= 15 mm
                  16 mm >= 15 mm
                  holds, margin 1 mm                                  params/jaw.yaml:15

        It is made of 2 derived values and 3 chosen values:

        jaw.gap = (frame.inner - width) / 2
                = (94 mm - 62 mm) / 2
                = 16 mm                                                params/jaw.yaml:4

        frame.inner = width - 2 * wall
                    = 100 mm - 2 * 3 mm
                    = 94 mm                                          params/frame.yaml:5

        jaw.width     62 mm  params/jaw.yaml:3
        frame.width  100 mm  params/frame.yaml:3
        frame.wall     3 mm  params/frame.yaml:4  six lines of a 0.5 mm nozzle
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout trace jaw.room"));
    expect![[r#"
        $ setout trace wall
        frame.wall = 3 mm                                            params/frame.yaml:4
            six lines of a 0.5 mm nozzle
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout trace wall"));
    expect![[r#"
        $ setout trace design.cost
        design.cost = the cost of every part, times its quantity
                    = 4.30 GBP

        It is made of 1 derived value and 4 chosen values:

        jaw.jaw.cost = width * 0.05 GBP / 1 mm
                     = 62 mm * 0.05 GBP / 1 mm
                     = 3.10 GBP                                       params/jaw.yaml:19

        jaw.jaw.quantity       1         params/jaw.yaml:19
        jaw.pin_rod.cost       1.20 GBP  params/jaw.yaml:20
        jaw.pin_rod.quantity   1         params/jaw.yaml:20
        jaw.width             62 mm      params/jaw.yaml:3
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout trace design.cost"));
}

#[test]
fn long_names_and_formulas_fit_the_page() {
    let name = "a_name_that_is_as_long_as_a_name_may_be";
    let table = format!(
        "dimensions:\n  other: 2 mm\n  {name}: {} + other^2 / other\n",
        ["12.5 mm"; 12].join(" + ")
    );
    let bench = Bench::with(&[("params/design.yaml", "setout: 1\n"), ("params/t.yaml", &table)]);
    let answer = bench.run(&format!("setout trace t.{name}"));
    assert!(answer.out.lines().all(|line| line.chars().count() <= 80), "{}", answer.out);
    expect![[r#"
        t.a_name_that_is_as_long_as_a_name_may_be
            = 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5
              mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + other^2 / other
            = 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5
              mm + 12.5 mm + 12.5 mm + 12.5 mm + 12.5 mm + (2 mm)^2 / 2 mm
            = 152 mm                                                     params/t.yaml:3

        It is made of 1 chosen value:

        t.other  2 mm  params/t.yaml:2
    "#]]
    .assert_eq(&answer.out);
}

#[test]
fn reverse_is_the_reach() {
    let bench = jaw();
    let reverse = bench.run("setout trace --reverse frame.wall");
    assert_eq!(reverse.out, bench.run("setout impact frame.wall").out);
    let json = bench.run("setout trace --reverse frame.wall --format json").json();
    assert_eq!(json["reached"][1]["path"], json!(["frame.wall", "frame.inner", "jaw.gap"]));
}

#[test]
fn the_document_keeps_its_keys() {
    let json = jaw().run("setout trace jaw.play --format json").json();
    assert_eq!(keys(&json), ["name", "steps", "unit", "value"]);
    let names = json["steps"].as_array().expect("a list").iter().map(|step| step["name"].clone());
    let order =
        json!(["frame.width", "frame.wall", "frame.inner", "jaw.width", "jaw.gap", "jaw.play"]);
    let mut names: Vec<_> = names.collect();
    assert_eq!(names.last(), Some(&json!("jaw.play")));
    let mut order = order.as_array().expect("a list").clone();
    names.sort_by_key(ToString::to_string);
    order.sort_by_key(ToString::to_string);
    assert_eq!(names, order);
    expect![[r#"
        {
          "column": 3,
          "file": "params/jaw.yaml",
          "filled_in": "16 mm / 4",
          "formula": "gap / 4",
          "kind": "derived",
          "line": 5,
          "name": "jaw.play",
          "needs": [
            "jaw.gap"
          ],
          "unit": "mm",
          "value": 4.0
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["steps"][5]));
    let json = jaw().run("setout trace jaw.room --format json").json();
    assert_eq!(keys(&json), ["margin", "name", "steps", "unit", "verdict"]);
    assert_eq!(
        json["steps"].as_array().and_then(|steps| steps.last()).expect("a step")["kind"],
        "check"
    );
}

#[test]
fn names_that_stand_for_nothing_are_refused() {
    let bench = jaw();
    let calls = ["setout trace", "setout trace gpa", "setout trace jaw", "setout trace width"];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[r#"
        $ setout trace
        --- standard error
        setout: `<NAME>` is missing [bad-call]
          help: --help after the command shows how it is called
        --- status 2

        $ setout trace gpa
        --- standard error
        setout: there is no `gpa` [not-found]
          help: write a dimension as `table.name`
        --- status 2

        $ setout trace jaw
        --- standard error
        setout: there is no `jaw` [not-found]
          help: `jaw` is a table; write `jaw.` and the dimension
        --- status 2

        $ setout trace width
        --- standard error
        setout: `width` could be several [ambiguous-name]
          help: write `frame.width` or `jaw.width`
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
}

#[test]
fn what_was_not_computed_is_said() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "gap / 4", "gap / nothing");
    expect![[r#"
        $ setout trace jaw.play
        jaw.play = gap / nothing
                 = 16 mm / nothing
                 = not computed                                        params/jaw.yaml:5

        It is made of 2 derived values and 3 chosen values:

        jaw.gap = (frame.inner - width) / 2
                = (94 mm - 62 mm) / 2
                = 16 mm                                                params/jaw.yaml:4

        frame.inner = width - 2 * wall
                    = 100 mm - 2 * 3 mm
                    = 94 mm                                          params/frame.yaml:5

        jaw.width     62 mm  params/jaw.yaml:3
        frame.width  100 mm  params/frame.yaml:3
        frame.wall     3 mm  params/frame.yaml:4  six lines of a 0.5 mm nozzle
        --- standard error
        params/jaw.yaml:5:15: there is no `nothing` [unknown-name]
              play: gap / nothing
                          ^
          help: correct it, or add `nothing` to the table `jaw`
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout trace jaw.play"));
    let json = bench.run("setout trace jaw.play --format json").json();
    assert!(json["value"].is_null());
}
