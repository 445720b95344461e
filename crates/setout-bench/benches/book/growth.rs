//! What a dimension costs in designs of a thousand to a million, without the start of the program.

use std::path::{Path, PathBuf};
use std::process::Command;

use setout_bench::made::{Size, write};
use setout_bench::programs::{peak, took_and_peak};
use setout_bench::{Figure, Ratio, Times, by_turns_at_once};

use crate::Book;

const ROUNDS: usize = 3;

/// How many dimensions, and how often a round checks them.
const SIZES: [(usize, usize); 4] = [(1_000, 40), (10_000, 10), (100_000, 3), (1_000_000, 1)];

pub(crate) fn figures(book: &Book) -> Vec<Figure> {
    let mut version = Command::new(&book.setout);
    version.arg("--version");
    let start_of = |version: &Command| {
        let time = |_| took_and_peak(&book.python, version).0;
        (0..SIZES[0].1).map(time).sum::<f64>() / SIZES[0].1 as f64
    };
    let designs = SIZES.map(|(dimensions, often)| Design::new(book, dimensions, often));
    let [thousand, ten, hundred, million] = &designs;
    let times = by_turns_at_once(
        ROUNDS,
        &mut [
            &mut || start_of(&version),
            &mut || thousand.time(&book.python),
            &mut || ten.time(&book.python),
            &mut || hundred.time(&book.python),
            &mut || million.time(&book.python),
        ],
    );
    let each: Vec<Times> = designs
        .iter()
        .zip(&times[1..])
        .map(|(design, time)| time.without(&times[0]).each(1.0 / design.dimensions as f64))
        .collect();
    let start = peak(&book.python, &version);
    let memory = designs
        .each_ref()
        .map(|design| (peak(&book.python, &design.check) - start) / design.dimensions as f64);
    let mut figures = Vec::new();
    for (index, (dimensions, _)) in SIZES.iter().enumerate().skip(1) {
        let what = format!("time of `setout check`, a dimension of {dimensions}");
        figures
            .push(Figure::share(what, &each[index], "a dimension of 1000", &each[0]).at_most(1.5));
    }
    for (index, (dimensions, _)) in SIZES.iter().enumerate().skip(1) {
        figures.push(Figure {
            what: format!("memory of `setout check`, a dimension of {dimensions}"),
            peer: "a dimension of 1000".into(),
            ratio: Ratio::exact(memory[index] / memory[0]),
            goal: setout_bench::Goal::AtMost(1.5),
            is_speed: false,
            here: format!("{:.0} and {:.0} bytes", memory[index], memory[0]),
        });
    }
    figures
}

/// A design on disk, and what checks it.
struct Design {
    folder: PathBuf,
    check: Command,
    dimensions: usize,
    often: usize,
}

impl Design {
    fn new(book: &Book, dimensions: usize, often: usize) -> Self {
        let folder = book.folder.path().join(format!("growth{dimensions}"));
        write(Size::usual(dimensions), &folder).expect("it is written");
        let mut check = Command::new(&book.setout);
        check.arg("-C").arg(&folder).arg("check");
        Self { folder, check, dimensions, often }
    }

    /// The mean of so many turns: a small design is soon checked.
    fn time(&self, python: &Path) -> f64 {
        let time = |_| took_and_peak(python, &self.check).0;
        (0..self.often).map(time).sum::<f64>() / self.often as f64
    }
}

impl Drop for Design {
    fn drop(&mut self) {
        // The largest are large.
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}
