//! Both sides of a comparison.

use setout_design::Source;
use setout_store::{RevisionError, Revisions, spec_pair};

use crate::bench::Bench;

/// ```text
/// first ── second            main
///      └── side              topic
/// ```
fn forked() -> (Bench, [String; 3]) {
    let bench = Bench::repository();
    bench.file("params/jaw.yaml", "first");
    let first = bench.commit("first");
    bench.git("switch --quiet --create topic");
    bench.file("params/jaw.yaml", "side");
    let side = bench.commit("side");
    bench.git("switch --quiet main");
    bench.file("params/jaw.yaml", "second");
    let second = bench.commit("second");
    (bench, [first, second, side])
}

fn sides(bench: &Bench, text: &str) -> (String, Option<String>) {
    let pair = spec_pair(text).expect("a pair");
    let sides = Revisions::of(&bench.folder()).expect("opened").sides(&pair).expect("both sides");
    (sides.before.id().to_owned(), sides.after.map(|after| after.id().to_owned()))
}

#[test]
fn every_form_opens_the_right_revisions() {
    let (bench, [first, second, side]) = forked();
    assert_eq!(sides(&bench, ""), (second.clone(), None));
    assert_eq!(sides(&bench, "topic"), (side.clone(), None));
    assert_eq!(sides(&bench, "HEAD~1.."), (first.clone(), Some(second.clone())));
    assert_eq!(sides(&bench, "topic..main"), (side.clone(), Some(second)));
    assert_eq!(sides(&bench, "main...topic"), (first, Some(side)));
}

#[test]
fn a_dirty_tree_differs_from_its_head() {
    let (bench, _) = forked();
    bench.file("params/jaw.yaml", "not committed");
    let pair = spec_pair("").expect("a pair");
    let sides = Revisions::of(&bench.folder()).expect("opened").sides(&pair).expect("opened");
    assert_eq!(sides.before.read("params/jaw.yaml").expect("read"), b"second");
    assert_eq!(bench.folder().read("params/jaw.yaml").expect("read"), b"not committed");
}

#[test]
fn lines_that_never_met_have_no_common_ancestor() {
    let (bench, _) = forked();
    bench.git("switch --quiet --orphan other");
    bench.file("params/design.yaml", "");
    bench.commit("other");
    let error = Revisions::of(&bench.folder()).expect("opened").merge_base("main", "other");
    let (one, other) = ("main".into(), "other".into());
    assert_eq!(error.expect_err("no base"), RevisionError::NoMergeBase { one, other });
}
