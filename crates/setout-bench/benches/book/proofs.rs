//! What proofs cost: a mechanism of three axes whose least margin is a thousandth of its reach, by turns with
//! walking a grid of half a degree over the same axes; and the boxes of a proof over three axes and four
//! tolerances.

use setout_assess::{Proof, Work, prove};
use setout_bench::{Figure, by_turns, worked};
use setout_design::{Design, Mechanism, Mechanisms, Memory, Outcome, Verdict};

use crate::Book;

/// The reach of the mechanism, in mm; its least margin is a thousandth of it.
const REACH: f64 = 65.0;
const MARGIN: f64 = REACH / 1000.0;

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

const ROUNDS: usize = 7;

pub(crate) fn figures(_: &Book) -> Vec<Figure> {
    vec![grid(), boxes()]
}

/// The arm with so much room asked for, in mm.
fn arm(room: f64) -> Design {
    let table = ARM.replace("ROOM", &format!("{room}"));
    Design::read(&Memory::new([("design.yaml", "setout: 1\n"), ("arm.yaml", table.as_str())]))
}

/// Runs something with the arm as a mechanism whose least margin is a thousandth of its reach, at
/// nominal dimensions or with its tolerances.
fn with_arm<T>(with_tolerances: bool, run: impl FnOnce(&Mechanism<'_>) -> T) -> T {
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

/// A proof against the same margin in every pose of a grid of half a degree.
fn grid() -> Figure {
    with_arm(false, |arm| {
        let poses: Vec<Vec<f64>> = arm
            .variables()
            .iter()
            .map(|axis| {
                let steps = (axis.span.width() / 0.5).round() as usize;
                (0..=steps).map(|step| axis.span.low() + 0.5 * step as f64).collect()
            })
            .collect();
        // A proof is over too soon to be timed by itself.
        const PROOFS: u32 = 100;
        let (mut proof, mut walked) = (None, f64::INFINITY);
        let mut prove = || (0..PROOFS).for_each(|_| proof = Some(prove(arm, &Work::default())));
        let times = by_turns(
            ROUNDS,
            &mut [&mut || worked(&mut prove) / f64::from(PROOFS), &mut || {
                worked(|| walked = walk(arm, &poses))
            }],
        );
        let proof = proof.expect("it was proved");
        holds(&proof);
        assert!(proof.at_least.is_some_and(|least| 0.0 < least && least <= walked), "{proof:?}");
        let poses = poses.iter().map(Vec::len).product::<usize>();
        let peer = format!("a grid of {poses} poses, half a degree apart");
        let what = "a proof over 3 axes at a margin of 0.1 %";
        Figure::speed(what, &times[0], peer, &times[1]).at_least(100.0)
    })
}

/// The least margin on a grid. Nothing is kept from pose to pose but the least.
fn walk(arm: &Mechanism<'_>, poses: &[Vec<f64>]) -> f64 {
    let [a, b, c] = poses else { panic!("three axes") };
    let mut least = f64::INFINITY;
    for a in a {
        for b in b {
            for c in c {
                match arm.at(&[*a, *b, *c]) {
                    Outcome::Found { holds: true, margin: Some(margin) } => {
                        least = least.min(margin);
                    }
                    other => panic!("{other:?}"),
                }
            }
        }
    }
    least
}

/// The boxes of a proof with tolerances.
fn boxes() -> Figure {
    with_arm(true, |arm| {
        let deviations = arm.variables().iter().filter(|own| own.is_deviation).count();
        assert_eq!((arm.variables().len(), deviations), (7, 4));
        let proof = prove(arm, &Work { boxes: 1_000_000, ..Work::default() });
        holds(&proof);
        let what = "a proof over 3 axes and 4 tolerances at a margin of 0.1 %";
        Figure::count(what, proof.boxes as f64, "boxes", 10_000.0)
    })
}

/// It is proved, and the margin is what it was made to be.
fn holds(proof: &Proof) {
    assert_eq!(proof.verdict, Verdict::Holds, "{proof:?}");
    let found = proof.found.expect("a margin");
    assert!((found - MARGIN).abs() < 0.01 * MARGIN, "{found}");
}
