//! The change list as a text to be read.

use setout_design::CAUTION;

use crate::changes::although;
use crate::told::{count, text};
use crate::{Record, Verdicts};

/// The columns of a line.
const WIDTH: usize = 80;

/// The text for those who follow: what was released, in spite of what, and what changed.
pub(crate) fn change_text(record: &Record, caution: bool) -> String {
    let mut lines = wrapped(&text(&record.design), "", "");
    let follows = match record.previous {
        Some(previous) => format!("; it follows release {previous}"),
        None => String::new(),
    };
    lines.push(format!("Release {} of {}{follows}", record.release, record.date.day()));
    lines.push(format!("Commit {}", record.commit));
    lines.push(String::new());
    if let Some(although) = although(record) {
        lines.extend(wrapped(&although, "", ""));
        lines.push(String::new());
    }
    for note in &record.note {
        lines.extend(wrapped(note, "", ""));
        lines.push(String::new());
    }
    for change in &record.changes {
        lines.extend(wrapped(change, "- ", "  "));
    }
    lines.push(String::new());
    for verdict in verdicts(record) {
        lines.extend(wrapped(&verdict, "", ""));
    }
    if caution {
        lines.push(String::new());
        lines.extend(wrapped(CAUTION, "", ""));
    }
    lines.join("\n") + "\n"
}

/// What became of the checks and limits, and over what they were not judged.
pub(crate) fn verdicts(record: &Record) -> Vec<String> {
    let mut told = Vec::new();
    for (thing, of) in [("check", record.checks), ("limit", record.limits)] {
        let all = of.holds + of.tight + of.unknown + of.fails;
        if all > 0 {
            told.push(format!("{}: {}.", count(all, thing), of.words()));
        }
    }
    match record.judged_at_rest_alone {
        0 => {}
        1 => {
            told.push(format!("1 of the checks was {}", ALONE.replace("they depend", "it depends")))
        }
        alone => told.push(format!("{alone} of the checks were {ALONE}")),
    }
    told
}

const ALONE: &str =
    "judged at rest and at nominal size alone, though they depend on motion or on a tolerance.";

impl Verdicts {
    fn words(self) -> String {
        let told = [
            (self.holds, "hold", "holds"),
            (self.tight, "are tight", "is tight"),
            (self.unknown, "cannot be computed", "cannot be computed"),
            (self.fails, "fail", "fails"),
        ];
        let told = told.into_iter().filter(|(number, ..)| *number > 0);
        let told = told.map(|(number, many, one)| {
            format!("{number} {}", if number == 1 { one } else { many })
        });
        told.collect::<Vec<_>>().join(", ")
    }
}

/// A text in lines, broken between words.
fn wrapped(text: &str, start: &str, hang: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = start.to_owned();
    let mut is_begun = false;
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        let columns = line.chars().count() + 1 + word.chars().count();
        if is_begun && columns > WIDTH {
            lines.push(std::mem::replace(&mut line, hang.to_owned()));
            is_begun = false;
        }
        if is_begun {
            line.push(' ');
        }
        line.push_str(word);
        is_begun = true;
    }
    lines.push(line);
    lines
}
