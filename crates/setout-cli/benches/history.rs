//! How long a history takes, as a ratio to git's own walk through the same commits.
//!
//! `cargo bench -p setout-cli --bench history` makes a repository of 5,000 commits, each of which
//! changes one of 50 tables of 200 dimensions, and runs the commands by turns with git's. Each
//! figure is the median of so many rounds, all of them in this one run; only ratios are printed as
//! results, since times are of a machine.

#![expect(clippy::print_stdout, reason = "a benchmark prints what it measured")]

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const COMMITS: usize = 5_000;
const TABLES: usize = 50;
const DIMENSIONS: usize = 200;
const ROUNDS: usize = 3;

fn main() {
    let bench = tempfile::tempdir().expect("a temporary folder");
    let long = bench.path().join("long");
    long_history(&long);
    let log = ["log", "-p", "--", "params"];
    let [history, since, log] = by_turns([
        &mut || setout(&long, &["history", "t07.d150", "--format", "json"]),
        &mut || setout(&long, &["since", "t07.room", "--format", "json"]),
        &mut || git(&long, &log),
    ]);
    println!("{COMMITS} commits, {TABLES} tables of {DIMENSIONS} dimensions");
    ratio("setout history NAME", history, "git log -p -- params", log, 0.4);
    ratio("setout since CHECK", since, "setout history NAME", history, 1.5);
    let sample = bench.path().join("sample");
    sample_history(&sample);
    let [diff, stat] = by_turns([&mut || setout(&sample, &["diff", "HEAD~1"]), &mut || {
        git(&sample, &["diff", "--stat", "HEAD~1"])
    }]);
    ratio("setout diff HEAD~1", diff, "git diff --stat HEAD~1", stat, 3.0);
}

fn ratio(what: &str, time: Duration, peer: &str, other: Duration, wanted: f64) {
    let ratio = time.as_secs_f64() / other.as_secs_f64();
    println!(
        "{what}: {ratio:.2} of {peer} (wanted {wanted}); here {:.0} ms and {:.0} ms",
        time.as_secs_f64() * 1e3,
        other.as_secs_f64() * 1e3
    );
}

/// The medians, each command having its turn in every round; a first round only warms up.
fn by_turns<const N: usize>(mut runs: [&mut dyn FnMut(); N]) -> [Duration; N] {
    let mut times = [const { Vec::new() }; N];
    for round in 0..=ROUNDS {
        for (run, times) in runs.iter_mut().zip(&mut times) {
            let start = Instant::now();
            run();
            if round > 0 {
                times.push(start.elapsed());
            }
        }
    }
    times.map(|mut times: Vec<Duration>| {
        times.sort_unstable();
        times[ROUNDS / 2]
    })
}

fn setout(folder: &Path, words: &[&str]) {
    run(Command::new(env!("CARGO_BIN_EXE_setout")).arg("-C").arg(folder).args(words));
}

fn git(folder: &Path, words: &[&str]) {
    run(Command::new("git").arg("-C").arg(folder).args(words));
}

fn run(command: &mut Command) {
    let command = command.env("GIT_CONFIG_GLOBAL", "/dev/null").env("GIT_CONFIG_NOSYSTEM", "1");
    let status = command.stdout(Stdio::null()).status().expect("the program runs");
    assert!(status.success(), "{command:?}: {status}");
}

/// Every table holds a chain of ten, now and then one that reads another table, and plain values.
fn table(table: usize, values: &[usize]) -> String {
    let mut text = String::from("dimensions:\n");
    for (index, value) in values.iter().enumerate() {
        let _ = match index {
            150 => writeln!(text, "  d{index}: d149 + t{:02}.d0 * 2 + d20", (table + 1) % TABLES),
            141..150 => writeln!(text, "  d{index}: d{} + {value} mm", index - 1),
            _ => writeln!(text, "  d{index}: {{ value: {value} mm, note: as drawn }}"),
        };
    }
    text.push_str("checks:\n  room: { require: d150 >= 2000 mm, why: it has to fit }\n");
    text
}

fn long_history(folder: &Path) {
    run(Command::new("git").args(["init", "--quiet", "--initial-branch=main"]).arg(folder));
    let mut stream = String::new();
    let mut values = vec![vec![100; DIMENSIONS]; TABLES];
    let mut random = 12_345_u64;
    for commit in 0..COMMITS {
        random =
            random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let changed = (random >> 33) as usize % TABLES;
        values[changed][(random >> 40) as usize % DIMENSIONS] = (random >> 20) as usize % 500;
        let _ = write!(
            stream,
            "commit refs/heads/main\ncommitter Ada <a@example.org> {} +0000\ndata 4\nstep\n",
            1_600_000_000 + commit * 60
        );
        if commit == 0 {
            file(&mut stream, "params/design.yaml", "setout: 1\nname: a long history\n");
            (0..TABLES).for_each(|number| {
                file(
                    &mut stream,
                    &format!("params/t{number:02}.yaml"),
                    &table(number, &values[number]),
                );
            });
        } else {
            let text = table(changed, &values[changed]);
            file(&mut stream, &format!("params/t{changed:02}.yaml"), &text);
        }
    }
    let mut import = Command::new("git")
        .args(["-C".as_ref(), folder.as_os_str(), "fast-import".as_ref(), "--quiet".as_ref()])
        .stdin(Stdio::piped())
        .spawn()
        .expect("git is there");
    let mut input = import.stdin.take().expect("it was piped");
    input.write_all(stream.as_bytes()).expect("git reads");
    drop(input);
    assert!(import.wait().expect("git ends").success());
    git(folder, &["reset", "--quiet", "--hard"]);
    git(folder, &["gc", "--quiet"]);
}

fn file(stream: &mut String, path: &str, text: &str) {
    let _ = write!(stream, "M 100644 inline {path}\ndata {}\n{text}\n", text.len());
}

/// The sample of this repository with one edit since the last revision but one.
fn sample_history(folder: &Path) {
    let root: PathBuf = [env!("CARGO_MANIFEST_DIR"), "..", ".."].iter().collect();
    std::fs::create_dir(folder).expect("a new folder");
    for part in ["params", "examples"] {
        run(Command::new("cp").arg("-r").arg(root.join(part)).arg(folder));
    }
    let identity = ["-c", "user.name=Ada", "-c", "user.email=a@example.org"];
    let commit = |message: &str| {
        git(folder, &["add", "--all"]);
        let words = ["commit", "--quiet", "--message", message];
        git(folder, &[&identity[..], &words[..]].concat());
    };
    git(folder, &["init", "--quiet", "--initial-branch=main"]);
    commit("as it was");
    let jaw = folder.join("params/jaw.yaml");
    let text = std::fs::read_to_string(&jaw).expect("the sample has a jaw");
    std::fs::write(&jaw, text.replacen("value: 62 mm", "value: 63 mm", 1)).expect("it is written");
    commit("wider");
}
