//! Bad designs, each in a folder of its own below the word for its fault, with the messages it
//! must give and what is computed all the same.
//!
//! `tests/bad/<slug>/<case>/` holds the files of a design as they are, byte for byte, and
//! `faults.txt`. `several` and `places` hold cases of many faults and of places that are hard to
//! get right. With `UPDATE=1` in the environment the files are written anew: read the difference
//! as the person who made the mistake would.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

use setout_design::{Design, DimensionResult, Evaluation, Memory, Slug};

/// The folders that hold more than one sort of fault.
const MIXED: [&str; 2] = ["several", "places"];
const EXPECTED: &str = "faults.txt";

#[test]
fn every_bad_design_gives_its_faults() {
    let update = env::var_os("UPDATE").is_some();
    let mut differences = String::new();
    for case in cases() {
        let found = told(&evaluated(&case.folder));
        let path = case.folder.join(EXPECTED);
        let wanted = fs::read_to_string(&path).unwrap_or_default();
        if found == wanted {
            continue;
        }
        if update {
            fs::write(&path, &found).unwrap();
        } else {
            write!(differences, "\n{}/{}\n{}", case.group, case.name, changes(&wanted, &found))
                .unwrap();
        }
    }
    assert!(differences.is_empty(), "{differences}\nUPDATE=1 takes what stands behind + over");
}

#[test]
fn every_case_is_about_the_fault_it_stands_under() {
    let mut strays = Vec::new();
    for Case { group, name, folder } in cases() {
        let evaluation = evaluated(&folder);
        let slugs: Vec<_> = evaluation.faults().iter().map(|fault| fault.slug.as_str()).collect();
        let fits = slugs.contains(&group.as_str()) || MIXED.contains(&group.as_str());
        if !fits || slugs.is_empty() {
            strays.push(format!("{group}/{name} gives {slugs:?}"));
        }
    }
    assert!(strays.is_empty(), "{strays:#?}");
}

#[test]
fn every_sort_of_fault_has_its_cases() {
    let cases = cases();
    // Files that the system refuses have their tests where files are read.
    for slug in Slug::ALL.iter().filter(|slug| **slug != Slug::Io) {
        let count = cases.iter().filter(|case| case.group == slug.as_str()).count();
        assert!(count >= 4, "{slug} has {count} cases");
    }
}

struct Case {
    group: String,
    name: String,
    folder: PathBuf,
}

fn cases() -> Vec<Case> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad");
    let mut cases = Vec::new();
    for group in folders(&root) {
        cases.extend(folders(&group).into_iter().map(|folder| Case {
            group: name_of(&group),
            name: name_of(&folder),
            folder,
        }));
    }
    cases
}

fn folders(path: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path());
    let mut folders: Vec<_> = entries.filter(|path| path.is_dir()).collect();
    folders.sort();
    folders
}

fn name_of(path: &Path) -> String {
    path.file_name().unwrap().to_str().unwrap().to_owned()
}

fn evaluated(folder: &Path) -> Evaluation {
    let mut texts = Memory::default();
    let mut waiting = vec![(folder.to_owned(), String::new())];
    while let Some((folder, before)) = waiting.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = format!("{before}{}", name_of(&path));
            if path.is_dir() {
                waiting.push((path, format!("{name}/")));
            } else if name != EXPECTED {
                texts.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    Design::read(&texts).evaluate()
}

/// The faults as they are shown, and behind them what they do not hide.
fn told(evaluation: &Evaluation) -> String {
    let mut text = String::new();
    for fault in evaluation.faults() {
        writeln!(text, "{fault}").unwrap();
    }
    text.push('\n');
    let schedules = evaluation.schedules();
    let rows = schedules.iter().flat_map(|schedule| &schedule.rows);
    let cells = rows.flat_map(|(_, cells)| cells.clone());
    for value in evaluation.dimensions().into_iter().chain(cells) {
        writeln!(text, "{}", computed(&value)).unwrap();
    }
    for check in evaluation.checks() {
        writeln!(text, "check: {} {}", check.name, check.verdict).unwrap();
    }
    for limit in evaluation.limits() {
        writeln!(text, "limits: {} {}", limit.name, limit.verdict).unwrap();
    }
    text.truncate(text.trim_end().len() + 1);
    text
}

fn computed(value: &DimensionResult) -> String {
    match &value.value {
        Some(amount) => format!("computed: {} = {amount}", value.name),
        None => format!("not computed: {}", value.name),
    }
}

/// The lines that differ, with those that do not between them.
fn changes(wanted: &str, found: &str) -> String {
    let (wanted, found): (Vec<_>, Vec<_>) = (wanted.lines().collect(), found.lines().collect());
    let mut text = String::new();
    let mut rest = &found[..];
    for line in &wanted {
        match rest.iter().position(|other| other == line) {
            Some(at) => {
                rest[..at].iter().for_each(|new| writeln!(text, "  + {new}").unwrap());
                writeln!(text, "    {line}").unwrap();
                rest = &rest[at + 1..];
            }
            None => writeln!(text, "  - {line}").unwrap(),
        }
    }
    rest.iter().for_each(|new| writeln!(text, "  + {new}").unwrap());
    text
}
