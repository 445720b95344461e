//! A million dimensions, by the commands that one looks at them with.

use std::cell::Cell;
use std::fs;
use std::path::Path;
use std::process::Command;

use setout_bench::made::{Size, write};
use setout_bench::programs::{run, took, took_and_peak};
use setout_bench::{Figure, by_turns_at_once};

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
    let commands = calls.map(setout);
    let memory = [const { Cell::new(0.0) }; 4];
    let measured = |index: usize| {
        let (seconds, bytes) = took_and_peak(&book.python, &commands[index]);
        memory[index].set(bytes);
        seconds
    };
    let times = by_turns_at_once(
        ROUNDS,
        &mut [
            &mut || took(&mut events),
            &mut || measured(0),
            &mut || measured(1),
            &mut || measured(2),
            &mut || measured(3),
        ],
    );
    let rows = calls.iter().zip(&times[1..]).zip(&memory).map(|((words, time), memory)| {
        let what = format!("`setout {}` of 1,000,000 dimensions", words.join(" "));
        let mut figure = Figure::share(what, time, "one pass of the parser's events", &times[0]);
        figure.here += &format!("; {:.0} MB", memory.get() / 1e6);
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
