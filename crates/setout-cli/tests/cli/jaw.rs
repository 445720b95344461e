//! A design in which changes reach far, and its history.

use std::process::Command;

use crate::bench::Bench;

const DESIGN: &str = "setout: 1
name: A jaw
currency: GBP
processes: { printed: { tolerance: ±0.2 mm } }
exports:
  - { format: csv, file: ../out/jaw.csv }
";

const FRAME: &str = "# Masters: most of the head follows.
dimensions:
  width:   100 mm   # over all, ± nothing
  wall: { value: 3 mm, min: 2 mm, max: 4 mm, note: 'six lines of a 0.5 mm nozzle' }
  inner: width - 2 * wall
";

const JAW: &str = "about: Lower jaw and its tongue
dimensions:
  width: { value: 62 mm, min: 55 mm, max: 70 mm }
  gap: { value: (frame.inner - width) / 2, note: air on both sides of the jaw }
  play: gap / 4
  steps: floor(width, 10 mm)
  pin: { text: M4, one_of: [M3, M4] }
schedules:
  pose:
    columns: { jaw: mm }
    rows:
      shut: [gap]
      open: [20 mm]
checks:
  room: { require: gap >= 15 mm, tight: 1 mm, why: the skin pulls the cheeks inwards }
  play_is_small: { require: play <= 5 mm }
  pin_is_there: { require: pin == \"M4\" }
parts:
  jaw: { made: printed, cost: width * 0.05 GBP / 1 mm, mass: 30 g, uses: [width] }
  pin_rod: { made: bought, cost: 1.20 GBP, mass: 2 g, uses: [pin] }
";

/// The design, without a history.
pub(crate) fn jaw() -> Bench {
    Bench::with(&[
        ("params/design.yaml", DESIGN),
        ("params/frame.yaml", FRAME),
        ("params/jaw.yaml", JAW),
    ])
}

/// The same, committed.
pub(crate) fn committed() -> Bench {
    let bench = jaw();
    git(&bench, &["init", "-q", "-b", "main"]);
    commit(&bench, "jaw: as it was shown to the museum");
    bench
}

/// Commits all files. The date is always the same, so the revision's name is.
pub(crate) fn commit(bench: &Bench, message: &str) {
    git(bench, &["add", "."]);
    git(bench, &["commit", "-q", "-m", message]);
}

/// Runs the real git, without anybody's settings.
pub(crate) fn git(bench: &Bench, args: &[&str]) {
    let mut git = Command::new("git");
    git.args(args).current_dir(bench.root());
    git.env("GIT_CONFIG_NOSYSTEM", "1").env("GIT_CONFIG_GLOBAL", "/dev/null");
    for who in ["AUTHOR", "COMMITTER"] {
        git.env(format!("GIT_{who}_NAME"), "Ann")
            .env(format!("GIT_{who}_EMAIL"), "ann@example.org");
        git.env(format!("GIT_{who}_DATE"), "2026-05-04T10:00:00+0200");
    }
    let output = git.output().expect("git runs");
    assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
}
