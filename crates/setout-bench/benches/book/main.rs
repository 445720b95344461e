//! The benchmark book: what Setout costs, as ratios to peers measured in the same run.
//!
//! `cargo bench -p setout-bench` measures everything; with `-- --only NAME` one part, and with
//! `-- --record FILE` it puts what came out into a document. The exit status says whether every goal was
//! met. `docs/benchmarks.md` tells what is measured, and how.

#![expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]
#![expect(clippy::print_stderr, reason = "and what is wrong with its call")]

mod change;
mod evaluation;
mod growth;
mod history;
mod large;
mod million;
mod peer;
mod proofs;
mod sample;
mod simulation;

use std::path::PathBuf;
use std::process::ExitCode;

use mimalloc::MiMalloc;
use setout_bench::{Figure, machine, page, programs};
use tempfile::TempDir;

// As the command has it; what is measured in this process, ours and theirs, has the same.
#[global_allocator]
static MEMORY: MiMalloc = MiMalloc;

/// What every part needs.
struct Book {
    setout: PathBuf,
    python: PathBuf,
    /// Goes with all that is in it when the book is closed.
    folder: TempDir,
}

/// A name, and what measures it.
type Part = (&'static str, fn(&Book) -> Vec<Figure>);

const PARTS: [Part; 9] = [
    ("sample", sample::figures),
    ("large", large::figures),
    ("evaluation", evaluation::figures),
    ("change", change::figures),
    ("growth", growth::figures),
    ("million", million::figures),
    ("history", history::figures),
    ("proofs", proofs::figures),
    ("simulation", simulation::figures),
];

fn main() -> ExitCode {
    let Some(call) = Call::read(std::env::args().skip(1)) else {
        let names = PARTS.map(|(name, _)| name).join(", ");
        eprintln!(
            "--only NAME, as often as you like: {names}\n--record FILE: put it into a document"
        );
        return ExitCode::from(2);
    };
    let book = Book {
        setout: programs::setout(),
        python: programs::python(),
        folder: tempfile::tempdir().expect("a temporary folder"),
    };
    let machine = machine::told(&programs::root(), &book.python);
    println!("{machine}");
    let mut figures = Vec::new();
    for (name, measure) in PARTS {
        if call.only.is_empty() || call.only.iter().any(|only| only == name) {
            let found = measure(&book);
            println!("{name}\n\n{}", page::table(&found));
            figures.extend(found);
        }
    }
    if let Some(file) = &call.record {
        record(file, &format!("{machine}\n{}", page::table(&figures)));
    }
    closing(&figures)
}

/// What falls short, and the status that says so.
fn closing(figures: &[Figure]) -> ExitCode {
    let short: Vec<&Figure> = figures.iter().filter(|figure| !figure.is_met()).collect();
    let with_goals =
        figures.iter().filter(|figure| figure.goal != setout_bench::Goal::None).count();
    println!("{} of {with_goals} goals met", with_goals - short.len());
    for figure in &short {
        let [what, peer, ratio, spread, goal, _] = figure.cells();
        println!("- {what}, against {peer}: {ratio} ({spread}); goal {goal}");
    }
    if short.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Cargo runs a benchmark in the folder of its crate; a path is meant as seen from the root.
fn record(file: &PathBuf, measured: &str) {
    let file = setout_bench::programs::root().join(file);
    let document = std::fs::read_to_string(&file).unwrap_or_default();
    std::fs::write(&file, page::put(&document, measured)).expect("the document can be written");
}

/// What was asked for.
#[derive(Default)]
struct Call {
    only: Vec<String>,
    record: Option<PathBuf>,
}

impl Call {
    fn read(mut words: impl Iterator<Item = String>) -> Option<Self> {
        let mut call = Self::default();
        while let Some(word) = words.next() {
            match word.as_str() {
                // Cargo says this to every benchmark.
                "--bench" => {}
                "--only" => {
                    let name = words.next()?;
                    PARTS.iter().find(|(known, _)| *known == name)?;
                    call.only.push(name);
                }
                "--record" => call.record = Some(words.next()?.into()),
                _ => return None,
            }
        }
        Some(call)
    }
}
