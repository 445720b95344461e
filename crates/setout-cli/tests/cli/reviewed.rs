//! `check` and `diff` for services that show findings to reviewers.

use expect_test::expect;
use serde_json::Value;

use crate::bench::{Answer, Bench};

const HOSTILE: &str = "\"::error file=x::boo\\n::stop-commands::x ]]> <script> | `@team` [a](http://b.example) {0} \\u202e\"";

fn trouble() -> Bench {
    let jaw = format!(
        "dimensions:
  gap: 0.4 mm
  arm: {{ value: 21.7 mm, min: 18 mm, max: 20 mm }}
  lone: 3 mm
checks:
  room: {{ require: gap >= 0.5 mm, why: {HOSTILE} }}
  snug: {{ require: gap >= 0.3 mm, tight: 0.2 mm, why: it rattles otherwise }}
  short: {{ require: arm <= 25 mm }}
"
    );
    Bench::with(&[("params/design.yaml", "setout: 1\nname: A jaw\n"), ("params/jaw.yaml", &jaw)])
}

fn sarif(answer: &Answer) -> Value {
    answer.json()["runs"][0].clone()
}

#[test]
fn annotations() {
    expect![[]].assert_eq(&trouble().shown("setout check --format annotations"));
}

#[test]
fn the_worst_annotations_come_first_and_the_others_are_counted() {
    let mut table = "dimensions:\n  gap: 1 mm\nchecks:\n".to_owned();
    for n in 0..12 {
        table.push_str(&format!("  snug_{n}: {{ require: gap >= 0.5 mm, tight: 1 mm }}\n"));
        table.push_str(&format!("  room_{n}: {{ require: gap >= 2 mm }}\n"));
    }
    let bench = Bench::with(&[("params/design.yaml", "setout: 1\n"), ("params/jaw.yaml", &table)]);
    let answer = bench.run("setout check --format annotations");
    let starting = |with: &str| answer.out.lines().filter(|line| line.starts_with(with)).count();
    assert_eq!((starting("::error "), starting("::warning ")), (10, 10));
    let more = "::notice::and 2 more errors, 2 more warnings that a service would not show here";
    assert!(answer.out.lines().any(|line| line == more), "{}", answer.out);
    assert!(answer.out.ends_with("\n12 errors, 12 warnings.\n"), "{}", answer.out);
    assert_eq!(answer.status, 1);
}

#[test]
fn sarif_names_rules_places_and_prints() {
    let bench = trouble();
    let answer = bench.run("setout check --format sarif");
    assert_eq!((answer.status, &*answer.err), (1, ""));
    let run = sarif(&answer);
    let found: Vec<String> = run["results"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|result| {
            let place = &result["locations"][0]["physicalLocation"];
            format!(
                "{} {} {} {}",
                result["level"].as_str().expect("a level"),
                result["ruleId"].as_str().expect("a rule"),
                place["artifactLocation"]["uri"].as_str().expect("a place"),
                place["region"]["startLine"]
            )
        })
        .collect();
    assert_eq!(
        found,
        [
            "error check-fails params/jaw.yaml 6",
            "error limit-fails params/jaw.yaml 3",
            "warning tight params/jaw.yaml 7",
            "warning unused params/jaw.yaml 4"
        ]
    );
    let rule = run["results"][0]["ruleIndex"].as_u64().expect("a number");
    assert_eq!(run["tool"]["driver"]["rules"][rule as usize]["id"], "check-fails");
    // A finding that moves down a line is the same one.
    bench.edit("params/jaw.yaml", "dimensions:", "about: the jaw\ndimensions:");
    let moved = sarif(&bench.run("setout check --format sarif"));
    assert_ne!(moved["results"][0]["locations"], run["results"][0]["locations"]);
    for (old, new) in run["results"].as_array().expect("a list").iter().zip(0..) {
        assert_eq!(old["partialFingerprints"], moved["results"][new]["partialFingerprints"]);
    }
}

#[test]
fn junit_has_a_case_for_each_check() {
    expect![[]].assert_eq(&trouble().shown("setout check --format junit"));
}

#[test]
fn a_summary() {
    expect![[]].assert_eq(&trouble().shown("setout check --format markdown"));
}

#[test]
fn warnings_that_stop_are_errors() {
    let bench = Bench::with(&[
        ("params/design.yaml", "setout: 1\n"),
        ("params/jaw.yaml", "dimensions:\n  lone: 3 mm\n"),
    ]);
    let lax = sarif(&bench.run("setout check --format sarif"));
    let strict = bench.run("setout check --strict --format sarif");
    assert_eq!(lax["results"][0]["level"], "warning");
    assert_eq!((&sarif(&strict)["results"][0]["level"], strict.status), (&"error".into(), 1));
    let junit = bench.run("setout check --strict --format junit");
    assert!(junit.out.contains(r#"<failure type="unused""#), "{}", junit.out);
}

#[test]
fn faults_and_refusals_are_told_in_the_form_asked_for() {
    let bench = Bench::with(&[
        ("params/design.yaml", "setout: 1\n"),
        ("params/jaw.yaml", "dimensions:\n  width: 62 furlong\n"),
    ]);
    let answer = bench.run("setout check --format sarif");
    assert_eq!(answer.status, 2);
    assert_eq!(sarif(&answer)["results"][0]["ruleId"], "unknown-unit");
    assert_eq!(sarif(&answer)["invocations"][0]["executionSuccessful"], true);
    assert!(answer.err.contains("[unknown-unit]"), "{}", answer.err);

    let nowhere = Bench::empty();
    let answer = nowhere.run("setout check --format sarif");
    assert_eq!(answer.status, 2);
    assert_eq!(sarif(&answer)["invocations"][0]["executionSuccessful"], false);
    assert_eq!(sarif(&answer)["results"][0]["ruleId"], "not-found");
    let junit = nowhere.run("setout check --format junit").out;
    assert!(junit.contains(r#"errors="1""#) && !junit.contains("can be computed"), "{junit}");
    let lines = nowhere.run("setout check --format annotations").out;
    assert!(lines.starts_with("::error title=not-found::"), "{lines}");
}

#[test]
fn commands_that_have_no_such_form_say_which_they_have() {
    let bench = trouble();
    let calls = ["setout show --format sarif", "setout diff --format junit"];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[]].assert_eq(&shown.join("\n"));
}

#[test]
fn a_hostile_text_orders_nothing_from_the_runner_of_a_workflow() {
    let bench = trouble();
    for form in ["text", "markdown", "annotations", "sarif", "junit"] {
        let out = bench.run(&format!("setout check --format {form}")).out;
        let ours = |line: &str| {
            ["::error title=", "::warning title=", "::notice::"]
                .iter()
                .any(|own| line.starts_with(own))
        };
        for line in out.lines().map(str::trim).filter(|line| line.starts_with("::")) {
            assert!(form == "annotations" && ours(line), "{form}: {line}");
        }
        assert!(!out.contains('\u{202e}'), "{form}");
    }
}
