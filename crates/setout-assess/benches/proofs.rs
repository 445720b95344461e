//! What proofs cost, as ratios to what else one could do.
//!
//! `cargo bench -p setout-assess --bench proofs` proves a mechanism of three axes whose least margin
//! is a thousandth of its reach, by turns with walking a grid of half a degree over the same axes; it
//! counts the boxes of a proof over three axes and four tolerances; and it runs `setout check` on the
//! sample by turns with `setout check --at rest`. Each figure is the median of so many rounds, all of
//! them in this one run. Only ratios and counts are printed as results, since times are of a machine.
//! The exit status says whether the goals were met.

#![expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::time::{Duration, Instant};

use setout_assess::{Proof, Work, prove};
use setout_design::{Design, Mechanism, Mechanisms, Memory, Outcome, Verdict};

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

fn main() -> ExitCode {
    let met = [grid(), boxes(), check()];
    if met == [true; 3] { ExitCode::SUCCESS } else { ExitCode::FAILURE }
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
fn grid() -> bool {
    const TIMES: f64 = 100.0;
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
        let [proving, walking] = by_turns([
            &mut || (0..PROOFS).for_each(|_| proof = Some(prove(arm, &Work::default()))),
            &mut || walked = walk(arm, &poses),
        ]);
        let proof = proof.expect("it was proved");
        holds(&proof);
        assert!(proof.at_least.is_some_and(|least| 0.0 < least && least <= walked), "{proof:?}");
        let times = walking.as_secs_f64() / (proving.as_secs_f64() / f64::from(PROOFS));
        println!(
            "a proof over 3 axes at a margin of 0.1 %: {times:.0} times as fast as a grid of {} \
             poses (goal {TIMES}: {}); {} boxes",
            poses.iter().map(Vec::len).product::<usize>(),
            said(times >= TIMES),
            proof.boxes,
        );
        times >= TIMES
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
fn boxes() -> bool {
    const BOXES: u64 = 10_000;
    with_arm(true, |arm| {
        let deviations = arm.variables().iter().filter(|own| own.is_deviation).count();
        assert_eq!((arm.variables().len(), deviations), (7, 4));
        let proof = prove(arm, &Work { boxes: 1_000_000, ..Work::default() });
        holds(&proof);
        let met = proof.boxes < BOXES;
        println!(
            "a proof over 3 axes and 4 tolerances at a margin of 0.1 %: {} boxes (goal less than \
             {BOXES}: {})",
            proof.boxes,
            said(met)
        );
        met
    })
}

/// It is proved, and the margin is what it was made to be.
fn holds(proof: &Proof) {
    assert_eq!(proof.verdict, Verdict::Holds, "{proof:?}");
    let found = proof.found.expect("a margin");
    assert!((found - MARGIN).abs() < 0.01 * MARGIN, "{found}");
}

/// The command on the sample, with everything proved and without.
fn check() -> bool {
    const TIMES: f64 = 5.0;
    let setout = built();
    let run = |more: &[&str]| {
        let mut command = Command::new(&setout);
        command.args(["-C"]).arg(root()).arg("check").args(more).stdout(Stdio::null());
        let status = command.status().expect("the command runs");
        assert!(status.success(), "{command:?}: {status}");
    };
    let [proved, rest] = by_turns([&mut || run(&[]), &mut || run(&["--at", "rest"])]);
    let times = proved.as_secs_f64() / rest.as_secs_f64();
    println!(
        "setout check of the sample, everything proved: {times:.2} times setout check --at rest \
         (goal less than {TIMES}: {})",
        said(times < TIMES)
    );
    times < TIMES
}

fn said(met: bool) -> &'static str {
    if met { "met" } else { "NOT MET" }
}

fn root() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "..", ".."].iter().collect()
}

/// The command, built as it is released. It stands beside the folder that this program stands in.
fn built() -> PathBuf {
    let own = std::env::current_exe().expect("this program has a place");
    let target = own.ancestors().nth(3).expect("target/release/deps");
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(["build", "--release", "--quiet", "--locked", "-p", "setout-cli"]);
    cargo.arg("--target-dir").arg(target).current_dir(root());
    assert!(cargo.status().is_ok_and(|status| status.success()), "{cargo:?}");
    Path::join(target, "release/setout")
}

/// The medians, each having its turn in every round; a first round only warms up.
fn by_turns<const N: usize>(mut runs: [&mut dyn FnMut(); N]) -> [Duration; N] {
    let mut times = [const { Vec::new() }; N];
    for round in 0..=ROUNDS {
        for (run, times) in runs.iter_mut().zip(&mut times) {
            let start = Instant::now();
            run();
            if round > 0 {
                times.push(start.elapsed());
            }
        }
    }
    times.map(|mut times: Vec<Duration>| {
        times.sort_unstable();
        times[ROUNDS / 2]
    })
}
