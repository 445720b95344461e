//! `setout sweep` and `setout headroom`.

use expect_test::expect;

use crate::bench::Bench;

/// A jaw that clears its base at rest and does not when it opens, and a linkage that does not close
/// everywhere.
fn jaw() -> Bench {
    Bench::with(&[
        ("params/design.yaml", "setout: 1\nname: A jaw\n"),
        (
            "params/jaw.yaml",
            "dimensions:
  opening: { value: 0 deg, travel: [0 deg, 28 deg] }
  chin: { value: 40 mm, max: 60 mm, tolerance: ±0.2 mm }
  height: 20 mm
  gap: height - chin * sin(opening)
  turn: { value: 60 deg, travel: [0 deg, 180 deg] }
  between: 'four_bar_transmission(60 mm, 30 mm, 55 mm, 70 mm, turn, \"open\")'
  ratio: { value: 1 mm / (opening / 1 deg - 14), max: 5 mm }
checks:
  clears: { require: gap >= 2 mm, why: the chin strikes the base }
  turns: { require: between >= 0.1 deg }
  far: { require: ratio <= 20 mm }
",
        ),
    ])
}

#[test]
fn a_check_is_proved_or_a_pose_is_named() {
    let bench = jaw();
    expect![[r#"
        $ setout sweep jaw.clears
        A jaw
        1 table, 7 dimensions, 3 checks

        jaw.clears
        requires    gap >= 2 mm
        because     the chin strikes the base

        fails, margin -0.778863 mm, proved
          found with jaw.opening at 28 deg
          no pose has less than -0.778863 mm
          1 box looked at

        Judged over the whole travel of 1 axis, at nominal dimensions.
          jaw.opening  0 to 28 deg
        --- status 1
    "#]]
    .assert_eq(&bench.shown("setout sweep jaw.clears"));
    expect![[r#"
        $ setout sweep clears --worst
        A jaw
        1 table, 7 dimensions, 3 checks

        jaw.clears
        requires    gap >= 2 mm
        because     the chin strikes the base

        fails, margin -0.872757 mm, proved
          found with jaw.opening at 28 deg, jaw.chin +0.2 mm off
          no pose has less than -0.872757 mm
          1 box looked at

        Judged over the whole travel of 1 axis and the tolerances of 1 dimension.
          jaw.opening  0 to 28 deg
        --- status 1
    "#]]
    .assert_eq(&bench.shown("setout sweep clears --worst"));
}

#[test]
fn what_cannot_be_reached_and_what_has_no_value_is_said() {
    let bench = jaw();
    expect![[r#"
        $ setout sweep jaw.turns
        A jaw
        1 table, 7 dimensions, 3 checks

        jaw.turns
        requires    between >= 0.1 deg

        fails, margin -0.0999283 deg, proved
          found with jaw.turn at 20.3641 deg
          a linkage does not close in poses with jaw.turn between 0 and 20.3641 deg;
          what cannot be reached is not judged
          a linkage does not close in poses with jaw.turn between 81.27 and 180 deg;
          what cannot be reached is not judged
          no pose has less than -0.1 deg
          105 boxes looked at

        Judged over the whole travel of 1 axis, at nominal dimensions.
          jaw.turn  0 to 180 deg
        --- status 1
    "#]]
    .assert_eq(&bench.shown("setout sweep jaw.turns"));
    expect![[r#"
        $ setout sweep jaw.far
        A jaw
        1 table, 7 dimensions, 3 checks

        jaw.far
        requires    ratio <= 20 mm

        fails, margin -306783000 mm, proved
          found with jaw.opening at 14 deg
          129 boxes looked at

        Judged over the whole travel of 1 axis, at nominal dimensions.
          jaw.opening  0 to 28 deg
        --- status 1
    "#]]
    .assert_eq(&bench.shown("setout sweep jaw.far"));
    expect![[r#"
        $ setout sweep jaw.chin
        A jaw
        1 table, 7 dimensions, 3 checks

        jaw.chin
        requires    at most 60 mm

        holds, margin 20 mm, proved
          no pose has less than 20 mm
          1 box looked at

        It depends on no axis of travel, at nominal dimensions.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout sweep jaw.chin"));
    expect![[r#"
        $ setout sweep jaw.clear
        --- standard error
        setout: there is no check or limit `jaw.clear` [not-found]
          help: did you mean `jaw.clears`?
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout sweep jaw.clear"));
}

#[test]
fn the_way_a_dimension_can_go_is_told_with_what_stops_it() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "height: 20 mm", "height: 22 mm");
    expect![[r#"
        $ setout headroom jaw.chin
        A jaw
        1 table, 7 dimensions, 3 checks

        jaw.chin
        value       40 mm
        down to     nothing stops it before -3960 mm
        up to       42.4011 mm, where jaw.clears fails

        Each alone, over all travel and at the worst of tolerances; every value between
        is proved to be good.

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout headroom jaw.chin"));
    expect![[r#"
        $ setout headroom
        A jaw
        1 table, 7 dimensions, 3 checks

        jaw.height  20.8728  22           mm
        jaw.chin             40  42.4011  mm

        Each line: down to, the value, up to; nothing where nothing stops it on that
        side. `setout headroom NAME` says what does.
        Each alone, over all travel and at the worst of tolerances; every value between
        is proved to be good.

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout headroom"));
    expect![[r#"
        $ setout headroom jaw.gap
        --- standard error
        setout: `jaw.gap` is no number that somebody chose [bad-call]
          help: name a dimension whose value names no other and that is no axis of
            travel
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout headroom jaw.gap"));
    expect![[r#"
        $ setout headroom jaw.chin jaw.height --format json
        {
          "dimensions": [
            {
              "name": "jaw.chin",
              "unit": "mm",
              "value": 40.0,
              "low": {
                "value": null,
                "because": null,
                "verdict": null,
                "searched": -3960.0
              },
              "high": {
                "value": 42.40108370780945,
                "because": "jaw.clears",
                "verdict": "fails",
                "searched": 42.40108370780945
              }
            },
            {
              "name": "jaw.height",
              "unit": "mm",
              "value": 22.0,
              "low": {
                "value": 20.872771859169006,
                "because": "jaw.clears",
                "verdict": "fails",
                "searched": 20.872771859169006
              },
              "high": {
                "value": null,
                "because": null,
                "verdict": null,
                "searched": 2222.0
              }
            }
          ],
          "caution": "These numbers do not make a mechanism safe: moving faces pinch, stalled servos and cells get hot, magnets are swallowed. Local codes and a competent person decide."
        }
        --- status 0
    "#]].assert_eq(&bench.shown("setout headroom jaw.chin jaw.height --format json"));
}

#[test]
fn what_mends_a_check_is_listed() {
    let bench = jaw();
    expect![[r#"
        $ setout headroom --for jaw.clears
        A jaw
        1 table, 7 dimensions, 3 checks

        fails    jaw.clears, margin -0.872757 mm
                 at rest     holds, margin 18 mm, computed
                 moving      fails, margin -0.778863 mm, proved
                             found with jaw.opening at 28 deg
                 at worst    fails, margin -0.872757 mm, proved
                             found with jaw.opening at 28 deg, jaw.chin +0.2 mm off
                 requires    gap >= 2 mm
                 that is     20 mm >= 2 mm, at rest
                 because     the chin strikes the base
                 at          params/jaw.yaml:10:3

        Each of these by itself mends it:
          jaw.height  20  →  20.8728  mm
          jaw.chin    40  →  38.141   mm

        Values are just enough; choose a rounder one with a little more room.

        These numbers do not make a mechanism safe: moving faces pinch, stalled servos
        and cells get hot, magnets are swallowed. Local codes and a competent person
        decide.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout headroom --for jaw.clears"));
    expect![[r#"
        $ setout headroom --for clears --format json
        {
          "check": "jaw.clears",
          "verdict": "fails",
          "margin": -0.8727568239928125,
          "unit": "mm",
          "moves": [
            {
              "name": "jaw.height",
              "value": 20.0,
              "to": 20.87276182858646,
              "by": 0.8727618285864587,
              "unit": "mm",
              "then": []
            },
            {
              "name": "jaw.chin",
              "value": 40.0,
              "to": 38.140964135348796,
              "by": -1.8590358646512044,
              "unit": "mm",
              "then": []
            }
          ],
          "caution": "These numbers do not make a mechanism safe: moving faces pinch, stalled servos and cells get hot, magnets are swallowed. Local codes and a competent person decide."
        }
        --- status 0
    "#]].assert_eq(&bench.shown("setout headroom --for clears --format json"));
    expect![[r#"
        $ setout headroom --for jaw.nothing
        --- standard error
        setout: there is no check `jaw.nothing` [not-found]
          help: `setout check --all` lists the checks
        --- status 2
    "#]]
    .assert_eq(&bench.shown("setout headroom --for jaw.nothing"));
}
