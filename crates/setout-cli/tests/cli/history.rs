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

/// The jaw with a check that fails, which is then renamed and changed at once.
fn renamed_while_failing() -> Bench {
    let bench = committed();
    bench.edit("params/jaw.yaml", "value: 62 mm", "value: 66 mm");
    commit(&bench, "wider");
    bench.edit(
        "params/jaw.yaml",
        "  room: { require: gap >= 15 mm",
        "  rooms: { require: gap > 15 mm",
    );
    bench.edit(
        "params/jaw.yaml",
        "  play_is_small",
        "  pushed: { require: steps > 1 mm }\n  play_is_small",
    );
    commit(&bench, "by another name");
    bench
}

#[test]
fn what_failed_from_its_first_revision_may_have_failed_under_another_name() {
    let bench = renamed_while_failing();
    let since = bench.run("setout since jaw.rooms --format json").json();
    assert_eq!(since["since"][0]["summary"], "by another name");
    assert_eq!(since["unfollowed"][0]["maybe"], json!(["jaw.room"]));
    assert_eq!(since["maybe_earlier"], true);
    expect![[r#"
        $ setout since jaw.rooms
        jaw.rooms
        at HEAD     fails, margin -1 mm

        It fails since aa3fb4b, or longer under another name.

        aa3fb4b  2026-05-04  fails, margin -1 mm
                 Ann: by another name
                 new with this revision

        In aa3fb4b jaw.rooms is new, and jaw.room is gone. If that is the same under
        another name, what it was before is not told here: see `setout history
        jaw.room`.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout since jaw.rooms"));
    // A check that is new where none is gone is new.
    bench.edit(
        "params/jaw.yaml",
        "  play_is_small",
        "  new: { require: gap > 90 mm }\n  play_is_small",
    );
    commit(&bench, "one more");
    let since = bench.run("setout since jaw.new --format json").json();
    assert_eq!(since["since"][0]["summary"], "one more");
    assert_eq!((&since["maybe_earlier"], &since["unfollowed"]), (&json!(false), &json!([])));
    // And one that held under its own name at first began to fail where it did.
    bench.edit("params/jaw.yaml", "steps > 1 mm", "steps > 90 mm");
    commit(&bench, "pushed");
    let since = bench.run("setout since jaw.pushed --format json").json();
    assert_eq!(since["since"][0]["summary"], "pushed");
    assert_eq!(since["unfollowed"][0]["maybe"], json!(["jaw.room"]));
    assert_eq!(since["maybe_earlier"], false);
}

#[test]
fn a_table_that_cannot_be_read_may_have_it_by_another_name() {
    let bench = committed();
    bench.edit("params/frame.yaml", "dimensions:\n", "dimensions: [\n");
    commit(&bench, "torn");
    bench.edit("params/frame.yaml", "dimensions: [\n", "dimensions:\n");
    bench.edit(
        "params/jaw.yaml",
        "  play_is_small",
        "  pin_is_long: { require: pin == \"M3\" }\n  play_is_small",
    );
    commit(&bench, "mended");
    let since = bench.run("setout since jaw.pin_is_long --format json").json();
    assert_eq!(since["unfollowed"][0]["unread"], true);
    assert_eq!(since["unfollowed"][0]["maybe"], json!([]));
    assert_eq!(since["maybe_earlier"], true);
    expect![[r#"
        $ setout since jaw.pin_is_long
        jaw.pin_is_long
        at HEAD     fails

        It fails since 10e06a5, or longer under another name.

        10e06a5  2026-05-04  fails
                 Ann: mended
                 new with this revision

        In 10e06a5 jaw.pin_is_long is new, and a table cannot be read that may have it
        by another name: what it was before is not told.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout since jaw.pin_is_long"));
}

#[test]
fn what_a_name_may_have_been_is_told_by_likeness() {
    let bench = committed();
    let checks = "  air: { require: gap > 1 mm }\n  air_left: { require: gap > 2 mm }\n  \
                  head_air: { require: gap > 3 mm }\n  zoom: { require: gap > 4 mm }\n";
    bench.edit("params/jaw.yaml", "  play_is_small", &format!("{checks}  play_is_small"));
    commit(&bench, "four");
    bench.edit("params/jaw.yaml", checks, "  air_lefts: { require: gap > 5 mm }\n");
    commit(&bench, "one");
    let since = bench.run("setout since jaw.air_lefts --format json").json();
    let maybe = json!(["jaw.air_left", "jaw.air", "jaw.head_air", "jaw.zoom"]);
    assert_eq!(since["unfollowed"][0]["maybe"], maybe);
    let gone = bench.run("setout history jaw.air --format json").json();
    assert_eq!(gone["unfollowed"][0]["maybe"], json!(["jaw.air_lefts"]));
}
