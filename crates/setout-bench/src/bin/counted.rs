//! One job of the core, for a program that counts instructions: `counted JOB`. Without a name it lists
//! them. Only what `one_counted_job` does is to be counted; the rest makes ready.
//!
//! Nothing here depends on the time, on chance or on how many cores there are, if it is run on one. Tables
//! of hashes have seeds of their own in every run; what that comes to is far below what is compared.

#![expect(clippy::print_stdout, reason = "a program says what there is")]

use std::hint::black_box;
use std::path::Path;
use std::process::ExitCode;

use setout_assess::{Asked, Work, assess, prove, stack};
use setout_bench::arm::with_arm;
use setout_bench::made::{Size, texts};
use setout_bench::programs::root;
use setout_design::{Comparison, Design, Evaluation, Live, Memory};

const JOBS: [(&str, fn()); 8] = [
    ("read", read),
    ("evaluate", evaluate),
    ("change", change),
    ("live", live),
    ("diff", diff),
    ("check", check),
    ("prove", proof),
    ("samples", samples),
];

fn main() -> ExitCode {
    let Some(wanted) = std::env::args().nth(1) else {
        JOBS.iter().for_each(|(name, _)| println!("{name}"));
        return ExitCode::SUCCESS;
    };
    let Some((_, job)) = JOBS.iter().find(|(name, _)| *name == wanted) else {
        return ExitCode::from(2);
    };
    job();
    ExitCode::SUCCESS
}

/// The name that the counting program looks for.
#[inline(never)]
fn one_counted_job<T>(work: impl FnOnce() -> T) {
    black_box(work());
}

/// Ten thousand dimensions.
fn made() -> Memory {
    Memory::new(texts(Size::usual(10_000)))
}

/// The sample, with the models of its parts.
fn sample() -> Evaluation {
    let mut texts = Memory::default();
    let root = root();
    for folder in ["params", "examples/badger"] {
        for entry in root.join(folder).read_dir().expect("the sample") {
            let path = entry.expect("a file").path();
            let kept = ["yaml", "scad"]
                .iter()
                .any(|kind| path.extension().is_some_and(|own| own == *kind));
            if kept {
                texts.insert(within(&path, &root), std::fs::read(&path).expect("a file"));
            }
        }
    }
    let sample = Design::read(&texts).evaluate();
    assert_eq!(sample.faults(), []);
    sample
}

fn within(path: &Path, root: &Path) -> String {
    path.strip_prefix(root).expect("it is in there").to_string_lossy().into_owned()
}

fn read() {
    let texts = made();
    one_counted_job(|| Design::read(&texts));
}

fn evaluate() {
    let design = Design::read(&made());
    one_counted_job(|| design.evaluate());
}

fn change() {
    let design = Design::read(&made());
    one_counted_job(|| {
        design.with(&[("t002.bore_50", "9.9 mm")]).expect("a good value").evaluate()
    });
}

fn live() {
    let mut live = Live::of(&Design::read(&made()).evaluate());
    let bore = live.handle("t002.bore_50").expect("a name of the design");
    one_counted_job(|| {
        (0..1000_u32)
            .map(|at| live.set(bore, 9.0 + f64::from(at) / 1024.0).map_or(0, <[_]>::len))
            .sum::<usize>()
    });
}

fn diff() {
    let before = Design::read(&made());
    let after = before.with(&[("t002.bore_50", "9.9 mm")]).expect("a good value").evaluate();
    let before = before.evaluate();
    one_counted_job(|| Comparison::of(&before, &after));
}

fn check() {
    let sample = sample();
    one_counted_job(|| assess(&sample, &Work::default()));
}

fn proof() {
    with_arm(true, |arm| {
        one_counted_job(|| prove(arm, &Work::default()));
    });
}

fn samples() {
    let sample = sample();
    let asked = Asked { samples: 10_000, ..Asked::default() };
    let name = "board.board_screws_reach_and_end";
    one_counted_job(|| stack(&sample, name, &asked, &Work::default()).expect("a stack"));
}
