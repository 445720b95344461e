//! What a dimension costs in designs of a thousand to a million, without the start of the program.

use std::path::PathBuf;
use std::process::Command;

use setout_bench::made::{Size, write};
use setout_bench::programs::{peak, took};
use setout_bench::{Figure, Ratio, Times, by_turns};

use crate::Book;

const ROUNDS: usize = 3;

/// How many dimensions, and how often a round checks them.
const SIZES: [(usize, usize); 4] = [(1_000, 40), (10_000, 10), (100_000, 3), (1_000_000, 1)];

pub(crate) fn figures(book: &Book) -> Vec<Figure> {
    let mut version = Command::new(&book.setout);
    version.arg("--version");
    let designs = SIZES.map(|(dimensions, often)| Design::new(book, dimensions, often));
    let [mut thousand, mut ten, mut hundred, mut million] =
        designs.each_ref().map(|design| || design.time(&mut design.check(book)));
    let times = by_turns(
        ROUNDS,
        &mut [
            &mut || (0..SIZES[0].1).map(|_| took(&mut version)).sum::<f64>() / SIZES[0].1 as f64,
            &mut thousand,
            &mut ten,
            &mut hundred,
            &mut million,
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
        .map(|design| (peak(&book.python, &design.check(book)) - start) / design.dimensions as f64);
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
            here: format!("{:.0} and {:.0} bytes", memory[index], memory[0]),
        });
    }
    figures
}

/// A design on disk.
struct Design {
    folder: PathBuf,
    dimensions: usize,
    often: usize,
}

impl Design {
    fn new(book: &Book, dimensions: usize, often: usize) -> Self {
        let folder = book.folder.path().join(format!("growth{dimensions}"));
        write(Size::usual(dimensions), &folder).expect("it is written");
        Self { folder, dimensions, often }
    }

    fn check(&self, book: &Book) -> Command {
        let mut command = Command::new(&book.setout);
        command.arg("-C").arg(&self.folder).arg("check");
        command
    }

    fn time(&self, command: &mut Command) -> f64 {
        (0..self.often).map(|_| took(command)).sum::<f64>() / self.often as f64
    }
}

impl Drop for Design {
    fn drop(&mut self) {
        // The largest are large.
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}
