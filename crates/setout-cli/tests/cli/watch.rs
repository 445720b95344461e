//! Work that is ended early, in this process and in one of its own.

use std::io::Read;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::json;
use setout_cli::Signal;

use crate::bench::{Answer, Bench};
use crate::jaw::{commit, git};

/// A check that holds whatever moves, and one that no number of boxes decides. `each` is repeated for
/// so many more of the latter.
fn slow(more: usize) -> Bench {
    let checks: String = (0..more)
        .map(|n| format!("  again{n}: {{ require: gap <= 0.{:03} mm }}\n", n + 1))
        .collect();
    let axes = ["a", "b", "c", "d"];
    let travels: String = axes
        .iter()
        .map(|axis| format!("  {axis}: {{ value: 1 deg, travel: [0 deg, 90 deg] }}\n"))
        .collect();
    let sum = axes.map(|axis| format!("sin({axis})^2 + cos({axis})^2")).join(" + ");
    let table = format!(
        "dimensions:\n{travels}  wall: 2 mm\n  gap: abs(({sum} - 4) * wall)\n\
         checks:\n  thick: {{ require: wall >= 1 mm }}\n  it: {{ require: gap <= 0.0001 mm }}\n{checks}"
    );
    Bench::with(&[
        ("params/design.yaml", "setout: 1\nname: A slow one\n"),
        ("params/t.yaml", &table),
    ])
}

fn interrupted(bench: &Bench, call: &str) -> Answer {
    bench.run_as(call, |io| io.signals.send(Signal::Interrupt))
}

const SENTENCE: &str = "setout: interrupted; what was not finished is unknown, or missing\n";

#[test]
fn a_check_that_is_interrupted_says_what_it_knows() {
    let bench = slow(0);
    let answer = interrupted(&bench, "setout check");
    assert_eq!((answer.status, answer.err.as_str()), (130, SENTENCE));
    assert!(answer.out.contains("unknown  t.it, not judged to its end\n"), "{}", answer.out);
    assert!(answer.out.contains("Of the checks and limits 1 is unknown.\n"), "{}", answer.out);
    let answer = interrupted(&bench, "setout check --format json");
    assert_eq!((answer.status, answer.err.as_str()), (130, SENTENCE));
    let found: serde_json::Value = serde_json::from_str(&answer.out).expect("one document");
    assert_eq!(found["stopped"], json!(true));
    assert_eq!(found["checks"][0]["verdict"], "holds");
    assert_eq!(found["checks"][1]["rest"]["verdict"], "holds");
    assert_eq!(
        found["checks"][1]["travel"],
        json!({
            "verdict": "unknown", "margin": null, "how": "sampled", "at_least": null, "at": {},
            "boxes": 0, "left": 1, "why": "it was stopped before its turn came"
        })
    );
    for (form, said) in [
        ("sarif", "It was interrupted;"),
        ("markdown", "It was interrupted;"),
        ("annotations", "It was interrupted;"),
        ("junit", "It was interrupted;"),
    ] {
        let answer = interrupted(&bench, &format!("setout check --format {form}"));
        assert!(answer.out.contains(said), "{form}: {}", answer.out);
        assert_eq!(answer.status, 130, "{form}");
    }
    // Nothing of the kind without a signal, and where nothing takes long.
    let answer = bench.run("setout check --format json");
    assert!(answer.json()["stopped"].is_null());
    assert_eq!((answer.status, interrupted(&bench, "setout show").status), (1, 0));
    let terminated = bench.run_as("setout check", |io| io.signals.send(Signal::Terminate));
    assert_eq!(terminated.status, 143);
    assert!(terminated.err.starts_with("setout: interrupted by SIGTERM"), "{}", terminated.err);
}

#[test]
fn a_sweep_and_headroom_that_are_interrupted_say_so() {
    let bench = slow(0);
    let answer = interrupted(&bench, "setout sweep it");
    assert_eq!((answer.status, answer.err.as_str()), (130, SENTENCE));
    assert!(
        answer.out.contains("unknown since it was stopped before its turn came"),
        "{}",
        answer.out
    );
    let answer = interrupted(&bench, "setout headroom");
    assert_eq!((answer.status, answer.err.as_str()), (130, SENTENCE));
    let missing = "1 dimension is missing, not reached before it was interrupted: t.wall.\n";
    assert!(answer.out.contains(missing), "{}", answer.out);
    let answer = interrupted(&bench, "setout headroom wall");
    assert!(answer.out.contains(missing), "{}", answer.out);
    let answer = interrupted(&bench, "setout headroom wall --format json");
    let found: serde_json::Value = serde_json::from_str(&answer.out).expect("one document");
    assert_eq!((&found["stopped"], &found["missing"]), (&json!(true), &json!(["t.wall"])));
    assert_eq!(found["dimensions"], json!([]));
    let answer = interrupted(&bench, "setout headroom --for it");
    let said = "It was interrupted before all chosen dimensions were tried.\n";
    assert!(answer.out.ends_with(said), "{}", answer.out);
    // What cannot be asked for stays a fault.
    let answer = interrupted(&bench, "setout headroom nothing");
    assert!(answer.err.starts_with("setout: there is no `nothing`"), "{}", answer.err);
}

#[test]
fn a_release_that_is_interrupted_writes_nothing() {
    let bench = slow(0);
    bench.file("params/parts.yaml", "parts: { pin: { made: bought, uses: [t.wall] } }\n");
    git(&bench, &["init", "-q", "-b", "main"]);
    commit(&bench, "as it is");
    let before = bench.files();
    for call in ["setout release --although-failing", "setout release --preview"] {
        let answer = interrupted(&bench, call);
        let said = "setout: interrupted; nothing has been written\n";
        assert_eq!((answer.status, answer.out.as_str(), answer.err.as_str()), (130, "", said));
        let answer = interrupted(&bench, &format!("{call} --format json"));
        assert_eq!(answer.out, "{\n  \"stopped\": true\n}\n");
    }
    assert_eq!(bench.files(), before);
    assert_eq!(bench.run("setout release --although-failing").status, 0);
    assert_ne!(bench.files(), before);
}

/// Sends a signal to a process of its own once its work is under way, and gives its streams, its
/// status and how long it took to end then.
#[cfg(unix)]
fn signalled(bench: &Bench, args: &[&str], signal: &str) -> (String, String, i32) {
    use std::os::unix::process::ExitStatusExt;

    let mut command = Command::new(env!("CARGO_BIN_EXE_setout"));
    command.args(args).current_dir(bench.root()).env_clear().stdin(Stdio::null());
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("starts");
    std::thread::sleep(Duration::from_millis(1_500));
    let sent = Command::new("kill").args([signal, &child.id().to_string()]).status();
    assert!(sent.expect("kill is there").success());
    let start = Instant::now();
    let (mut out, mut err) = (String::new(), String::new());
    child.stdout.take().expect("piped").read_to_string(&mut out).expect("UTF-8");
    child.stderr.take().expect("piped").read_to_string(&mut err).expect("UTF-8");
    let status = child.wait().expect("ends");
    assert!(start.elapsed() < Duration::from_secs(20), "it went on");
    assert_eq!(status.signal(), None, "{out}{err}");
    (out, err, status.code().expect("a status"))
}

#[cfg(unix)]
#[test]
fn signals_end_the_real_program_with_an_answer() {
    let bench = slow(0);
    let boxes = ["--boxes", "100000000", "--format", "json"];
    let (out, err, status) = signalled(&bench, &[&["sweep", "t.it"], &boxes[..]].concat(), "-INT");
    assert_eq!((status, err.as_str()), (130, SENTENCE));
    let found: serde_json::Value = serde_json::from_str(&out).expect("one document");
    let why = found["why"].as_str().expect("a reason");
    assert_eq!((&found["stopped"], &found["verdict"]), (&json!(true), &json!("unknown")));
    assert_eq!(why, format!("it was stopped after {} boxes", found["boxes"]));
    let bench = slow(999);
    let (out, err, status) = signalled(&bench, &["check"], "-TERM");
    assert_eq!(status, 143, "{err}");
    assert!(err.starts_with("setout: interrupted by SIGTERM;"), "{err}");
    assert!(out.contains("unknown since it was stopped after "), "{out}");
    assert!(out.contains("unknown since it was stopped before its turn came"), "{out}");
}
