//! What proofs cost: a mechanism of three axes whose least margin is a thousandth of its reach, by turns with
//! walking a grid of half a degree over the same axes; and the boxes of a proof over three axes and four
//! tolerances.

use setout_assess::{Proof, Work, prove};
use setout_bench::arm::{MARGIN, with_arm};
use setout_bench::{Figure, by_turns, worked};
use setout_design::{Mechanism, Outcome, Verdict};

use crate::Book;

const ROUNDS: usize = 7;

pub(crate) fn figures(_: &Book) -> Vec<Figure> {
    vec![grid(), boxes()]
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
