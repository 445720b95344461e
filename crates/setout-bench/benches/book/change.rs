//! One value changed in a design of a hundred thousand formulas that is open already, against evaluating
//! the whole of it.

use std::fmt::Write as _;

use setout_bench::made::Size;
use setout_bench::{Figure, by_turns, worked};
use setout_design::{Handle, Live};

use crate::Book;
use crate::evaluation::bare;

const ROUNDS: usize = 9;

pub(crate) fn figures(_: &Book) -> Vec<Figure> {
    let design = bare(Size::new(100_000, 50), &probe());
    let before = design.evaluate();
    assert_eq!(before.faults(), []);
    // As often as it takes to be measured.
    let probes =
        [("probe.few", 10, 10_000), ("probe.many", 1_000, 100), ("common.play", 70_000, 2)];
    let [mut few, mut many, mut all] = probes.map(|(name, reached, times)| {
        let mut live = Live::of(&before);
        let what = live.handle(name).expect("a name of the design");
        let mut value = 10.0;
        move || {
            let seconds = worked(|| {
                for _ in 0..times {
                    // Another one every time, so that no answer can be kept from the last.
                    value += 1.0 / 1024.0;
                    change(&mut live, what, value, reached);
                }
            });
            seconds / f64::from(times)
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

/// A change that reached something else would not be what the figure says.
fn change(live: &mut Live, what: Handle, value: f64, reached: usize) {
    let moved = live.set(what, value).expect("a good value").len() - 1;
    // The larger of two, and a choice, need not change.
    assert!(moved <= reached && moved * 2 >= reached, "{moved} of {reached}");
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
