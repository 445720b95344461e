//! A history of 5,000 commits, each of which changes one of 50 tables of 200 dimensions, by turns with git's
//! own walk through it; and one change of the sample.

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use setout_bench::programs::{root, run, took};
use setout_bench::{Figure, by_turns};

use crate::Book;

const COMMITS: usize = 5_000;
const TABLES: usize = 50;
const DIMENSIONS: usize = 200;
const ROUNDS: usize = 5;
/// A change of the sample is small, and told soon.
const SHORT_ROUNDS: usize = 41;

pub(crate) fn figures(book: &Book) -> Vec<Figure> {
    let (long, sample) = (book.folder.path().join("long"), book.folder.path().join("sample"));
    let setout = |folder: &Path, words: &[&str]| {
        took(Command::new(&book.setout).arg("-C").arg(folder).args(words))
    };
    let told =
        |folder: &Path, words: &[&str]| took(Command::new("git").arg("-C").arg(folder).args(words));
    long_history(&long);
    let times = by_turns(
        ROUNDS,
        &mut [
            &mut || setout(&long, &["history", "t07.d150", "--format", "json"]),
            &mut || setout(&long, &["since", "t07.room", "--format", "json"]),
            &mut || told(&long, &["log", "-p", "--", "params"]),
        ],
    );
    let [history, since, log] = &times[..] else { unreachable!("three ran") };
    let name = "`setout history NAME`";
    let mut figures = vec![
        Figure::share(
            format!("{name} over {COMMITS} commits"),
            history,
            "`git log -p -- params`",
            log,
        )
        .at_most(0.4),
        Figure::share("`setout since CHECK` there", since, name, history).at_most(1.5),
    ];
    sample_history(&sample);
    let times = by_turns(
        SHORT_ROUNDS,
        &mut [&mut || setout(&sample, &["diff", "HEAD~1"]), &mut || {
            told(&sample, &["diff", "--stat", "HEAD~1"])
        }],
    );
    let peer = "`git diff --stat HEAD~1`";
    figures.push(
        Figure::share("`setout diff HEAD~1` of the sample", &times[0], peer, &times[1])
            .at_most(3.0),
    );
    figures
}

fn git(folder: &Path, words: &[&str]) {
    run(Command::new("git").arg("-C").arg(folder).args(words));
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
    std::fs::create_dir(folder).expect("a new folder");
    for part in ["params", "examples"] {
        run(Command::new("cp").arg("-r").arg(root().join(part)).arg(folder));
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
