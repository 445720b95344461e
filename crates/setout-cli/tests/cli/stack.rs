//! `setout stack`.

use expect_test::expect;

use crate::bench::Bench;

/// A tongue in its groove: an axis, a chain, an error that two share, a measured process, and a check
/// that has no margin.
fn tongue() -> Bench {
    Bench::with(&[
        (
            "params/design.yaml",
            "setout: 1\nname: A tongue\nprocesses:\n  \
             cast: { tolerance: ±0.5 mm, mean: -0.1 mm, deviation: 0.12 mm, shares: shrinkage }\n  \
             printed: { tolerance: ±0.2 mm }\n",
        ),
        (
            "params/tongue.yaml",
            "dimensions:
  lift: { value: 0 deg, travel: [0 deg, 14 deg] }
  width: { value: 38 mm, tolerance: cast }
  groove: { value: 40.5 mm, tolerance: cast, shares: none }
  shim: { value: 0.5 mm, tolerance: +0.1 -0.05 mm, spread: uniform }
  gap: { value: groove - width - shim, min: 1 mm, max: 3 mm }
  length: { value: 60 mm, tolerance: printed }
  hole: { value: 30 mm, tolerance: printed, shares: -nozzle }
  pin: { value: 29.4 mm, tolerance: printed, shares: nozzle }
  off: abs(hole - pin - 0.6 mm)
  screw: { text: M3, one_of: [M3, M4] }
checks:
  slides: { require: gap >= 1 mm }
  clears: { require: length * sin(lift) <= 15 mm, why: fingers fit in there }
  turns: { require: hole - pin >= 0.3 mm }
  is_bought: { require: screw == \"M3\" }
",
        ),
    ])
}

#[test]
fn a_dimension() {
    let bench = tongue();
    expect![[r#"
        $ setout stack gap
        A tongue
        1 table, 10 dimensions, 4 checks

        tongue.gap
        limits      1 to 3 mm

        nominal          2 mm               everything as wanted
        worst case       0.9 to 3.05 mm     all, proved
        root sum square  1.45 to 2.5 mm     99.73 % of all, computed
        simulated        1.451 to 2.499 mm  99.73 % of all, sampled

        1,000,000 samples with seed 1: mean 1.975 mm, standard deviation 0.175118 mm.
        0 of 1,000,000 lay outside of the limits: at most 3.69 in a million (95 %
        confidence).
        Were the result normal, it would be 0.0154 in a million.
        As a process it would have Cp 1.90, Cpk 1.86.

        What contributes: how far within its tolerance each moves the result, and its
        share in the variance and in the worst case.
                         tolerance      spread    moves it   variance  worst
          tongue.groove  ±0.5 mm        measured  ±0.5 mm    46.9 %    46.5 %
          tongue.width   ±0.5 mm        measured  ±0.5 mm    46.9 %    46.5 %
          tongue.shim    +0.1 -0.05 mm  uniform   ±0.075 mm   6.1 %     7.0 %
        tongue.groove was measured: mean error -0.1 mm, standard deviation 0.12 mm; Cp
        1.39, Cpk 1.11.
        tongue.width was measured: mean error -0.1 mm, standard deviation 0.12 mm; Cp
        1.39, Cpk 1.11.

        How far apart the ends would be with half of each tolerance, and the loosest
        that each could be within the limits, others as they are.
                         half                loosest
                         worst     squares   worst       squares
          as they are    2.15 mm   1.051 mm
          tongue.groove  1.65 mm   0.846 mm  ±0.399 mm   ±1.24 mm
          tongue.width   1.65 mm   0.846 mm  ±0.399 mm   ±1.24 mm
          tongue.shim    2.075 mm  1.026 mm  none helps  +0.505 -0.455 mm
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout stack gap"));
}

#[test]
fn a_check_that_moves() {
    let bench = tongue();
    expect![[r#"
        $ setout stack clears --over-travel --samples 5000
        A tongue
        1 table, 10 dimensions, 4 checks

        tongue.clears
        margin of   length * sin(lift) <= 15 mm
        because     fingers fit in there
        with        tongue.lift at 0 deg

        nominal          15 mm        everything as wanted
        worst case       15 to 15 mm  all, proved
        root sum square  15 to 15 mm  99.73 % of all, computed
        simulated        15 to 15 mm  99.73 % of all, sampled

        5,000 samples with seed 1: mean 15 mm, standard deviation 0 mm.
        0 of 5,000 failed: at most 738 in a million (95 % confidence).
        Were the result normal, it would be less than 0.000001 in a million.

        Over the whole travel the margin is least with tongue.lift at 14 deg: 0.436302
        mm at worst. `--at` shows the stack-up there.
        Over the whole travel: 0 of 5,000 failed in some pose: at most 738 in a million
        (95 % confidence).

        What contributes: how far within its tolerance each moves the result, and its
        share in the variance and in the worst case.
                         tolerance  spread  moves it  variance  worst
          tongue.length  ±0.2 mm    normal  ±0 mm

        What half of each tolerance would leave as the least margin, and the loosest
        that each could be with the check still holding, others as they are.
                         half            loosest
                         worst  squares  worst    squares
          tongue.length  15 mm  15 mm    ±2 mm    any
        The loosest at worst is over the whole travel, the rest in this pose.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout stack clears --over-travel --samples 5000"));
    expect![[r#"
        $ setout stack tongue.clears --at lift=14deg --coverage 95% --seed 7 --samples 20000
        A tongue
        1 table, 10 dimensions, 4 checks

        tongue.clears
        margin of   length * sin(lift) <= 15 mm
        because     fingers fit in there
        with        tongue.lift at 14 deg

        nominal          0.48469 mm             everything as wanted
        worst case       0.4363 to 0.53307 mm   all, proved
        root sum square  0.45308 to 0.5163 mm   95 % of all, computed
        simulated        0.45323 to 0.51599 mm  95 % of all, sampled

        20,000 samples with seed 7: mean 0.48459 mm, standard deviation 0.0160478 mm.
        0 of 20,000 failed: at most 184 in a million (95 % confidence).
        Were the result normal, it would be less than 0.000001 in a million.
        As a process it would have Cpk 10.07.

        Over the whole travel the margin is least with tongue.lift at 14 deg: 0.4363 mm
        at worst. `--at` shows the stack-up there.

        What contributes: how far within its tolerance each moves the result, and its
        share in the variance and in the worst case.
                         tolerance  spread  moves it     variance  worst
          tongue.length  ±0.2 mm    normal  ±0.04838 mm  100.0 %   100.0 %

        What half of each tolerance would leave as the least margin, and the loosest
        that each could be with the check still holding, others as they are.
                         half                    loosest
                         worst       squares     worst    squares
          tongue.length  0.46049 mm  0.46888 mm  ±2 mm    ±3.06 mm
        The loosest at worst is over the whole travel, the rest in this pose.
        --- status 0
    "#]]
    .assert_eq(&bench.shown(
        "setout stack tongue.clears --at lift=14deg --coverage 95% --seed 7 --samples 20000",
    ));
}

#[test]
fn shared_errors_and_corners() {
    let bench = tongue();
    expect![[r#"
        $ setout stack tongue.turns --samples 10000
        A tongue
        1 table, 10 dimensions, 4 checks

        tongue.turns
        margin of   hole - pin >= 0.3 mm

        nominal          0.3 mm                everything as wanted
        worst case       -0.1 to 0.7 mm        all, proved
        root sum square  -0.1 to 0.7 mm        99.73 % of all, computed
        simulated        -0.1021 to 0.7037 mm  99.73 % of all, sampled

        10,000 samples with seed 1: mean 0.299 mm, standard deviation 0.132069 mm.
        110 of 10,000 failed: 11,000 in a million, between 9,049 and 13,243 (95 %
        confidence).
        Were the result normal, it would be 12,224 in a million.
        As a process it would have Cpk 0.75.

        What contributes: how far within its tolerance each moves the result, and its
        share in the variance and in the worst case.
                        tolerance   spread  moves it  variance  worst
          nozzle        shared by:  normal  ±0.4 mm   100.0 %   100.0 %
          -tongue.hole  ±0.2 mm
          tongue.pin    ±0.2 mm
        What shares an error is off together, each by the same part of its tolerance.

        What half of each tolerance would leave as the least margin, and the loosest
        that each could be with the check still holding, others as they are.
                  half             loosest
                  worst   squares  worst       squares
          nozzle  0.1 mm  0.1 mm   0.75 times  0.75 times
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout stack tongue.turns --samples 10000"));
    expect![[r#"
        $ setout stack tongue.off --samples 10000
        A tongue
        1 table, 10 dimensions, 4 checks

        tongue.off

        nominal          0 mm                 everything as wanted
        worst case       0 to 0.4 mm          all, proved
        root sum square  -0.4 to 0.4 mm       99.73 % of all, computed
        simulated        0.0002 to 0.4163 mm  99.73 % of all, sampled

        10,000 samples with seed 1: mean 0.106 mm, standard deviation 0.0787197 mm.

        What contributes: how far within its tolerance each moves the result, and its
        share in the variance and in the worst case.
                        tolerance   spread  moves it  variance  worst
          nozzle        shared by:  normal  ±0.4 mm   100.0 %   100.0 %
          -tongue.hole  ±0.2 mm
          tongue.pin    ±0.2 mm
        What shares an error is off together, each by the same part of its tolerance.

        How far apart the ends would be with half of each tolerance, others as they are.
                       half
                       worst   squares
          as they are  0.4 mm  0.8 mm
          nozzle       0.2 mm  0.4 mm

        note        the result is no straight line in its errors: root sum square is 69
                    % above the simulation, so go by that

        note        root sum square reaches beyond the worst case: the result is not
                    normal, so go by the simulation
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout stack tongue.off --samples 10000"));
}

#[test]
fn what_is_no_chain() {
    let bench = tongue();
    let calls = [
        "setout stack is_bought",
        "setout stack screw",
        "setout stack lift",
        "setout stack slidse",
        "setout stack gap --over-travel",
        "setout stack turns --over-travel",
        "setout stack gap --at shim=1mm",
        "setout stack clears --at lift",
        "setout stack clears --at lift=20deg",
        "setout stack gap --coverage 95",
        "setout stack gap --coverage 100%",
        "setout stack gap --samples 3",
    ];
    expect![[r#"
        $ setout stack is_bought
        --- standard error
        setout: no tolerance bears on `tongue.is_bought`, so there is nothing to add up
            [bad-call]
          help: give the dimensions that it depends on a `tolerance`
        --- status 2
        $ setout stack screw
        --- standard error
        setout: `tongue.screw` is no number [bad-call]
          help: name a dimension that is one, or a check
        --- status 2
        $ setout stack lift
        --- standard error
        setout: no tolerance bears on `tongue.lift`, so there is nothing to add up
            [bad-call]
          help: give the dimensions that it depends on a `tolerance`
        --- status 2
        $ setout stack slidse
        --- standard error
        setout: there is no dimension or check `slidse` [not-found]
          help: did you mean `tongue.slides`?
        --- status 2
        $ setout stack gap --over-travel
        --- standard error
        setout: `tongue.gap` is no check: no pose of it fails [bad-call]
          help: take out --over-travel, or name a check that moves
        --- status 2
        $ setout stack turns --over-travel
        --- standard error
        setout: `tongue.turns` depends on no axis of travel [bad-call]
          help: take out --over-travel, or name a check that moves
        --- status 2
        $ setout stack gap --at shim=1mm
        --- standard error
        setout: `tongue.shim` is no axis of travel [bad-call]
          help: name a chosen dimension that has a `travel`
        --- status 2
        $ setout stack clears --at lift
        --- standard error
        setout: `lift` gives no value [bad-call]
          help: write `lift=VALUE`
        --- status 2
        $ setout stack clears --at lift=20deg
        --- standard error
        setout: `tongue.lift` rests at 20 deg, outside of its travel from 0 deg to 14
            deg [bad-limits]
          help: let the value at rest lie within the travel
        --- status 2
        $ setout stack gap --coverage 95
        --- standard error
        setout: `--coverage <PART>` cannot be `95` [bad-call]
          help: --help after the command shows how it is called
        --- status 2
        $ setout stack gap --coverage 100%
        --- standard error
        setout: `--coverage <PART>` cannot be `100%` [bad-call]
          help: --help after the command shows how it is called
        --- status 2
        $ setout stack gap --samples 3
        --- standard error
        setout: `--samples <NUMBER>` cannot be `3` [bad-call]
          help: --help after the command shows how it is called
        --- status 2
    "#]]
    .assert_eq(&calls.map(|call| bench.shown(call)).concat());
}

/// What another program reads.
#[test]
fn as_json() {
    let bench = tongue();
    let json = bench.run("setout stack gap --samples 10000 --seed 3 --format json").json();
    assert_eq!(json["name"], "tongue.gap");
    assert_eq!(json["of"], "value");
    assert_eq!(json["nominal"], 2.0);
    assert_eq!(json["wanted"], serde_json::json!({ "low": 1.0, "high": 3.0 }));
    let worst = |end: &str| json["worst"][end].as_f64().unwrap();
    assert!((worst("low") - 0.9).abs() < 1e-9 && (worst("high") - 3.05).abs() < 1e-9);
    assert_eq!(json["worst"]["how"], "proved");
    assert_eq!(json["rss"]["how"], "computed");
    assert_eq!(json["simulated"]["how"], "sampled");
    assert_eq!(json["simulated"]["seed"], 3);
    assert_eq!(json["simulated"]["samples"], 10_000);
    let coverage = json["simulated"]["coverage"].as_f64().unwrap();
    assert!((coverage - 0.9973).abs() < 1e-6);
    let shares = json["contributions"].as_array().unwrap();
    let sum: f64 = shares.iter().map(|own| own["share"].as_f64().unwrap()).sum();
    assert!((sum - 1.0).abs() < 1e-12);
    assert_eq!(shares.len(), 3);
    let groove = shares.iter().find(|own| own["name"] == "tongue.groove").unwrap();
    assert_eq!(groove["dimensions"][0]["measured"]["mean"], -0.1);
    assert_eq!(groove["dimensions"][0]["slope"], 1.0);
    // The limit leaves 0.4 mm of its 0.5.
    assert_eq!(groove["loosest"]["worst"]["up_to"], "times");
    let times = groove["loosest"]["worst"]["times"].as_f64().unwrap();
    assert!((times - 0.8).abs() < 2e-3 && times <= 0.8, "{times}");
}

#[test]
fn a_shared_error_is_set() {
    let bench = tongue();
    expect![[r#"
        $ setout set tongue.length --shares -nozzle
        params/tongue.yaml:7
          was  length: { value: 60 mm, tolerance: printed }
          now  length: { value: 60 mm, tolerance: printed, shares: -nozzle }
                                                         ^^^^^^^^^^^^^^^^^

        All parts together: mass 0 g as before.
        No dimension changed, no check or limit got worse. Written to
        params/tongue.yaml.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout set tongue.length --shares -nozzle"));
    assert!(bench.text("params/tongue.yaml").contains("tolerance: printed, shares: -nozzle }"));
}
