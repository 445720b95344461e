//! One value changed in a design of a hundred thousand formulas that is open already, against evaluating
//! the whole of it.

use std::fmt::Write as _;

use setout_bench::made::Size;
use setout_bench::{Figure, by_turns, worked};
use setout_design::{Comparison, Design, Evaluation};

use crate::Book;
use crate::evaluation::bare;

const ROUNDS: usize = 9;

pub(crate) fn figures(_: &Book) -> Vec<Figure> {
    let design = bare(Size::new(100_000, 50), &probe());
    let before = design.evaluate();
    assert_eq!(before.faults(), []);
    // One value after the other, so that no answer can be kept from the last time.
    let mut turn = 0;
    let mut next = |name: &str| {
        turn += 1;
        (name.to_owned(), format!("{} mm", 10.0 + f64::from(turn) / 128.0))
    };
    let edits: [Vec<(String, String)>; 3] = ["probe.few", "probe.many", "common.play"]
        .map(|name| (0..=ROUNDS).map(|_| next(name)).collect());
    for (edits, reached) in edits.iter().zip([10, 1_000, 70_000]) {
        reaches(&before, &changed(&design, &edits[0]), reached);
    }
    let [mut few, mut many, mut all] = edits.map(|mut edits| {
        let design = &design;
        move || {
            let edit = edits.pop().expect("one a round");
            worked(|| changed(design, &edit))
        }
    });
    let times = by_turns(
        ROUNDS,
        &mut [&mut || worked(|| design.evaluate()), &mut few, &mut many, &mut all],
    );
    let whole = "evaluating all 100,000";
    let row = |what: &str, index: usize, goal| {
        let what = format!("one change that reaches {what}");
        Figure::share(what, &times[index], whole, &times[0]).at_most(goal)
    };
    vec![row("10", 1, 0.0005), row("1,000", 2, 0.02), row("all", 3, 1.1)]
}

fn changed(design: &Design, (name, value): &(String, String)) -> Evaluation {
    design.with(&[(name, value)]).expect("a good value").evaluate()
}

/// A change that reached something else would not be what the figure says.
fn reaches(before: &Evaluation, after: &Evaluation, count: usize) {
    let found = Comparison::of(before, after);
    // The larger of two, and a choice, need not change.
    let reached = found.changed.len() + found.unchanged.len();
    assert!(reached.abs_diff(count) <= count / 1_000, "{reached} of {count}");
}

/// A table with a value that ten depend on, and one that a thousand depend on, in chains of ten.
fn probe() -> String {
    let mut text = "dimensions:\n  few: 10 mm\n  many: 10 mm\n".to_owned();
    for (name, count) in [("few", 10), ("many", 1_000)] {
        for index in 0..count {
            let _ = match index % 10 {
                0 => writeln!(text, "  {name}_{index}: {name} + {index} mm"),
                _ => writeln!(text, "  {name}_{index}: {name}_{} * 2 - 9 mm", index - 1),
            };
        }
    }
    text
}
