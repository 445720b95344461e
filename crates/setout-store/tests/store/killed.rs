//! A process killed in the middle of writing leaves the old text or the new one.

use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use setout_design::Source;
use setout_store::Folder;

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

fn start(bench: &Bench) -> Child {
    Command::new(std::env::current_exe().expect("this program"))
        .args(["--ignored", "--exact", "killed::writer"])
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
        let mut writer = start(&bench);
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
