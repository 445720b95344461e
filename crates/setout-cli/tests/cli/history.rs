//! `setout history` and `setout since`.

use expect_test::expect;
use serde_json::json;

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
    expect![[""]].assert_eq(&worked().shown("setout history jaw.gap"));
}

#[test]
fn a_name_is_followed_through_a_rename() {
    expect![[""]].assert_eq(&worked().shown("setout history jaw.stepped --plot"));
}

#[test]
fn since_when_a_check_fails_and_what_did_it() {
    expect![[""]].assert_eq(&worked().shown("setout since jaw.room"));
}

#[test]
fn a_name_without_its_table() {
    let bench = worked();
    assert_eq!(bench.run("setout history gap").out, bench.run("setout history jaw.gap").out);
    assert_eq!(bench.run("setout since room").out, bench.run("setout since jaw.room").out);
}

#[test]
fn a_name_that_no_revision_has() {
    expect![[""]].assert_eq(&worked().shown("setout history jaw.gapp"));
    expect![[""]].assert_eq(&worked().shown("setout since jaw.play"));
}

#[test]
fn the_documents_keep_their_keys() {
    let bench = worked();
    let history = bench.run("setout history jaw.gap --format json").json();
    assert_eq!(
        keys(&history),
        ["ends", "looked_at", "name", "replacements", "revisions", "skipped", "unit", "value"]
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
    expect![[""]].assert_eq(&Bench::lid().shown("setout history lid.width"));
}
