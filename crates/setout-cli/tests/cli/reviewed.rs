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
    let log: Value = serde_json::from_str(&answer.out).expect("one document");
    log["runs"][0].clone()
}

#[test]
fn annotations() {
    expect![[r#"
        $ setout check --format annotations
        ::error title=jaw.room,file=params/jaw.yaml,line=6,col=3::jaw.room fails, margin -0.1 mm%0Arequires gap >= 0.5 mm; that is 0.4 mm >= 0.5 mm; because ::error file=x::boo ::stop-commands::x ]]> <script> | `@team` [a](http://b.example) {0} \u{202e}
        ::error title=jaw.arm,file=params/jaw.yaml,line=3,col=3::jaw.arm is outside its limits by 1.7 mm%0Avalue 21.7 mm; limits 18 to 20 mm
        ::warning title=jaw.snug,file=params/jaw.yaml,line=7,col=3::jaw.snug is tight, margin 0.1 mm%0Arequires gap >= 0.3 mm; that is 0.4 mm >= 0.3 mm; because it rattles otherwise
        ::warning title=jaw.lone,file=params/jaw.yaml,line=4,col=3::nothing uses `jaw.lone`%0Ahelp: name it in a formula, a check or a part's `uses`, or take it out
        2 errors, 2 warnings.
        --- status 1
    "#]].assert_eq(&trouble().shown("setout check --format annotations"));
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
    expect![[r#"
        $ setout check --format junit
        <?xml version="1.0" encoding="UTF-8"?>
        <testsuites name="A jaw" tests="6" failures="2" errors="0" skipped="0">
          <testsuite name="design" tests="1" failures="0" errors="0" skipped="0">
            <testcase classname="design" name="can be computed"/>
          </testsuite>
          <testsuite name="checks" tests="3" failures="1" errors="0" skipped="0">
            <testcase classname="jaw" name="room" file="params/jaw.yaml" line="6">
              <failure type="check-fails" message="jaw.room fails, margin -0.1 mm">jaw.room fails, margin -0.1 mm
        requires gap &gt;= 0.5 mm; that is 0.4 mm &gt;= 0.5 mm; because ::error file=x::boo ::stop-commands::x ]]&gt; &lt;script&gt; | `@team` [a](http://b.example) {0} \u{202e}
        at params/jaw.yaml:6:3</failure>
            </testcase>
            <testcase classname="jaw" name="snug" file="params/jaw.yaml" line="7">
              <system-out>jaw.snug is tight, margin 0.1 mm
        requires gap &gt;= 0.3 mm; that is 0.4 mm &gt;= 0.3 mm; because it rattles otherwise
        at params/jaw.yaml:7:3</system-out>
            </testcase>
            <testcase classname="jaw" name="short" file="params/jaw.yaml" line="8"/>
          </testsuite>
          <testsuite name="limits" tests="1" failures="1" errors="0" skipped="0">
            <testcase classname="jaw" name="arm" file="params/jaw.yaml" line="3">
              <failure type="limit-fails" message="jaw.arm is outside its limits by 1.7 mm">jaw.arm is outside its limits by 1.7 mm
        value 21.7 mm; limits 18 to 20 mm
        at params/jaw.yaml:3:3</failure>
            </testcase>
          </testsuite>
          <testsuite name="warnings" tests="1" failures="0" errors="0" skipped="0">
            <testcase classname="jaw" name="lone" file="params/jaw.yaml" line="4">
              <system-out>nothing uses `jaw.lone`
        help: name it in a formula, a check or a part&apos;s `uses`, or take it out
        at params/jaw.yaml:4:3</system-out>
            </testcase>
          </testsuite>
        </testsuites>
        --- status 1
    "#]].assert_eq(&trouble().shown("setout check --format junit"));
}

#[test]
fn a_summary() {
    expect![[r#"
        $ setout check --format markdown
        **Of the checks and limits 2 fail and 1 is tight.**

        A jaw

        | now | name | margin | requires | because |
        | --- | --- | --- | --- | --- |
        | **fails** | `jaw.room` | -0.1 mm | `gap >= 0.5 mm` | `\u{3a}:error file=x::boo \u{3a}:stop-commands::x ]]> <script> `&#124; &#96;`@team`&#96;` [a](http://b.example) {0} \u{202e}` |
        | **fails** | `jaw.arm` | -1.7 mm | 18 to 20 mm |  |
        | tight | `jaw.snug` | 0.1 mm | `gap >= 0.3 mm` | it rattles otherwise |

        1 of 3 checks and 0 of 1 limit holds.

        <details><summary>1 warning</summary>

        | place | warning | mend |
        | --- | --- | --- |
        | `params/jaw.yaml:4:3` | nothing uses &#96;jaw.lone&#96; | name it in a formula, a check or a part's &#96;uses&#96;, or take it out |

        </details>
        --- status 1
    "#]].assert_eq(&trouble().shown("setout check --format markdown"));
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
    expect![[r#"
        $ setout show --format sarif
        --- standard error
        setout: this command gives no SARIF [bad-call]
          help: write `--format` with `text` or `json`
        --- status 2

        $ setout diff --format junit
        --- standard error
        setout: this command gives no JUnit XML [bad-call]
          help: write `--format` with `text`, `json`, `markdown`, `sarif` or
            `annotations`
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
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
