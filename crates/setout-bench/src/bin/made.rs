//! Writes a design to measure with: `made DIMENSIONS TABLES FOLDER` writes `FOLDER/params`.

#![expect(clippy::print_stderr, reason = "a program says what was wrong with its call")]

use std::process::ExitCode;

use setout_bench::made::{Size, write};

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let call = match &words[..] {
        [dimensions, tables, folder] => {
            dimensions.parse().ok().zip(tables.parse().ok()).map(|size| (size, folder))
        }
        _ => None,
    };
    let Some(((dimensions, tables), folder)) = call else {
        eprintln!("made DIMENSIONS TABLES FOLDER");
        return ExitCode::from(2);
    };
    match write(Size::new(dimensions, tables), folder.as_ref()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{folder}: {error}");
            ExitCode::FAILURE
        }
    }
}
