//! A process killed in the middle of writing leaves the old text or the new one.

use std::fs;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use setout_design::{Source, SourceError};
use setout_store::{FindError, Folder, Replacement, WriteError};

use crate::bench::Bench;

const PLACE: &str = "SETOUT_STORE_TEST_PLACE";
const LENGTH: usize = 2_000_000;

fn texts() -> [Vec<u8>; 2] {
    [vec![b'a'; LENGTH], vec![b'b'; LENGTH]]
}

/// The process to be killed: this test program, started again for this test alone.
#[test]
#[ignore = "only a child process of the test below"]
fn writer() {
    let Some(place) = std::env::var_os(PLACE) else { return };
    let folder = Folder::find(place.as_ref()).expect("a design");
    // Bounded, should nobody be left to kill it.
    let end = Instant::now() + Duration::from_secs(60);
    while Instant::now() < end {
        for text in texts() {
            folder.write("params/jaw.yaml", &text).expect("written");
        }
    }
}

fn start(bench: &Bench, writer: &str) -> Child {
    Command::new(std::env::current_exe().expect("this program"))
        .args(["--ignored", "--exact", writer])
        .env(PLACE, bench.root())
        .stdout(Stdio::null())
        .spawn()
        .expect("the writer starts")
}

#[test]
fn the_text_is_wholly_old_or_wholly_new() {
    let bench = Bench::new();
    bench.file("params/jaw.yaml", "untouched");
    let folder = bench.folder();
    for round in 0..12 {
        let mut writer = start(&bench, "killed::writer");
        while folder.read("params/jaw.yaml").expect("read") == b"untouched" {
            std::thread::sleep(Duration::from_millis(1));
        }
        std::thread::sleep(Duration::from_millis(20) + Duration::from_micros(700) * round);
        writer.kill().expect("killed");
        writer.wait().expect("gone");
        let now = folder.read("params/jaw.yaml").expect("read");
        assert!(texts().contains(&now), "round {round}: {} bytes", now.len());
        assert_eq!(folder.list().expect("listed"), ["params/design.yaml", "params/jaw.yaml"]);
        folder.write("params/jaw.yaml", b"untouched").expect("written");
    }
}

/// So many tables beside the one that gets another name.
const TABLES: usize = 40;

fn table(number: usize) -> String {
    format!("params/t{number}.yaml")
}

/// Both states of a design: the path of the table that has two names, and the text of all.
const STATES: [(&str, &str); 2] = [("params/jaw.yaml", "old"), ("params/mouth.yaml", "new")];

/// From one state to the other.
fn turn(folder: &Folder, [from, to]: [(&str, &str); 2]) -> Result<(), WriteError> {
    let tables: Vec<String> = (0..TABLES).map(table).collect();
    let (before, after) = (Some(from.1.as_bytes()), to.1.as_bytes());
    let named = Replacement { path: to.0, from: Some(from.0), before, after };
    let others = tables.iter().map(|path| Replacement { path, from: None, before, after });
    folder.write_all_if_unchanged(&std::iter::once(named).chain(others).collect::<Vec<_>>())
}

/// The process to be killed: it renames a table there and back, with all others.
#[test]
#[ignore = "only a child process of the test below"]
fn renamer() {
    let Some(place) = std::env::var_os(PLACE) else { return };
    let folder = Folder::find(place.as_ref()).expect("a design");
    let end = Instant::now() + Duration::from_secs(60);
    while Instant::now() < end {
        turn(&folder, STATES).expect("written");
        turn(&folder, [STATES[1], STATES[0]]).expect("written back");
    }
}

/// The state that a design is in as a whole.
fn state(bench: &Bench) -> Option<usize> {
    (0..2).find(|state| {
        let (path, text) = STATES[*state];
        let whole = (0..TABLES).all(|number| bench.text(&table(number)) == text);
        whole && bench.path(path).exists() && !bench.path(STATES[1 - state].0).exists()
    })
}

#[test]
fn a_design_that_was_left_half_written_says_so_and_how_to_finish_it() {
    let bench = Bench::new();
    bench.file(STATES[0].0, STATES[0].1);
    (0..TABLES).for_each(|number| bench.file(&table(number), STATES[0].1));
    let folder = bench.folder();
    let note = bench.path("params/.setout-unfinished");
    let mut cut = 0;
    for round in 0..40 {
        fs::remove_file(&note).ok();
        if state(&bench) == Some(1) {
            turn(&folder, [STATES[1], STATES[0]]).expect("written back");
        }
        let mut writer = start(&bench, "killed::renamer");
        let end = Instant::now() + Duration::from_secs(60);
        while !note.exists() {
            assert!(Instant::now() < end, "the writer writes nothing");
            std::thread::yield_now();
        }
        std::thread::sleep(Duration::from_micros(150) * (round % 8));
        writer.kill().expect("killed");
        writer.wait().expect("gone");
        let Some(left) = folder.unfinished().expect("read") else {
            assert!(state(&bench).is_some(), "round {round}: nothing is told of half a design");
            continue;
        };
        cut += 1;
        assert_eq!(state(&bench), None, "round {round}: what is whole is called half");
        let error = Folder::find(&bench.root()).expect_err("nor found");
        assert!(matches!(error, FindError::Unfinished(_)), "{error:?}");
        let error = folder.list().expect_err("a half-written design is not read");
        let SourceError::Unfinished { reason, help, .. } = error else { panic!("{error:?}") };
        assert!(reason.starts_with("the design is half written: params/"), "{reason}");
        assert!(help.starts_with("if no setout is at work, "), "{help}");
        let refused = folder.write("params/t0.yaml", b"other").expect_err("not written over");
        assert!(matches!(refused, WriteError::Unfinished { .. }), "{refused:?}");
        for [from, to] in left.left {
            fs::rename(bench.path(&from), bench.path(&to)).expect("finished by hand");
        }
        assert!(state(&bench).is_some(), "round {round}: it cannot be finished");
        assert_eq!(folder.unfinished(), Ok(None));
        if cut == 3 {
            return;
        }
    }
    assert!(cut > 0, "no writer was caught at it");
}
