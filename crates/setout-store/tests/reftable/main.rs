//! The tests of revisions once more, in repositories whose references stand in tables: the git library
//! refuses those, so everything is read through the installed git.

#[path = "../store/bench.rs"]
#[expect(dead_code, reason = "the other tests take all of it")]
mod bench;
#[path = "../store/changed.rs"]
mod changed;
#[path = "../store/pairs.rs"]
mod pairs;
#[path = "../store/refusals.rs"]
mod refusals;
#[path = "../store/revisions.rs"]
mod revisions;
#[path = "../store/shallow.rs"]
mod shallow;
#[path = "../store/walk.rs"]
mod walk;

/// How the real git is to store what it makes here.
const STORAGE: [(&str, &str); 1] = [("GIT_DEFAULT_REF_FORMAT", "reftable")];

/// Otherwise the tests would not test what they are here for.
#[test]
fn the_library_refuses_these_repositories() {
    let bench = bench::Bench::repository();
    bench.commit("first");
    assert!(git2::Repository::open(bench.root()).is_err());
}
