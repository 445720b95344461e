//! The real program: statuses, pipes that close, and a death in the middle of writing.

use std::io::Read;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::bench::Bench;

fn setout(bench: &Bench, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_setout"));
    command.args(args).current_dir(bench.root()).env_clear().stdin(Stdio::null());
    command.stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// A design whose texts are larger than any pipe.
fn large() -> Bench {
    let bench = Bench::lid();
    let lines: String = (0..5_000).map(|n| format!("  d{n}: {n} mm\n")).collect();
    bench.file("params/many.yaml", &format!("dimensions:\n{lines}"));
    bench
}

#[test]
fn the_program_gives_its_status() {
    let bench = Bench::lid();
    let status = |args: &[&str]| setout(&bench, args).status().expect("runs").code();
    assert_eq!(status(&["check"]), Some(0));
    assert_eq!(status(&["chekc"]), Some(2));
    bench.edit("params/lid.yaml", "58 mm", "60 mm");
    assert_eq!(status(&["check"]), Some(1));
}

#[test]
fn the_program_answers_as_the_library_does() {
    let bench = Bench::lid();
    let output = setout(&bench, &["show"]).output().expect("runs");
    assert_eq!(String::from_utf8_lossy(&output.stdout), bench.run("setout show").out);
    assert!(output.stderr.is_empty());
}

#[test]
fn a_pipe_that_closes_ends_it_quietly() {
    let bench = large();
    for args in [&["show"][..], &["show", "--format", "json"], &["export", "--stdout", "csv"]] {
        let mut child = setout(&bench, args).spawn().expect("starts");
        let mut first = [0; 10];
        child.stdout.take().expect("piped").read_exact(&mut first).expect("some text");
        let output = child.wait_with_output().expect("ends");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{args:?}");
        assert_eq!(output.status.code(), Some(0), "{args:?}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said() {
    let bench = Bench::lid();
    let full = std::fs::File::options().write(true).open("/dev/full").expect("there");
    let output = setout(&bench, &["check"]).stdout(full).output().expect("runs");
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.starts_with("setout: the results cannot be written"), "{said}");
}

fn kill_after(mut child: Child, time: Duration) {
    std::thread::sleep(time);
    child.kill().expect("killed");
    child.wait().expect("gone");
}

#[test]
fn a_killed_export_leaves_whole_files() {
    let bench = large();
    let mut texts = Vec::new();
    let mut took = Duration::ZERO;
    for width in ["62 mm", "63 mm"] {
        if width == "63 mm" {
            bench.edit("params/lid.yaml", "62 mm", width);
        }
        let start = Instant::now();
        assert!(setout(&bench, &["export"]).status().expect("runs").success());
        took = start.elapsed();
        texts.push(["out/lid.csv", "out/lid.scad"].map(|path| bench.text(path)));
    }
    const ROUNDS: u32 = 16;
    for round in 0..ROUNDS {
        let (from, to) = if round % 2 == 0 { ("63", "62") } else { ("62", "63") };
        bench.edit("params/lid.yaml", &format!("{from} mm"), &format!("{to} mm"));
        // Most of the time goes into reading; the writing is at its end.
        let time = took / 2 + took * round / ROUNDS;
        kill_after(setout(&bench, &["export"]).spawn().expect("starts"), time);
        for (index, path) in ["out/lid.csv", "out/lid.scad"].into_iter().enumerate() {
            let text = bench.text(path);
            assert!(texts.iter().any(|of| of[index] == text), "round {round}: {path}");
        }
    }
    assert!(setout(&bench, &["export"]).status().expect("runs").success());
    assert_eq!(bench.run("setout export --verify").status, 0);
}
