//! A million dimensions, by the commands that one looks at them with.

use std::fs;
use std::path::Path;
use std::process::Command;

use setout_bench::made::{Size, write};
use setout_bench::programs::{peak, run, took};
use setout_bench::{Figure, by_turns};

use crate::Book;

const ROUNDS: usize = 3;

pub(crate) fn figures(book: &Book) -> Vec<Figure> {
    let folder = book.folder.path().join("million");
    write(Size::usual(1_000_000), &folder).expect("it is written");
    exported(&folder);
    committed(&folder);
    edited(&folder);
    let setout = |words: &[&str]| {
        let mut command = Command::new(&book.setout);
        command.arg("-C").arg(&folder).args(words);
        command
    };
    let mut events = Command::new(env!("CARGO_BIN_EXE_events"));
    events.arg(&folder);
    let calls: [&[&str]; 4] =
        [&["check"], &["impact", "t400.bore_0=9.9 mm"], &["diff", "HEAD"], &["export"]];
    let [mut check, mut impact, mut diff, mut export] = calls.map(setout);
    let times = by_turns(
        ROUNDS,
        &mut [
            &mut || took(&mut events),
            &mut || took(&mut check),
            &mut || took(&mut impact),
            &mut || took(&mut diff),
            &mut || took(&mut export),
        ],
    );
    let rows = calls.iter().zip(&times[1..]).map(|(words, time)| {
        let what = format!("`setout {}` of 1,000,000 dimensions", words.join(" "));
        let memory = peak(&book.python, &setout(words)) / 1e6;
        let mut figure = Figure::share(what, time, "one pass of the parser's events", &times[0]);
        figure.here += &format!("; {memory:.0} MB");
        figure
    });
    let figures = rows.collect();
    fs::remove_dir_all(&folder).expect("it was written");
    figures
}

/// The design names a file to export to.
fn exported(folder: &Path) {
    let design = folder.join("params/design.yaml");
    let text = fs::read_to_string(&design).expect("a design");
    let exports = "exports:\n  - { format: csv, file: ../dimensions.csv }\n";
    fs::write(&design, text + exports).expect("it can be written");
}

fn committed(folder: &Path) {
    let git = |words: &[&str]| run(Command::new("git").arg("-C").arg(folder).args(words));
    git(&["init", "--quiet", "--initial-branch=main"]);
    git(&["add", "params"]);
    let identity = ["-c", "user.name=Ada", "-c", "user.email=a@example.org"];
    git(&[&identity[..], &["commit", "--quiet", "--message", "as it was"]].concat());
}

/// One value is other than in the revision.
fn edited(folder: &Path) {
    let table = folder.join("params/t400.yaml");
    let text = fs::read_to_string(&table).expect("a table");
    let (before, rest) = text.split_once("  bore_0:\n    value: ").expect("its first dimension");
    let (_, rest) = rest.split_once('\n').expect("a line");
    let after = format!("{before}  bore_0:\n    value: 9.9 mm\n{rest}");
    fs::write(&table, after).expect("it can be written");
}
