//! Which tracked files differ from the revision that is checked out, and what stands in other
//! folders.

use setout_design::SourceError;
use setout_store::{Revision, RevisionError, Revisions};

use crate::bench::{Bench, git};

fn changed(bench: &Bench) -> Vec<String> {
    Revisions::of(&bench.folder()).expect("a repository").changed().expect("told")
}

fn committed() -> Bench {
    let bench = Bench::repository();
    bench.file("params/jaw.yaml", "width: 62 mm\n");
    bench.file("cad/Größe \"1\".scad", "cube(1);\n");
    bench.file(".gitignore", "*.zip\n");
    bench.commit("first");
    bench
}

#[test]
fn a_clean_tree_has_no_changes() {
    let bench = committed();
    assert!(changed(&bench).is_empty());
    // Neither what git does not track nor a touched file is a change.
    bench.file("params/lip.yaml", "new");
    bench.file("a.zip", "ignored");
    bench.file("params/jaw.yaml", "width: 62 mm\n");
    assert!(changed(&bench).is_empty());
}

#[test]
fn edits_are_told_whether_staged_or_not() {
    let bench = committed();
    bench.file("params/jaw.yaml", "width: 64 mm\n");
    assert_eq!(changed(&bench), ["params/jaw.yaml"]);
    bench.git("add params/jaw.yaml");
    assert_eq!(changed(&bench), ["params/jaw.yaml"]);
    // Staged, and then put back in the work tree alone.
    bench.file("params/jaw.yaml", "width: 62 mm\n");
    assert_eq!(changed(&bench), ["params/jaw.yaml"]);
    bench.git("reset --quiet --hard");
    std::fs::remove_file(bench.path("cad/Größe \"1\".scad")).expect("removed");
    assert_eq!(changed(&bench), ["cad/Größe \"1\".scad"]);
    bench.git("reset --quiet --hard");
    bench.file("new.txt", "new");
    bench.git("add new.txt");
    bench.git("mv params/jaw.yaml params/mouth.yaml");
    assert_eq!(changed(&bench), ["new.txt", "params/jaw.yaml", "params/mouth.yaml"]);
}

#[test]
fn a_linked_work_tree_has_its_own_changes() {
    let bench = committed();
    let other = Bench::empty();
    let place = other.path("other");
    git(&bench.root(), &["worktree", "add", "--quiet", &place.display().to_string(), "-b", "two"]);
    std::fs::write(place.join("params/jaw.yaml"), "width: 64 mm\n").expect("written");
    let folder = setout_store::Folder::find(&place).expect("a design");
    let there = Revisions::of(&folder).expect("a repository").changed().expect("told");
    assert_eq!(there, ["params/jaw.yaml"]);
    assert!(changed(&bench).is_empty());
}

/// What the repository's configuration says is the work tree may be any folder of the machine.
#[test]
fn another_work_tree_is_not_looked_at() {
    let bench = committed();
    let other = Bench::empty();
    let place = other.root().display().to_string();
    git(&bench.root(), &["config", "core.worktree", &place]);
    let told = Revisions::of(&bench.folder()).and_then(|revisions| revisions.changed());
    assert!(matches!(told, Err(RevisionError::Repository { .. })), "{told:?}");
}

/// A stranger's repository could have any program run by these.
#[cfg(unix)]
#[test]
fn no_program_of_the_repository_runs() {
    let bench = committed();
    let ran = bench.path("ran");
    let touch = format!("touch {}; cat", ran.display());
    for key in ["filter.x.clean", "filter.x.smudge", "core.fsmonitor"] {
        git(&bench.root(), &["config", key, &touch]);
    }
    bench.file(".git/hooks/post-index-change", format!("#!/bin/sh\n{touch}\n"));
    bench.file(".git/info/attributes", "* filter=x\n");
    bench.file("params/jaw.yaml", "width: 64 mm\n");
    assert_eq!(changed(&bench), ["params/jaw.yaml"]);
    assert!(!ran.exists(), "a program ran");
    // The same with the git that the tests use does run it.
    bench.git("status");
    assert!(ran.exists(), "otherwise nothing is shown by this");
}

#[test]
fn files_of_other_folders_are_listed() {
    let bench = committed();
    bench.file("releases/A.yaml", "a");
    bench.file("releases/.hidden", "a");
    bench.file("releases/deeper/B.yaml", "a");
    bench.commit("second");
    bench.file("releases/A.zip", "a");
    let folder = bench.folder();
    let revision = Revision::open(&folder, "HEAD").expect("a revision");
    assert_eq!(revision.files_in("releases").expect("listed"), ["releases/A.yaml"]);
    let here = ["releases/A.yaml", "releases/A.zip"];
    assert_eq!(folder.files_in("releases").expect("listed"), here);
    assert!(revision.files_in("nowhere").expect("listed").is_empty());
    assert!(folder.files_in("nowhere").expect("listed").is_empty());
    assert!(revision.files_in("releases/A.yaml").expect("listed").is_empty());
    for path in ["..", "/etc", ".git"] {
        assert!(matches!(folder.files_in(path), Err(SourceError::Unsafe { .. })), "{path}");
        assert!(matches!(revision.files_in(path), Err(SourceError::Unsafe { .. })), "{path}");
    }
}
