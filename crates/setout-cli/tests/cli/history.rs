//! `setout history` and `setout since`.

use expect_test::expect;
use serde_json::{Value, json};

use crate::bench::{Bench, keys};
use crate::jaw::{commit, committed, git};

/// The jaw with a day's work on it: the check `room` fails and is mended, a name changes, one
/// revision is broken.
fn worked() -> Bench {
    let bench = committed();
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 66 mm");
    commit(&bench, "jaw: wider");
    bench.edit("params/jaw.yaml", "value: 66 mm", "value: 66 mm + oops");
    commit(&bench, "jaw: a slip");
    bench.edit("params/jaw.yaml", "value: 66 mm + oops", "value: 66 mm");
    bench.edit("params/frame.yaml", "  width:   100 mm", "  width:   104 mm");
    commit(&bench, "frame: room for it");
    bench.edit("params/jaw.yaml", "  steps: floor(width", "  stepped: floor(width");
    commit(&bench, "jaw: another word");
    bench
}

#[test]
fn a_value_with_its_causes() {
    expect![[r#"
        $ setout history jaw.gap
        jaw.gap
        at HEAD     16 mm

        54616e9  2026-05-04  14 mm → 16 mm
                 from frame.width; here or in revisions before it that cannot be
                 evaluated
                 Ann: frame: room for it
        6c4f698  2026-05-04  16 mm → 14 mm
                 from jaw.width
                 Ann: jaw: wider
        42b8615  2026-05-04  16 mm
                 added
                 Ann: jaw: as it was shown to the museum

        It changed in 3 of 5 revisions.

        1 revision was passed over: it cannot be evaluated.
          31077bc     params/jaw.yaml:3: there is no `oops`
        --- status 0
    "#]]
    .assert_eq(&worked().shown("setout history jaw.gap"));
}

#[test]
fn a_name_is_followed_through_a_rename() {
    expect![[r#"
        $ setout history jaw.stepped --plot
        jaw.stepped
        at HEAD     60 mm

                                               60 mm
        21cc751  2026-05-04  60 mm             o
        42b8615  2026-05-04  60 mm             o

        It changed in 2 of 5 revisions.

        1 revision was passed over: it cannot be evaluated.
          31077bc     params/jaw.yaml:3: there is no `oops`
        --- status 0
    "#]]
    .assert_eq(&worked().shown("setout history jaw.stepped --plot"));
}

/// What a history lists: the summary, the name and the value there.
fn listed(history: &Value) -> Vec<(&str, &str, f64)> {
    history["revisions"].as_array().expect("a list").iter().map(one).collect()
}

fn one(change: &Value) -> (&str, &str, f64) {
    let text = |key: &str| change[key].as_str().expect("a text");
    (text("summary"), text("name"), change["value"].as_f64().expect("a number"))
}

/// The jaw with `play` renamed on one line of work and edited on another. The merge has the new
/// name, and a value that neither line has.
///
/// ```text
/// as it was ── renamed ── merged
///         └──  edited  ──┘
/// ```
fn merged() -> Bench {
    let bench = committed();
    git(&bench, &["checkout", "-q", "-b", "side"]);
    bench.edit("params/jaw.yaml", "play: gap / 4", "play: gap / 5");
    commit(&bench, "edited");
    git(&bench, &["checkout", "-q", "main"]);
    rename_play(&bench);
    commit(&bench, "renamed");
    git(&bench, &["merge", "-q", "-s", "ours", "--no-commit", "side"]);
    bench.edit("params/jaw.yaml", "slack: gap / 4", "slack: gap / 8");
    commit(&bench, "merged");
    bench
}

fn rename_play(bench: &Bench) {
    bench.edit("params/jaw.yaml", "  play: gap", "  slack: gap");
    bench.edit("params/jaw.yaml", "require: play", "require: slack");
}

#[test]
fn an_edit_under_the_old_name_on_a_line_of_work_that_was_merged() {
    let history = merged().run("setout history jaw.slack --format json").json();
    assert_eq!(
        listed(&history),
        [
            ("merged", "jaw.slack", 2.0),
            ("renamed", "jaw.slack", 4.0),
            ("edited", "jaw.play", 3.2),
            ("jaw: as it was shown to the museum", "jaw.play", 4.0),
        ]
    );
    assert_eq!(history["unfollowed"], json!([]));
}

#[test]
fn what_is_renamed_and_changed_at_once_is_said() {
    let bench = committed();
    bench.edit("params/jaw.yaml", "play: gap / 4", "play: gap / 5");
    commit(&bench, "edited");
    rename_play(&bench);
    bench.edit("params/jaw.yaml", "slack: gap / 5", "slack: gap / 8");
    commit(&bench, "renamed and changed");
    let history = bench.run("setout history jaw.slack --format json").json();
    assert_eq!(listed(&history), [("renamed and changed", "jaw.slack", 2.0)]);
    assert_eq!(history["unfollowed"][0]["summary"], "renamed and changed");
    assert_eq!(history["unfollowed"][0]["maybe"], json!(["jaw.play"]));
    expect![[r#"
        $ setout history jaw.slack
        jaw.slack
        at HEAD     2 mm

        97a6e4c  2026-05-04  2 mm
                 added
                 Ann: renamed and changed

        It changed in 1 of 3 revisions.

        In 97a6e4c jaw.slack is new, and jaw.play is gone. If that is the same under
        another name, what it was before is not told here: see `setout history
        jaw.play`.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout history jaw.slack"));
    let gone = bench.run("setout history jaw.play --format json").json();
    assert_eq!(gone["unfollowed"][0]["cause"], "removed");
    assert_eq!(gone["unfollowed"][0]["maybe"], json!(["jaw.slack"]));
    expect![[r#"
        $ setout history jaw.play
        jaw.play
        at HEAD     not there

        97a6e4c  2026-05-04  3.2 mm → removed
                 removed
                 Ann: renamed and changed
        8715a28  2026-05-04  4 mm → 3.2 mm
                 edited: value
                 Ann: edited
        42b8615  2026-05-04  4 mm
                 added
                 Ann: jaw: as it was shown to the museum

        It changed in 3 of 3 revisions.

        In 97a6e4c jaw.play is gone, and jaw.slack is new. If that is the same under
        another name, what it was since is not told here: see `setout history
        jaw.slack`.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout history jaw.play"));
}

#[test]
fn since_when_a_check_fails_and_what_did_it() {
    expect![[r#"
        $ setout since jaw.room
        jaw.room
        at HEAD     holds, margin 1 mm

        It turned twice in 5 revisions.

        54616e9  2026-05-04  fails, margin -1 mm → holds, margin 1 mm
                 Ann: frame: room for it
                 frame.width: 100 mm → 104 mm
                 here, or in revisions before it that cannot be evaluated

        6c4f698  2026-05-04  holds, margin 1 mm → fails, margin -1 mm
                 Ann: jaw: wider
                 jaw.width: 62 mm → 66 mm

        1 revision was passed over: it cannot be evaluated.
          31077bc     params/jaw.yaml:3: there is no `oops`
        --- status 0
    "#]]
    .assert_eq(&worked().shown("setout since jaw.room"));
}

#[test]
fn a_name_without_its_table() {
    let bench = worked();
    assert_eq!(bench.run("setout history gap").out, bench.run("setout history jaw.gap").out);
    assert_eq!(bench.run("setout since room").out, bench.run("setout since jaw.room").out);
}

#[test]
fn a_name_that_no_revision_has() {
    expect![[r#"
        $ setout history jaw.gapp
        --- standard error
        setout: no revision has a dimension, cell, price or check `jaw.gapp` [not-found]
          help: did you mean `jaw.gap`?
        --- status 2
    "#]]
    .assert_eq(&worked().shown("setout history jaw.gapp"));
    expect![[r#"
        $ setout since jaw.play
        jaw.play
        at HEAD     has no limits

        It never failed in 5 revisions.

        1 revision was passed over: it cannot be evaluated.
          31077bc     params/jaw.yaml:3: there is no `oops`
        --- status 0
    "#]]
    .assert_eq(&worked().shown("setout since jaw.play"));
}

#[test]
fn the_documents_keep_their_keys() {
    let bench = worked();
    let history = bench.run("setout history jaw.gap --format json").json();
    assert_eq!(
        keys(&history),
        [
            "ends",
            "looked_at",
            "name",
            "replacements",
            "revisions",
            "skipped",
            "unfollowed",
            "unit",
            "value"
        ]
    );
    let values: Vec<_> = history["revisions"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|one| one["value"].clone())
        .collect();
    assert_eq!(values, [json!(16.0), json!(14.0), json!(16.0)]);
    assert_eq!(history["revisions"][0]["because"], json!(["frame.width"]));
    assert_eq!(history["revisions"][0]["date"], "2026-05-04T10:00:00+02:00");
    assert_eq!(history["skipped"].as_array().map(Vec::len), Some(1));
    let since = bench.run("setout since jaw.room --format json").json();
    assert_eq!(since["verdict"], "holds");
    assert_eq!(since["turns"][1]["turn"], "failed");
    assert_eq!(since["turns"][1]["edits"][0]["after"], "66 mm");
}

#[test]
fn the_status_for_bisecting() {
    let bench = worked();
    for (revision, status) in [("HEAD~4", 0), ("HEAD~3", 1), ("HEAD~2", 125), ("HEAD~1", 0)] {
        git(&bench, &["checkout", "-q", "main"]);
        git(&bench, &["checkout", "-q", revision]);
        assert_eq!(bench.run("setout since jaw.room --here").status, status, "{revision}");
    }
    assert_eq!(bench.run("setout since jaw.nothing --here").status, 125);
    assert_eq!(Bench::empty().run("setout since jaw.room --here").status, 125);
}

#[test]
fn without_a_revision_there_is_no_history() {
    expect![[r#"
        $ setout history lid.width
        --- standard error
        setout: (bench) is not in a git repository [io]
          help: revisions are kept by git: git init, then git add and git commit
        --- status 2
    "#]]
    .assert_eq(&Bench::lid().shown("setout history lid.width"));
}
