//! A shallow clone never passes for one without changes: it names the fetch that mends it, and
//! that fetch does.

use setout_design::Source;
use setout_store::{Revision, RevisionError, Revisions};

use crate::bench::{Bench, clone};

/// ```text
/// r0 ── r1 ── r2 ── r3       main
///        └── side            topic
/// ```
fn origin() -> Bench {
    let bench = Bench::repository();
    for n in 0..4 {
        bench.file("params/jaw.yaml", format!("width: 6{n} mm\n"));
        bench.commit(&format!("r{n}"));
    }
    bench.git("branch topic HEAD~2");
    bench.git("switch --quiet topic");
    bench.file("params/lip.yaml", "");
    bench.commit("side");
    bench.git("switch --quiet main");
    bench
}

fn shallow(error: RevisionError) -> String {
    assert!(error.to_string().starts_with("this clone is shallow"), "{error}");
    let RevisionError::Shallow { fetch, .. } = &error else { panic!("{error:?}") };
    assert!(error.help().starts_with(fetch.as_str()), "{}", error.help());
    fetch.strip_prefix("git ").expect("a command of git's").to_owned()
}

fn mended_by(clone: &Bench, spec: &str) -> String {
    let error = Revision::open(&clone.folder(), spec).expect_err("beyond the depth");
    let fetch = shallow(error);
    clone.git(&fetch);
    let revision = Revision::open(&clone.folder(), spec);
    revision.unwrap_or_else(|error| panic!("{spec} after git {fetch}: {error}"));
    fetch
}

#[test]
fn the_head_of_a_shallow_clone_is_read() {
    let origin = origin();
    let clone = clone(&origin, "--depth 1");
    let revision = Revision::open(&clone.folder(), "HEAD").expect("opened");
    assert_eq!(revision.read("params/jaw.yaml").expect("read"), b"width: 63 mm\n");
}

#[test]
fn steps_beyond_the_depth_name_how_much_deeper() {
    let origin = origin();
    let clone = clone(&origin, "--depth 1");
    assert_eq!(mended_by(&clone, "HEAD~2"), "fetch --deepen=2 origin");
}

#[test]
fn a_commit_beyond_the_depth_needs_the_whole_history() {
    let origin = origin();
    let first = origin.git("rev-parse HEAD~3");
    let clone = clone(&origin, "--depth 1");
    assert_eq!(mended_by(&clone, &first), "fetch --unshallow origin");
}

#[test]
fn a_branch_that_was_not_cloned_is_named_in_the_fetch() {
    let origin = origin();
    let clone = clone(&origin, "--depth 1");
    let fetch = "fetch origin +refs/heads/topic:refs/remotes/origin/topic";
    assert_eq!(mended_by(&clone, "origin/topic"), fetch);
    assert_eq!(mended_by(&clone, "topic"), "fetch origin topic:topic");
}

#[test]
fn nothing_but_plain_names_gets_into_a_command() {
    let origin = origin();
    let clone = clone(&origin, "--depth 1");
    let error = Revision::open(&clone.folder(), "a;reboot").expect_err("unknown");
    assert_eq!(shallow(error), "fetch --unshallow origin");
}

#[test]
fn a_common_ancestor_beyond_the_depth_is_not_taken_for_none() {
    let origin = origin();
    let clone = clone(&origin, "--depth 1 --no-single-branch");
    let revisions = Revisions::of(&clone.folder()).expect("opened");
    let base = || revisions.merge_base("main", "origin/topic");
    let fetch = shallow(base().expect_err("beyond the depth"));
    clone.git(&fetch);
    let again = Revisions::of(&clone.folder()).expect("opened");
    assert_eq!(again.merge_base("main", "origin/topic").expect("found").summary(), "r1");
}

#[test]
fn a_common_ancestor_within_the_depth_is_found() {
    let origin = origin();
    let clone = clone(&origin, "--depth 3 --no-single-branch");
    let revisions = Revisions::of(&clone.folder()).expect("opened");
    assert_eq!(revisions.merge_base("main", "origin/topic").expect("found").summary(), "r1");
}
