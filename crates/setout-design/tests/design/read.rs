//! What tables say, and what they come to.

use setout_design::{Design, Memory, Source};

use crate::{faults, good, texts, values};

const FRAME: &str = "dimensions:\n  depth: 100 mm\n  wall: 2.4 mm\n";

#[test]
fn names_of_a_table_stand_bare_and_others_with_their_table() {
    let jaw = "dimensions:\n  width: 62 mm\n  inner: width - 2 * frame.wall\n  deep: frame.depth * 0.6\n  again: jaw.width\n";
    let design = good(&[("frame", FRAME), ("jaw", jaw)]);
    assert_eq!(
        values(&design, "jaw.inner jaw.deep jaw.again"),
        "jaw.inner 57.2 mm, jaw.deep 60 mm, jaw.again 62 mm"
    );
}

#[test]
fn a_value_is_shown_in_its_own_unit_and_a_derived_one_in_the_customary_unit() {
    let design = good(&[(
        "a",
        "dimensions:\n  bar: 2 in\n  half: bar / 2\n  said: { value: bar / 2, unit: in }\n  torque: 3 kgf·cm\n  \
         force: torque / 30 mm\n  share: { value: 0.2, unit: '%' }\n  hot: 60 °C\n  rise: hot - 25 °C\n  price: 2 EUR\n  twice: price * 2\n",
    )]);
    assert_eq!(
        values(
            &design,
            "a.bar a.half a.said a.torque a.force a.share a.hot a.rise a.price a.twice"
        ),
        "a.bar 2 in, a.half 25.4 mm, a.said 1 in, a.torque 3 kgf·cm, a.force 9.80665 N, a.share 20 %, \
         a.hot 60 °C, a.rise 35 K, a.price 2 EUR, a.twice 2 GBP"
    );
}

#[test]
fn plain_quoted_and_block_values_mean_the_same() {
    let design = good(&[(
        "a",
        "dimensions:\n  w: 10 mm\n  a: w + 1 mm\n  b: 'w + 1 mm'\n  c: \"w + 1 mm\"\n  d: >\n    w +\n    1 mm\n  e: |\n    w + 1 mm\n  f:\n    w +\n      1 mm\n",
    )]);
    assert_eq!(
        values(&design, "a.a a.b a.c a.d a.e a.f"),
        "a.a 11 mm, a.b 11 mm, a.c 11 mm, a.d 11 mm, a.e 11 mm, a.f 11 mm"
    );
}

#[test]
fn texts_are_chosen_looked_at_and_passed_on() {
    let design = good(&[(
        "a",
        "dimensions:\n  pin: { text: M4, one_of: [M3, M4] }\n  same: pin\n  wide: if(pin == \"M4\", 4 mm, 3 mm)\n  is_wide: pin == \"M4\"\n",
    )]);
    assert_eq!(
        values(&design, "a.same a.wide a.is_wide"),
        "a.same M4, a.wide 4 mm, a.is_wide true"
    );
}

#[test]
fn cells_and_columns_are_values() {
    let drive = "schedules:\n  servo:\n    columns: { channel: count, neutral: deg, stall: A, what: text }\n    rows:\n      \
                 jaw: [0, 90 deg, 2.5 A, big]\n      eye: [1, servo.jaw.neutral / 2, 0.8 A, small]\n\
                 dimensions:\n  total: sum(servo.stall)\n  most: max(servo.stall)\n  many: count(servo.channel)\n  small: servo.eye.what == \"small\"\n";
    let other = "dimensions:\n  all: sum(drive.servo.stall * 2)\n  one: drive.servo.eye.neutral\n";
    let design = good(&[("drive", drive), ("other", other)]);
    assert_eq!(
        values(&design, "drive.total drive.most drive.many drive.small other.all other.one"),
        "drive.total 3.3 A, drive.most 2.5 A, drive.many 2, drive.small true, other.all 6.6 A, other.one 45 deg"
    );
}

#[test]
fn what_parts_cost_and_weigh_can_be_read() {
    let design = good(&[(
        "a",
        "parts:\n  plate: { made: cut, quantity: 2, cost: 1.5 GBP, mass: 40 g }\n  screw: { made: bought, quantity: 8, cost: 0.1 EUR }\n\
         dimensions:\n  one: plate.cost\n  many: screw.quantity\n  all: design.cost\n  heavy: design.mass\n",
    )]);
    assert_eq!(
        values(&design, "a.one a.many a.all a.heavy"),
        "a.one 1.5 GBP, a.many 8, a.all 3.4 GBP, a.heavy 80 g"
    );
    assert_eq!(design.cost().unwrap().to_string(), "3.4 GBP");
}

#[test]
fn parts_use_what_they_name_and_what_their_model_does() {
    let mut memory = texts(&[(
        "jaw",
        "dimensions: { width: 62 mm, height: 20 mm, depth: 9 mm, idle: 1 mm }\n\
         schedules: { pin: { columns: { at: mm }, rows: { left: [3 mm], right: [4 mm] } } }\n\
         parts: { jaw_body: { made: printed, cad: ../cad/jaw.scad, uses: [depth] } }\n",
    )]);
    memory.insert(
        "cad/jaw.scad",
        "include <../out/all.scad>\nuse <lib.scad>\n// jaw_idle\ncube([jaw_width, 1, 1]); part();",
    );
    memory.insert(
        "cad/lib.scad",
        "module part() { echo(\"jaw_idle\"); cube(jaw_height); for (x = jaw_pin_at) cube(x); }",
    );
    let design = Design::read(&memory).evaluate();
    assert_eq!(faults(&design), "");
    assert_eq!(
        design.parts()[0].uses,
        ["jaw.width", "jaw.height", "jaw.depth", "jaw.pin.left.at", "jaw.pin.right.at"]
    );
    let unused: Vec<&str> =
        design.design().warnings().iter().map(|warning| warning.name.as_str()).collect();
    assert_eq!(unused, ["jaw.idle"]);
}

#[test]
fn a_fault_hides_nothing_and_has_no_echo() {
    let evaluation = Design::read(&texts(&[(
        "a",
        "dimensions:\n  w: 10 mm\n  bad: w + 3 deg\n  after: bad * 2\n  more: after + 1 mm\n  fine: w * 2\n  also: nothing + (1 mm + 2 A)\n\
         checks:\n  c: { require: after > 1 mm }\n",
    )]))
    .evaluate();
    assert_eq!(
        faults(&evaluation),
        "params/a.yaml:3:8: `w` is a length and `3 deg` is an angle: they cannot be added (unit-mismatch)\n\
         params/a.yaml:7:9: there is no `nothing` (unknown-name)\n\
         params/a.yaml:7:19: `1 mm` is a length and `2 A` is a current: they cannot be added (unit-mismatch)"
    );
    assert_eq!(
        values(&evaluation, "a.fine a.bad a.after a.more"),
        "a.fine 20 mm, a.bad ?, a.after ?, a.more ?"
    );
    assert_eq!(evaluation.checks()[0].verdict.as_str(), "unknown");
}

#[test]
fn a_circle_is_one_fault_with_a_shortest_way_round() {
    let evaluation = Design::read(&texts(&[(
        "a",
        "dimensions:\n  a: b + 1 mm\n  b: c + 1 mm\n  c: a + d\n  d: c - 1 mm\n  after: a * 2\n  free: 1 mm\n",
    )]))
    .evaluate();
    let found = evaluation.faults();
    assert_eq!(found.len(), 1, "{}", faults(&evaluation));
    assert_eq!(
        found[0].message,
        "a circle of dimensions that need each other: a.c needs a.d needs a.c"
    );
    assert!(found[0].help.contains("a.d at params/a.yaml:5:3"), "{}", found[0].help);
    assert_eq!(values(&evaluation, "a.after a.free"), "a.after ?, a.free 1 mm");
}

#[test]
fn a_limit_closes_no_circle() {
    let design = good(&[("a", "dimensions:\n  a: { value: 5 mm, max: b }\n  b: a * 2\n")]);
    assert_eq!(values(&design, "a.b"), "a.b 10 mm");
}

#[test]
fn a_missing_design_is_a_fault_not_a_panic() {
    let evaluation = Design::read(&Memory::default()).evaluate();
    assert_eq!(faults(&evaluation), "design.yaml:1:1: there is no file design.yaml (not-found)");
}

/// A hundred thousand dimensions in a row, on a stack of 256 KiB.
#[test]
fn a_long_chain_needs_no_stack() {
    let chain = || {
        let mut table = String::from("dimensions:\n  d0: 1 mm\n");
        for index in 1..100_000 {
            table.push_str(&format!("  d{index}: d{} + 1 mm\n", index - 1));
        }
        let design = good(&[("a", &table)]);
        assert_eq!(values(&design, "a.d99999"), "a.d99999 100000 mm");
    };
    std::thread::Builder::new().stack_size(256 * 1024).spawn(chain).unwrap().join().unwrap();
}

/// Two tables of one name, one of which no path of a design leads to.
#[test]
fn a_path_from_the_root_of_the_system_is_no_table() {
    let table = "dimensions:\n  width: 62 mm\n";
    let texts =
        Memory::new([("design.yaml", "setout: 1\n"), ("lid.yaml", table), ("/lid.yaml", table)]);
    assert_eq!(texts.list().unwrap(), ["design.yaml", "lid.yaml"]);
    let texts = Memory::new([("/design.yaml", "setout: 1\n"), ("lid.yaml", table)]);
    assert!(texts.list().is_err());
}
