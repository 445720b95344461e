//! A design at a revision.

use setout_design::{LARGEST_FILE, Source, SourceError};
use setout_store::{Revision, RevisionError, Revisions};

use crate::bench::{Bench, DESIGN, clone, git};

/// Two revisions: `jaw.yaml` is edited and `lip.yaml` becomes `mouth.yaml`.
fn two() -> (Bench, [String; 2]) {
    let bench = Bench::repository();
    bench.file("params/jaw.yaml", "width: 62 mm\n");
    bench.file("params/lip.yaml", "thin: 2 mm\nlong: 40 mm\n");
    let first = bench.commit("The first\n\nwith more");
    bench.git("tag --annotate --message=one v1");
    bench.file("params/jaw.yaml", "width: 64 mm\n");
    bench.git("mv params/lip.yaml params/mouth.yaml");
    let second = bench.commit("The second");
    (bench, [first, second])
}

fn open(bench: &Bench, spec: &str) -> Revision {
    Revision::open(&bench.folder(), spec).unwrap_or_else(|error| panic!("{spec}: {error}"))
}

#[test]
fn each_revision_has_its_own_files() {
    let (bench, [first, second]) = two();
    let (before, after) = (open(&bench, &first), open(&bench, &second));
    let listed = |revision: &Revision| revision.list().expect("listed").join(" ");
    assert_eq!(listed(&before), "params/design.yaml params/jaw.yaml params/lip.yaml");
    assert_eq!(listed(&after), "params/design.yaml params/jaw.yaml params/mouth.yaml");
    assert_eq!(before.read("params/jaw.yaml").expect("read"), b"width: 62 mm\n");
    assert_eq!(after.read("params/jaw.yaml").expect("read"), b"width: 64 mm\n");
    let gone = SourceError::NotFound { path: "params/lip.yaml".into() };
    assert_eq!(after.read("params/lip.yaml"), Err(gone));
}

#[test]
fn a_revision_is_named_in_any_way_of_gits() {
    let (bench, [first, second]) = two();
    for spec in ["v1", "HEAD~1", "main^", "@~", &first[..8], "v1^{commit}"] {
        assert_eq!(open(&bench, spec).id(), first, "{spec}");
    }
    for spec in ["HEAD", "main", "refs/heads/main", ":/The second"] {
        assert_eq!(open(&bench, spec).id(), second, "{spec}");
    }
}

#[test]
fn a_revision_says_who_made_it_when_and_why() {
    let (bench, [first, _]) = two();
    let revision = open(&bench, "v1");
    assert_eq!(revision.summary(), "The first");
    assert_eq!(revision.author_name(), "Ada");
    let date = revision.date();
    assert_eq!((date.seconds, date.offset_minutes), (1_700_000_000, 90));
    assert!(first.starts_with(revision.short()) && revision.short().len() >= 7);
}

#[test]
fn what_a_message_smuggles_does_not_reach_a_terminal() {
    let bench = Bench::repository();
    bench.commit("red \u{1b}[31m and \u{202e}back");
    assert_eq!(open(&bench, "HEAD").summary(), "red \u{fffd}[31m and \u{fffd}back");
}

#[test]
fn a_detached_head_is_a_head() {
    let (bench, [first, _]) = two();
    bench.git("checkout --quiet --detach HEAD~1");
    assert_eq!(open(&bench, "HEAD").id(), first);
}

#[test]
fn a_further_work_tree_has_its_own_head() {
    let (bench, [first, second]) = two();
    bench.git("worktree add --quiet --detach further v1");
    let further = setout_store::Folder::find(&bench.path("further")).expect("a design");
    assert_eq!(Revision::open(&further, "HEAD").expect("opened").id(), first);
    assert_eq!(Revision::open(&further, "main").expect("opened").id(), second);
}

#[test]
fn committed_bytes_come_as_they_are() {
    let bench = Bench::repository();
    let bytes = b"\xef\xbb\xbfabout: Sch\xc3\xa4del\r\n";
    bench.file("params/schädel.yaml", bytes);
    bench.commit("first");
    let revision = open(&bench, "HEAD");
    assert_eq!(revision.list().expect("listed"), ["params/design.yaml", "params/schädel.yaml"]);
    assert_eq!(revision.read("params/schädel.yaml").expect("read"), bytes);
}

/// Where git's program reads, nothing is known without it, and nothing may be said.
#[test]
fn a_revision_knows_what_it_holds_by_its_hash() {
    let bench = Bench::repository();
    bench.file("params/jaw.yaml", "about: one\n");
    bench.file("params/empty.yaml", "");
    bench.commit("first");
    bench.file("params/jaw.yaml", "about: other\n");
    let revision = open(&bench, "HEAD");
    let by_library = crate::STORAGE.is_empty();
    assert_eq!(revision.holds("params/jaw.yaml", b"about: one\n"), by_library);
    assert_eq!(revision.holds("params/empty.yaml", b""), by_library);
    for (path, bytes) in [
        ("params/jaw.yaml", &b"about: other\n"[..]),
        ("params/jaw.yaml", b"about: one\r\n"),
        ("params/jaw.yaml", b""),
        ("params/empty.yaml", b"about: one\n"),
        ("params/missing.yaml", b""),
        ("params", b""),
        ("../params/jaw.yaml", b"about: one\n"),
    ] {
        assert!(!revision.holds(path, bytes), "{path}");
    }
}

#[test]
fn only_files_directly_in_the_folder_are_listed() {
    let bench = Bench::repository();
    bench.file("params/old/jaw.yaml", "");
    bench.file("params/.hidden.yaml", "");
    bench.file("examples/jaw.scad", "cube(1);");
    bench.commit("first");
    let revision = open(&bench, "HEAD");
    assert_eq!(revision.list().expect("listed"), ["params/design.yaml"]);
    assert_eq!(revision.read("examples/jaw.scad").expect("read"), b"cube(1);");
    for path in ["examples", "../x", "/x", ".git/config", ""] {
        let error = revision.read(path).expect_err("refused");
        assert!(matches!(error, SourceError::Unsafe { .. }), "{path}: {error:?}");
    }
}

#[test]
fn a_design_that_was_moved_is_found_where_it_was() {
    let bench = Bench::empty();
    bench.file("tables/design.yaml", DESIGN);
    bench.git("init --quiet");
    bench.commit("in tables");
    bench.git("mv tables params");
    bench.commit("in params");
    bench.file("heads/other/design.yaml", DESIGN);
    bench.git("mv params heads/params");
    bench.commit("in heads/params, beside another");
    bench.git("mv heads/params params");
    bench.commit("back");
    let folder_at = |spec| open(&bench, spec).folder().to_owned();
    assert_eq!(folder_at("HEAD"), "params");
    assert_eq!(folder_at("HEAD~1"), "heads/params", "the same name among several");
    assert_eq!(folder_at("HEAD~3"), "tables", "the only one");
    assert_eq!(open(&bench, "HEAD~3").list().expect("listed"), ["tables/design.yaml"]);
}

#[test]
fn a_revision_without_the_design_or_with_several_says_so() {
    let bench = Bench::empty();
    bench.file("readme", "");
    bench.git("init --quiet");
    bench.commit("no design");
    bench.file("a/design.yaml", DESIGN);
    bench.file("b/design.yaml", DESIGN);
    bench.commit("two of them");
    bench.git("mv a params");
    bench.commit("one moved");
    let error = |spec| Revision::open(&bench.folder(), spec).expect_err("no design");
    let RevisionError::NoDesign { folder, .. } = error("HEAD~2") else { panic!("not said") };
    assert_eq!(folder, "params");
    let RevisionError::SeveralDesigns { folders, .. } = error("HEAD~1") else { panic!("not said") };
    assert_eq!(folders, ["a", "b"]);
}

#[test]
fn two_revisions_of_a_bare_clone_can_be_read() {
    let (bench, [first, second]) = two();
    let bare = clone(&bench, "--bare");
    let open = |folder, spec| Revision::open_bare(&bare.root(), folder, spec).expect("opened");
    assert_eq!(open(None, "v1").id(), first);
    let after = open(Some("params"), "HEAD");
    assert_eq!(after.id(), second);
    assert_eq!(after.read("params/jaw.yaml").expect("read"), b"width: 64 mm\n");
}

#[test]
fn a_file_beyond_the_largest_size_is_refused_and_the_next_is_read() {
    let bench = Bench::repository();
    let bytes = LARGEST_FILE + 1;
    let large = std::fs::File::create(bench.path("params/large.yaml")).expect("made");
    large.set_len(bytes).expect("it has holes");
    bench.file("params/jaw.yaml", "width: 62 mm\n");
    bench.commit("first");
    let revision = open(&bench, "HEAD");
    let path = "params/large.yaml".to_owned();
    let error = SourceError::TooLarge { path, bytes, limit: LARGEST_FILE };
    assert_eq!(revision.read("params/large.yaml"), Err(error));
    assert_eq!(revision.read("params/jaw.yaml").expect("read"), b"width: 62 mm\n");
}

#[test]
fn many_threads_read_one_revision() {
    let (bench, _) = two();
    let revisions = Revisions::of(&bench.folder()).expect("opened");
    let revision = revisions.at("HEAD").expect("opened");
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| {
                for _ in 0..50 {
                    let text = revision.read("params/jaw.yaml").expect("read");
                    assert_eq!(text, b"width: 64 mm\n");
                    assert_eq!(revisions.at("v1").expect("opened").summary(), "The first");
                }
            });
        }
    });
}

#[test]
fn a_configuration_that_names_programs_runs_none() {
    let (bench, _) = two();
    let trap = format!("touch {}", bench.path("sprung").display());
    for key in ["core.fsmonitor", "core.pager", "diff.external", "filter.x.smudge", "alias.log"] {
        git(&bench.root(), &["config", key, &trap]);
    }
    bench.file(".git/info/attributes", "*.yaml filter=x diff=x\n");
    open(&bench, "HEAD").read("params/jaw.yaml").expect("read");
    assert!(!bench.path("sprung").exists());
}

#[cfg(unix)]
mod links {
    use super::*;

    fn refused(revision: &Revision, path: &str) -> String {
        match revision.read(path) {
            Err(SourceError::Unsafe { reason, .. }) => reason,
            other => panic!("{path} should be unsafe: {other:?}"),
        }
    }

    #[test]
    fn a_link_is_followed_inside_the_revision_only() {
        let bench = Bench::repository();
        bench.file("lib/screws.scad", "m4 = 4;");
        bench.file("examples/jaw.scad", "");
        bench.link("../lib/screws.scad", "examples/screws.scad");
        bench.link("../lib", "examples/lib");
        bench.link("../../secret", "examples/out.scad");
        bench.link("/etc/passwd", "examples/absolute.scad");
        bench.link("missing.scad", "examples/dangling.scad");
        bench.link("circle", "examples/circle");
        bench.commit("first");
        let revision = open(&bench, "HEAD");
        for path in ["examples/screws.scad", "examples/lib/screws.scad"] {
            assert_eq!(revision.read(path).expect("read"), b"m4 = 4;", "{path}");
        }
        for name in ["out.scad", "absolute.scad", "dangling.scad", "circle"] {
            let reason = refused(&revision, &format!("examples/{name}"));
            assert!(reason.contains("symbolic link"), "{name}: {reason}");
        }
    }

    #[test]
    fn a_linked_table_is_listed_and_not_read() {
        let bench = Bench::repository();
        bench.file("shared/jaw.yaml", "");
        bench.link("../shared/jaw.yaml", "params/jaw.yaml");
        bench.commit("first");
        let revision = open(&bench, "HEAD");
        assert_eq!(revision.list().expect("listed"), ["params/design.yaml", "params/jaw.yaml"]);
        refused(&revision, "params/jaw.yaml");
        assert!(
            !revision.holds("params/jaw.yaml", b""),
            "what is not read is not known to be the same"
        );
    }

    #[test]
    fn a_submodule_is_not_entered() {
        let (bench, [first, _]) = two();
        bench.git(&format!("update-index --add --cacheinfo 160000,{first},params/sub.yaml"));
        bench.git("commit --quiet --message=sub");
        let revision = open(&bench, "HEAD");
        assert!(!revision.list().expect("listed").contains(&"params/sub.yaml".to_owned()));
        assert_eq!(refused(&revision, "params/sub.yaml"), "it lies in a submodule");
    }
}
