//! Which design is meant, and where its root is.

use std::path::Path;

use setout_design::Source;
use setout_store::{FindError, Folder};

use crate::bench::{Bench, DESIGN};

fn found(bench: &Bench, start: &str) -> (String, String, String) {
    let folder = Folder::find(&bench.path(start)).expect("a design");
    let below = |path: &Path| {
        path.strip_prefix(bench.root()).expect("in the bench").to_string_lossy().into_owned()
    };
    (below(folder.root()), below(folder.design_dir()), folder.folder().to_owned())
}

fn expect(root: &str, design: &str, folder: &str) -> (String, String, String) {
    (root.into(), design.into(), folder.into())
}

#[test]
fn a_design_is_found_from_anywhere_in_its_project() {
    let bench = Bench::new();
    bench.file("examples/badger/jaw.scad", "");
    for start in ["", "params", "examples", "examples/badger"] {
        assert_eq!(found(&bench, start), expect("", "params", "params"), "from {start:?}");
    }
}

#[test]
fn the_nearest_design_wins_and_the_folder_itself_before_its_params() {
    let bench = Bench::new();
    bench.file("params/sub/design.yaml", DESIGN);
    bench.file("params/params/design.yaml", DESIGN);
    assert_eq!(found(&bench, "params/sub"), expect("params/sub", "params/sub", ""));
    assert_eq!(found(&bench, "params"), expect("", "params", "params"));
}

#[test]
fn without_git_a_folder_of_another_name_is_its_own_root() {
    let bench = Bench::empty();
    bench.file("face/design.yaml", DESIGN);
    assert_eq!(found(&bench, "face"), expect("face", "face", ""));
}

#[test]
fn the_work_tree_is_the_root_however_deep_the_design_lies() {
    let bench = Bench::empty();
    bench.file("heads/badger/params/design.yaml", DESIGN);
    bench.git("init --quiet");
    let deep = "heads/badger/params";
    assert_eq!(found(&bench, "heads/badger"), expect("", deep, deep));
}

#[test]
fn a_further_work_tree_has_a_git_file_and_is_a_root_too() {
    let bench = Bench::repository();
    bench.commit("first");
    bench.git("worktree add --quiet further");
    assert_eq!(found(&bench, "further"), expect("further", "further/params", "params"));
}

#[test]
fn a_design_in_the_root_of_its_work_tree_has_no_folder() {
    let bench = Bench::empty();
    bench.file("design.yaml", DESIGN);
    bench.git("init --quiet");
    assert_eq!(found(&bench, ""), expect("", "", ""));
    assert_eq!(bench.folder().list().expect("listed"), ["design.yaml"]);
}

#[test]
fn without_a_design_the_start_is_named() {
    let bench = Bench::empty();
    bench.file("params/jaw.yaml", "");
    let error = Folder::find(&bench.path("params")).expect_err("no design");
    assert_eq!(error, FindError::NoDesign { start: bench.path("params") });
    assert!(error.help().contains("design.yaml"));
}

#[test]
fn a_start_that_does_not_exist_is_its_own_fault() {
    let error = Folder::find(&Bench::empty().path("nowhere")).expect_err("no folder");
    assert!(matches!(error, FindError::Start { .. }), "{error:?}");
}

#[test]
fn a_bare_repository_says_that_it_has_no_working_tree() {
    let bench = Bench::empty();
    bench.git("init --quiet --bare face.git");
    let error = Folder::find(&bench.path("face.git/refs")).expect_err("no design");
    assert_eq!(error, FindError::Bare { repository: bench.path("face.git") });
    assert!(error.to_string().contains("no working tree"), "{error}");
}

#[test]
fn gits_own_folder_is_not_taken_for_a_bare_repository() {
    let bench = Bench::empty();
    bench.git("init --quiet");
    let error = Folder::find(&bench.path(".git/refs")).expect_err("no design");
    assert_eq!(error, FindError::NoDesign { start: bench.path(".git/refs") });
}

#[cfg(unix)]
#[test]
fn a_linked_params_is_refused() {
    let bench = Bench::empty();
    bench.file("elsewhere/design.yaml", DESIGN);
    bench.file("project/readme", "");
    bench.link(bench.path("elsewhere"), "project/params");
    let error = Folder::find(&bench.path("project")).expect_err("linked");
    assert_eq!(error, FindError::Linked { link: bench.path("project/params") });
}
