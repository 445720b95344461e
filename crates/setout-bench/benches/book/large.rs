//! A hundred thousand dimensions in fifty tables, from files to verdicts.

use std::process::Command;

use setout_bench::made::{Size, write};
use setout_bench::programs::{peak, took};
use setout_bench::{Figure, by_turns};

use crate::Book;

const ROUNDS: usize = 9;

pub(crate) fn figures(book: &Book) -> Vec<Figure> {
    let folder = book.folder.path().join("large");
    let size = Size::new(100_000, 50);
    write(size, &folder).expect("it is written");
    let mut check = Command::new(&book.setout);
    check.arg("-C").arg(&folder).arg("check");
    let mut rest = Command::new(&book.setout);
    rest.arg("-C").arg(&folder).args(["check", "--at", "rest"]);
    let mut events = Command::new(env!("CARGO_BIN_EXE_events"));
    events.arg(&folder);
    let mut straight = Command::new(env!("CARGO_BIN_EXE_straightforward"));
    straight.arg(&folder);
    let times = by_turns(
        ROUNDS,
        &mut [
            &mut || took(&mut check),
            &mut || took(&mut rest),
            &mut || took(&mut events),
            &mut || took(&mut straight),
        ],
    );
    let [whole, at_rest, events, pipeline] = &times[..] else { unreachable!("four ran") };
    let mb = |bytes: f64| (bytes / 1e6).round();
    let what = "`setout check` of 100,000 dimensions";
    let pass = "one pass of the parser's events";
    let parts = "the straightforward pipeline";
    vec![
        Figure::share(what, whole, pass, events).at_most(1.0),
        Figure::speed(what, whole, parts, pipeline).at_least(5.0),
        Figure::share(format!("{what} `--at rest`"), at_rest, pass, events),
        Figure::speed(format!("{what} `--at rest`"), at_rest, parts, pipeline),
        Figure::count(format!("memory of {what}"), mb(peak(&book.python, &check)), "MB", 120.0),
        Figure::count(
            "memory of the pipeline".to_owned(),
            mb(peak(&book.python, &straight)),
            "MB",
            120.0,
        )
        .told(),
    ]
}
