//! Every refusal says what is the matter and what mends it.

use setout_design::{Source, SourceError};
use setout_store::{Folder, Revision, RevisionError, Revisions};

use crate::bench::{Bench, DESIGN, clone};

fn refusal(bench: &Bench, spec: &str) -> RevisionError {
    let error = Revision::open(&bench.folder(), spec).expect_err("refused");
    assert!(!error.help().is_empty() && !error.help().ends_with('.'), "{}", error.help());
    error
}

fn committed() -> Bench {
    let bench = Bench::repository();
    bench.file("params/jaw.yaml", "width: 62 mm\n");
    bench.commit("first");
    bench
}

#[test]
fn without_git_it_is_said_and_the_folder_works_on() {
    let bench = Bench::new();
    let error = refusal(&bench, "HEAD");
    assert_eq!(error, RevisionError::NotARepository { place: bench.root() });
    assert!(error.help().contains("git init"));
    assert!(bench.folder().list().is_ok());
}

#[test]
fn an_empty_repository_has_no_revision_yet() {
    let bench = Bench::repository();
    for spec in ["HEAD", "main", "v1"] {
        let error = refusal(&bench, spec);
        assert_eq!(error, RevisionError::NoRevisionYet { branch: "main".into() }, "{spec}");
        assert!(error.to_string().starts_with("there is no revision yet"));
        assert!(error.help().contains("commit the design once"));
    }
}

#[test]
fn a_new_branch_without_a_revision_is_named() {
    let bench = committed();
    bench.git("switch --quiet --orphan fresh");
    bench.file("params/design.yaml", DESIGN);
    assert_eq!(refusal(&bench, "HEAD"), RevisionError::NoRevisionYet { branch: "fresh".into() });
    assert!(Revision::open(&bench.folder(), "main").is_ok());
}

#[test]
fn an_unknown_revision_offers_names_like_it() {
    let bench = committed();
    bench.git("tag release-1.0");
    bench.git("branch jaw-hinge");
    for (spec, nearest) in [
        ("mian", vec!["main"]),
        ("relase-1.0", vec!["release-1.0"]),
        ("jaw-hinges~2", vec!["jaw-hinge"]),
        ("utterly-else", vec![]),
        ("HEAD~7", vec![]),
        ("deadbeef", vec![]),
    ] {
        let RevisionError::UnknownRevision { spec: said, nearest: offered } = refusal(&bench, spec)
        else {
            panic!("{spec}: not unknown")
        };
        assert_eq!(
            (said.as_str(), offered),
            (spec, nearest.iter().map(ToString::to_string).collect())
        );
    }
    assert_eq!(refusal(&bench, "mian").help(), "did you mean main?");
}

#[test]
fn a_branch_of_the_remote_is_offered_by_its_full_name() {
    let bench = committed();
    bench.git("branch topic");
    let clone = clone(&bench, "");
    assert_eq!(refusal(&clone, "topic").help(), "did you mean origin/topic?");
}

#[test]
fn what_names_no_commit_is_said() {
    let bench = committed();
    for spec in ["HEAD:params", "HEAD:params/jaw.yaml", "HEAD^{tree}"] {
        let error = refusal(&bench, spec);
        assert_eq!(error, RevisionError::NotACommit { spec: spec.into() });
    }
    for spec in ["", "..", "a b", "HEAD..main", "main@{", "~"] {
        let error = refusal(&bench, spec);
        let said =
            matches!(error, RevisionError::BadSpec { .. } | RevisionError::UnknownRevision { .. });
        assert!(said, "{spec}: {error:?}");
    }
}

#[test]
fn digits_of_several_commits_are_ambiguous() {
    let bench = committed();
    // Nothing in these commits depends on the run, so the collision that is in them stays.
    let commit = |n: usize| {
        let text = format!("commit {n}");
        let from = if n == 0 { "from refs/heads/main^0\n" } else { "" };
        format!(
            "commit refs/heads/many\ncommitter Ada <a@example.org> 1700000000 +0000\n\
             data {}\n{text}\n{from}\n",
            text.len()
        )
    };
    bench.file("stream", (0..600).map(commit).collect::<String>());
    bench.git_with_input("fast-import --quiet", "stream");
    let all = bench.git("rev-list many");
    let mut ids: Vec<&str> = all.lines().collect();
    ids.sort_unstable();
    let alike = ids.windows(2).find(|pair| pair[0][..4] == pair[1][..4]).expect("a collision");
    let spec = &alike[0][..4];
    assert_eq!(refusal(&bench, spec), RevisionError::Ambiguous { spec: spec.into() });
}

#[test]
fn a_damaged_repository_is_not_taken_for_a_partial_clone() {
    let bench = committed();
    let blob = bench.git("rev-parse HEAD:params/jaw.yaml");
    let (folder, rest) = blob.split_at(2);
    std::fs::remove_file(bench.path(&format!(".git/objects/{folder}/{rest}"))).expect("loose");
    let error = refusal(&bench, "HEAD");
    let (reason, help) = (error.to_string(), error.help());
    assert!(matches!(error, RevisionError::Missing { partial: false, git: None, .. }), "{error:?}");
    assert!(reason.contains("damaged") && reason.contains("params/jaw.yaml"), "{reason}");
    assert!(help.contains("git fsck"), "{help}");
}

#[test]
fn a_file_that_is_lost_after_the_revision_was_opened_is_said() {
    let bench = committed();
    let blob = bench.git("rev-parse HEAD:params/jaw.yaml");
    let revision = Revision::open(&bench.folder(), "HEAD").expect("opened");
    let (folder, rest) = blob.split_at(2);
    std::fs::remove_file(bench.path(&format!(".git/objects/{folder}/{rest}"))).expect("loose");
    let error = revision.read("params/jaw.yaml").expect_err("gone");
    let SourceError::Repository { reason, help } = error else { panic!("{error:?}") };
    assert!(reason.contains("damaged") && help.contains("git fsck"), "{reason}; {help}");
}

#[cfg(unix)]
#[test]
fn a_repository_of_somebody_else_is_refused() {
    let bench = committed();
    let nobody = Some(65_534);
    let chown = |path: &str| std::os::unix::fs::chown(bench.path(path), nobody, nobody);
    if chown(".git").and_then(|()| chown("")).is_err() {
        println!("skipped: this user cannot give files away");
        return;
    }
    let error = refusal(&bench, "HEAD");
    assert_eq!(error, RevisionError::Owner { place: bench.root(), git: None });
    assert!(error.help().contains("safe.directory"));
}

#[test]
fn a_git_file_that_leads_nowhere_is_no_repository() {
    let bench = Bench::new();
    bench.file(".git", "gitdir: /nowhere/at/all\n");
    let error = refusal(&bench, "HEAD");
    assert!(matches!(error, RevisionError::NotARepository { .. }), "{error:?}");
}

#[test]
fn a_bare_clone_of_nothing_like_a_design_says_so() {
    let bench = Bench::empty();
    bench.file("readme", "");
    bench.git("init --quiet");
    bench.commit("first");
    let bare = clone(&bench, "--bare");
    assert!(Folder::find(&bare.root()).is_err());
    let revisions = Revisions::bare(&bare.root(), None).expect("opened");
    let error = revisions.at("HEAD").expect_err("no design");
    assert!(matches!(error, RevisionError::NoDesign { .. }), "{error:?}");
    assert!(Revisions::bare(&bare.root(), Some("../..")).is_err());
}

#[test]
fn a_tree_that_unfolds_without_end_is_not_walked_to_its_end() {
    let bench = committed();
    // Ten names for the same folder, eight times over: a hundred million folders in nine objects.
    let mut tree = bench.git("hash-object -t tree -w /dev/null");
    for _ in 0..8 {
        let entries: String = (0..10).map(|n| format!("040000 tree {tree}\tf{n}\n")).collect();
        bench.file("listing", entries);
        tree = bench.git_with_input("mktree", "listing");
    }
    let commit = bench.git(&format!("commit-tree -m bomb {tree}"));
    let error = refusal(&bench, &commit);
    assert!(matches!(error, RevisionError::TooManyFolders { .. }), "{error:?}");
}
