//! A mechanism to prove: hard enough that a proof has to look closely.

use setout_assess::{Work, prove};
use setout_design::{Design, Mechanism, Mechanisms, Memory};

/// The reach of the mechanism, in mm.
const REACH: f64 = 65.0;
/// Its least margin, in mm.
pub const MARGIN: f64 = REACH / 1000.0;

/// An arm of two links that turns sideways as a whole, and a ball beside it. It comes nearest in the
/// middle of two axes and at an end of the third, where no slope tells at once.
const ARM: &str = "dimensions:
  lift: { value: 0 deg, travel: [0 deg, 60 deg] }
  bend: { value: 0 deg, travel: [0 deg, 60 deg] }
  turn: { value: 0 deg, travel: [-30 deg, 30 deg] }
  upper: { value: 40 mm, tolerance: ±0.1 mm }
  lower: { value: 25 mm, tolerance: ±0.1 mm }
  ball: { value: 8 mm, tolerance: ±0.05 mm }
  beside: { value: 30 mm, tolerance: ±0.2 mm }
  out: upper * cos(lift) + lower * cos(lift + bend)
  x: out * cos(turn)
  y: upper * sin(lift) + lower * sin(lift + bend)
  z: out * sin(turn)
  gap: sqrt((x - 30 mm)^2 + (y - 36 mm)^2 + (z - 10 mm - beside)^2) - ball
checks:
  clear: { require: gap >= ROOM mm, why: the arm strikes the ball }
";

/// The arm with so much room asked for, in mm.
fn arm(room: f64) -> Design {
    let table = ARM.replace("ROOM", &format!("{room}"));
    Design::read(&Memory::new([("design.yaml", "setout: 1\n"), ("arm.yaml", table.as_str())]))
}

/// Runs something with the arm as a mechanism whose least margin is a thousandth of its reach, at
/// nominal dimensions or with its tolerances.
///
/// # Panics
///
/// When it is no mechanism.
pub fn with_arm<T>(with_tolerances: bool, run: impl FnOnce(&Mechanism<'_>) -> T) -> T {
    let least = |room: f64| {
        let evaluation = arm(room).evaluate();
        assert_eq!(evaluation.faults(), []);
        let mechanisms = Mechanisms::of(&evaluation);
        let mechanism = mechanisms.of_check(0, with_tolerances).expect("it has a value");
        let many = Work { boxes: 1_000_000, ..Work::default() };
        prove(&mechanism, &many).found.expect("a margin")
    };
    // What is found is a pose near the worst one: it comes out the same whatever is asked for.
    let evaluation = arm(least(0.0) - MARGIN).evaluate();
    let mechanisms = Mechanisms::of(&evaluation);
    run(&mechanisms.of_check(0, with_tolerances).expect("it has a value"))
}
