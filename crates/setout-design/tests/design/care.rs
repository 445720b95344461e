//! What deserves a look: warnings, each where it must be given and where it must not.

use setout_design::Warning;

use crate::good;

/// The warnings of one table `t`, of one sort or of all.
#[track_caller]
fn warnings(slug: &str, table: &str) -> Vec<Warning> {
    let all = good(&[("t", table)]).warnings();
    all.into_iter().filter(|warning| slug.is_empty() || warning.slug == slug).collect()
}

#[track_caller]
fn said(slug: &str, table: &str) -> Vec<String> {
    warnings(slug, table).into_iter().map(|warning| warning.message).collect()
}

/// The names that a sort of warning is given for, in the order of the table.
#[track_caller]
fn named(slug: &str, table: &str) -> String {
    let names = warnings(slug, table).into_iter().map(|warning| warning.name);
    names.map(|name| name.trim_start_matches("t.").to_owned()).collect::<Vec<_>>().join(" ")
}

#[test]
fn what_deserves_a_look_is_said() {
    let design = "dimensions:
  a: { value: 5 mm, min: 4.9 mm, max: 5.1 mm, tolerance: printed }
  b: { value: a, min: 4 mm, max: 6 mm, tolerance: printed }
  lone: 1 mm
checks:
  always: { require: 2 mm > 1 mm }
  real: { require: b > 1 mm }
";
    let shown: Vec<String> = warnings("", design)
        .iter()
        .map(|w| format!("{} {}: {}", w.slug, w.name, w.message))
        .collect();
    assert_eq!(
        shown,
        [
            "wide-tolerance t.a: the tolerance of `t.a` spans 0.4 mm, its limits only 0.2 mm",
            "unused t.lone: nothing uses `t.lone`",
            "constant-check t.always: `t.always` compares written numbers, so nothing can turn it",
        ]
    );
}

#[test]
fn a_span_of_readings_is_a_difference() {
    let table = "dimensions:
  air: { value: 20 °C, min: 19 °C, max: 21 °C, tolerance: ±3 K }
checks:
  cool: { require: air < 30 °C }
";
    let shown = said("wide-tolerance", table);
    assert_eq!(shown, ["the tolerance of `t.air` spans 6 K, its limits only 2 K"]);
}

/// `gap` comes to the check through `room`, `least` by itself; `pin` has a tolerance.
const GAP: &str = "dimensions:
  pin: { value: 4 mm, tolerance: ±0.1 mm }
  gap: 0.5 mm
  room: pin + gap
  least: 4.2 mm
checks:
  fits: { require: room >= least }
";

#[test]
fn what_a_check_with_tolerances_takes_as_exact_is_said() {
    assert_eq!(
        said("untoleranced", GAP),
        [
            "`t.gap` has no tolerance, unlike others in the check `t.fits`",
            "`t.least` has no tolerance, unlike others in the check `t.fits`",
        ]
    );
    let help = &warnings("untoleranced", GAP)[0].help;
    assert_eq!(help, "write `tolerance: printed` or another, or `tolerance: 0 mm` if it is exact");
}

#[test]
fn a_tolerance_of_nothing_says_exact() {
    let exact = GAP
        .replace("gap: 0.5 mm", "gap: { value: 0.5 mm, tolerance: 0 mm }")
        .replace("least: 4.2 mm", "least: { value: 4.2 mm, tolerance: 0 mm }");
    assert_eq!(named("untoleranced", &exact), "");
}

#[test]
fn a_check_without_tolerances_asks_for_none() {
    assert_eq!(named("untoleranced", &GAP.replace(", tolerance: ±0.1 mm", "")), "");
    // One that is exact varies as little as one that says nothing.
    assert_eq!(named("untoleranced", &GAP.replace("±0.1 mm", "0 mm")), "");
}

/// A made dimension varies about its nominal value by its own tolerance, whatever that came from.
#[test]
fn what_is_made_hides_what_it_is_computed_from() {
    let made = GAP.replace("room: pin + gap", "room: { value: pin + gap, tolerance: printed }");
    assert_eq!(named("untoleranced", &made), "least");
    // If it is made exactly, nothing varies at all.
    let exact = GAP.replace("room: pin + gap", "room: { value: pin + gap, tolerance: 0 mm }");
    assert_eq!(named("untoleranced", &exact), "");
    // Hidden on one way, and not on another.
    let both = made.replace("room >= least", "room + gap >= least");
    assert_eq!(named("untoleranced", &both), "gap least");
}

#[test]
fn limits_travels_and_tightness_are_no_part_of_a_margin() {
    let table = "dimensions:
  pin: { value: 4 mm, tolerance: ±0.1 mm, min: lowest }
  lowest: 3 mm
  enough: 0.1 mm
  open: { value: 0 mm, travel: [0 mm, far] }
  far: 2 mm
checks:
  fits: { require: pin + open >= 4 mm, tight: enough }
";
    assert_eq!(named("untoleranced", table), "");
}

#[test]
fn only_still_physical_quantities_are_asked_for_a_tolerance() {
    let table = "dimensions:
  pin: { value: 4 mm, tolerance: ±0.1 mm }
  screw: { text: M3 }
  many: { value: 3, unit: count }
  ratio: 0.5
  share: 50 %
  round: true
  open: { value: 0 mm, travel: [0 mm, 1 mm] }
  price: 2 GBP/kg
  density: 1.2 g/cm^3
  air: 20 °C
  warm: 30 °C
  growth: 0.01 mm/K
  hot: if(round && screw == \"M3\", pin * many * ratio * share + open + servo.one.width, 1 mm)
schedules:
  servo:
    columns: { width: mm }
    rows:
      one: [20 mm]
checks:
  fits: { require: hot >= growth * (warm - air) }
  light: { require: pin^3 * density * (price / 1 GBP * 1 kg) <= 10 g }
";
    assert_eq!(named("untoleranced", table), "density air warm growth");
    let help = |name: &str| {
        let found = warnings("untoleranced", table).into_iter().find(|w| w.name == name);
        found.unwrap().help
    };
    assert_eq!(
        help("t.air"),
        "write `tolerance: ±` and how much, or `tolerance: 0 K` if it is exact"
    );
    assert!(help("t.density").contains("`tolerance: 0 g/cm^3`"), "{}", help("t.density"));
}

#[test]
fn what_the_help_says_can_be_written() {
    for warning in warnings("untoleranced", GAP) {
        let name = warning.name.trim_start_matches("t.");
        let tolerance = warning.help.split('`').nth(3).unwrap();
        let line = GAP.lines().find(|line| line.trim().starts_with(name)).unwrap();
        let (_, value) = line.split_once(": ").unwrap();
        let mended = GAP.replace(line, &format!("  {name}: {{ value: {value}, {tolerance} }}"));
        let left = named("untoleranced", &mended);
        assert!(!left.split(' ').any(|left| left == name), "{name}: {left}");
    }
}

#[test]
fn a_price_is_held_to_no_tolerance() {
    let table = "dimensions:
  side: { value: 40 mm, tolerance: printed }
  rate: 2 GBP/kg
  waste: 3 mm
  weight: (side + waste)^3 * 1 g/cm^3
checks:
  cheap: { require: design.cost <= 5 GBP }
  light: { require: design.mass <= 1 kg }
parts:
  cube: { made: printed, cost: weight * rate, mass: 2 g, uses: [side] }
";
    assert_eq!(named("untoleranced", table), "");
    // A mass is weighed, so what it is computed from counts.
    assert_eq!(named("untoleranced", &table.replace("mass: 2 g", "mass: weight")), "waste");
}

#[test]
fn checks_without_a_margin_need_no_tolerance() {
    let table = GAP.replace("room >= least", "(room >= least) == true");
    assert_eq!(named("untoleranced", &table), "");
}

#[test]
fn of_many_checks_the_first_are_named() {
    let mut table = GAP.replace("least: 4.2 mm", "least: { value: 4.2 mm, tolerance: 0 mm }");
    let messages = |table: &str| said("untoleranced", table).join("");
    table += "  second: { require: room > 1 mm }\n";
    assert!(messages(&table).ends_with("unlike others in the checks `t.fits` and `t.second`"));
    table += "  third: { require: room > 2 mm }\n";
    assert!(messages(&table).ends_with("the checks `t.fits`, `t.second` and `t.third`"));
    table += "  fourth: { require: room > 3 mm }\n  fifth: { require: room > 3.5 mm }\n";
    assert!(messages(&table).ends_with("the checks `t.fits`, `t.second`, `t.third` and 2 more"));
}

#[test]
fn faults_come_before_warnings() {
    let faulty =
        setout_design::Design::read(&crate::texts(&[("t", &(GAP.to_owned() + "  bad: 1\n"))]));
    assert_eq!(faulty.evaluate().warnings(), []);
}

#[test]
fn a_limit_that_runs_away_from_its_dimension_is_said() {
    for (dimensions, message) in [
        ("w: { value: 6 mm, min: w + 1 mm }", "whatever `t.w` comes to, its `min` lies above that"),
        ("w: { value: 6 mm, max: w - 1 mm }", "whatever `t.w` comes to, its `max` lies below that"),
        (
            "w: { value: 6 mm, min: 3 mm, max: 0.9 * w }",
            "whatever `t.w` comes to, its `max` lies below that",
        ),
        (
            "w: { value: 6 mm, min: more }\n  more: (2 * w + rim) / 2\n  rim: { value: 3 mm, min: 1 mm }",
            "whatever `t.w` comes to, its `min` lies above that",
        ),
        (
            "a: 6 mm\n  w: { value: a / 2, travel: [w + 1 mm, w + 2 mm] }",
            "whatever `t.w` comes to, its travel lies above that",
        ),
    ] {
        let table = format!("dimensions:\n  {dimensions}\n");
        assert_eq!(said("unmeetable-limits", &table), [message], "{dimensions}");
    }
}

#[test]
fn a_travel_beside_the_limits_is_said() {
    for (dimensions, message) in [
        (
            "w: { value: 0 deg, travel: [0 deg, 20 deg], min: 30 deg }",
            "the travel of `t.w` ends at 20 deg, its `min` is 30 deg",
        ),
        (
            "w: { value: 50 deg, travel: [40 deg, 60 deg], max: 30 deg }",
            "the travel of `t.w` begins at 40 deg, its `max` is 30 deg",
        ),
        (
            "w: { value: 0 deg, travel: [0 deg, 2 * far], min: 50 deg }\n  far: { value: 20 deg, max: 24 deg }",
            "the travel of `t.w` ends at 48 deg or less, its `min` is 50 deg",
        ),
        (
            "a: 10 deg\n  w: { value: a, travel: [0 deg, 20 deg], min: 30 deg }",
            "the travel of `t.w` ends at 20 deg, its `min` is 30 deg",
        ),
    ] {
        let table = format!("dimensions:\n  {dimensions}\n");
        assert_eq!(said("unmeetable-limits", &table), [message], "{dimensions}");
    }
}

#[test]
fn a_formula_that_stays_outside_of_its_limits_is_said() {
    let wall = "wall: { value: 2 mm, min: 1 mm, max: 3 mm }\n  ";
    for (dimensions, message) in [
        ("w: { value: 2 * wall, min: 8 mm }", "`t.w` comes to 6 mm at most, its `min` is 8 mm"),
        (
            "w: { value: 2 * wall, max: 1.5 mm }",
            "`t.w` comes to 2 mm at least, its `max` is 1.5 mm",
        ),
        (
            "w: { value: wall^2 / 1 mm, min: 3 * wall + 7 mm }",
            "`t.w` comes to 9 mm at most, its `min` is 10 mm or more",
        ),
        (
            "w: { value: 'max(wall, 5 mm)', travel: [0 mm, 4 mm] }",
            "`t.w` comes to 5 mm at least, its travel ends at 4 mm",
        ),
        // An axis lies within its travel.
        (
            "x: { value: 0 mm, travel: [0 mm, 5 mm] }\n  w: { value: wall - x, max: -6 mm }",
            "`t.w` comes to -4 mm at least, its `max` is -6 mm",
        ),
    ] {
        let table = format!("dimensions:\n  {wall}{dimensions}\n");
        assert_eq!(said("unmeetable-limits", &table), [message], "{dimensions}");
    }
}

/// Only what is certain is said: what could be mended by another choice has its verdict alone.
#[test]
fn limits_that_another_choice_would_meet_are_not_called_unmeetable() {
    for dimensions in [
        "w: { value: 2 mm, min: 3 mm }",
        "w: { value: 2 mm, min: w * 1.1 }",
        "w: { value: 2 mm, min: w }",
        "w: { value: 2 mm, min: 2 * w - 3 mm }",
        "w: { value: 2 mm, max: w * w / 1 mm }",
        "a: 1 mm\n  w: { value: a * 2, min: 8 mm }",
        "a: { value: 1 mm, max: b }\n  b: 4 mm\n  w: { value: a * 2, min: 10 mm }",
        "a: { value: 1 mm, max: 4 mm }\n  w: { value: a * 2, min: 8 mm }",
        "a: { value: 5 mm, min: 4 mm }\n  w: { value: 'if(a > 4.5 mm, 3 mm, 2 mm)', min: 8 mm }",
        "a: { value: 5 deg, max: 9 deg }\n  w: { value: 3 mm * sin(a), min: 8 mm }",
        "w: { value: 5 deg, travel: [0 deg, 20 deg], min: 10 deg }",
        "w: { value: servo.one.width / 2, min: 80 mm }\nschedules:\n  servo:\n    columns: { width: mm }\n    rows: { one: [20 mm] }",
        "w: { value: cube.quantity * 1 mm, min: 80 mm }\nparts:\n  cube: { made: printed }",
    ] {
        let table = format!("dimensions:\n  {dimensions}\n");
        let names = named("unmeetable-limits", &table);
        assert!(names.is_empty(), "{dimensions}: {names}");
    }
}

/// Where a dimension can be nowhere, nothing follows for what comes from it.
#[test]
fn the_cause_is_said_and_not_what_follows() {
    let table = "dimensions:
  x: { value: 0 mm, travel: [0 mm, 1 mm], min: 3 mm }
  w: { value: 2 * x, min: 9 mm }
";
    assert_eq!(named("unmeetable-limits", table), "x");
}

/// A design of many limits that name what they limit through a long chain ends soon, and what was
/// looked at is still said.
#[test]
fn many_limits_through_a_long_chain_are_bounded() {
    let mut table = String::from("dimensions:\n  w: { value: 1 mm, min: z }\n  c0: w + 1 mm\n");
    for link in 1..3000 {
        table += &format!("  c{link}: c{} * 1\n", link - 1);
        table += &format!("  l{link}: {{ value: w * {link}, min: c{link} }}\n");
    }
    table += "  z: c2999\n";
    let names = named("unmeetable-limits", &table);
    assert_eq!(names.split(' ').next(), Some("w"));
}
