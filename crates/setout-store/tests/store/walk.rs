//! The way back through history.

use setout_design::{Source, Stamped};
use setout_store::{Revisions, Walk};

use crate::bench::{Bench, clone};

/// Where the table is another one, what is on the side, and the merge of both.
///
/// ```text
/// first ── wide ── merge
///    └──── side ────┘
/// ```
fn forked() -> (Bench, [String; 4]) {
    let bench = Bench::repository();
    bench.file("params/jaw.yaml", "dimensions: { width: 62 mm }\n");
    let first = bench.commit("first");
    bench.git("branch side");
    bench.file("params/jaw.yaml", "dimensions: { width: 64 mm }\n");
    let wide = bench.commit("wide");
    bench.git("checkout --quiet side");
    bench.file("notes.txt", "nothing of the design\n");
    let side = bench.commit("side");
    bench.git("checkout --quiet main");
    bench.git("merge --quiet --no-edit side");
    let merge = bench.git("rev-parse HEAD");
    (bench, [first, wide, side, merge])
}

fn walk(bench: &Bench, since: Option<&str>) -> Walk {
    let revisions = Revisions::of(&bench.folder()).expect("a repository");
    revisions.walk("HEAD", since).expect("a walk")
}

fn ids(walk: &Walk) -> Vec<String> {
    (0..walk.len()).map(|number| walk.point(number).id()).collect()
}

#[test]
fn children_come_before_parents_on_every_line_of_work() {
    let (bench, [first, wide, side, merge]) = forked();
    let walk = walk(&bench, None);
    assert_eq!(ids(&walk), [&merge, &wide, &side, &first].map(String::clone));
    assert_eq!(walk.parents(0), [1, 2]);
    assert_eq!((walk.parents(1), walk.parents(2)), (&[3][..], &[3][..]));
    assert!(walk.parents(3).is_empty() && !walk.is_cut(3) && walk.fetch().is_none());
    assert_eq!(walk.revision(1).expect("read").summary(), "wide");
}

#[test]
fn equal_stamps_are_equal_texts() {
    let (bench, _) = forked();
    let walk = walk(&bench, None);
    let stamp = |number: usize| {
        let stamps = walk.point(number).stamps().expect("listed");
        let jaw = stamps.iter().find(|(path, _)| &**path == "params/jaw.yaml");
        jaw.expect("it is there").1
    };
    assert_eq!(stamp(0), stamp(1));
    assert_eq!(stamp(2), stamp(3));
    assert_ne!(stamp(0), stamp(3));
    assert_eq!(walk.point(3).list().expect("listed"), ["params/design.yaml", "params/jaw.yaml"]);
    let text = walk.point(3).read("params/jaw.yaml").expect("read");
    assert_eq!(text, b"dimensions: { width: 62 mm }\n");
}

#[test]
fn what_was_known_since_a_revision_is_only_there_to_compare_with() {
    let (bench, [first, wide, side, merge]) = forked();
    let walk = walk(&bench, Some(&wide));
    assert_eq!(ids(&walk), [&merge, &wide, &side, &first].map(String::clone));
    let known: Vec<bool> = (0..walk.len()).map(|number| walk.is_known(number)).collect();
    assert_eq!(known, [false, true, false, true]);
    assert!(walk.parents(1).is_empty(), "nobody asked for what came before");
}

#[test]
fn the_design_is_where_the_revision_after_has_it() {
    let bench = Bench::empty();
    bench.git("init --quiet");
    bench.file("notes.txt", "no design yet\n");
    bench.commit("nothing");
    bench.file("face/design.yaml", crate::bench::DESIGN);
    bench.commit("a design");
    bench.git("mv face params");
    bench.commit("moved");
    let walk = walk(&bench, None);
    let folders: Vec<_> = (0..3).map(|number| walk.point(number).folder()).collect();
    assert_eq!(folders, [Some("params"), Some("face"), None]);
    assert!(walk.point(2).is_bare());
}

#[test]
fn of_several_designs_elsewhere_none_is_guessed() {
    let bench = Bench::empty();
    bench.git("init --quiet");
    bench.file("one/design.yaml", crate::bench::DESIGN);
    bench.file("two/design.yaml", crate::bench::DESIGN);
    bench.commit("two designs");
    bench.git("mv one params");
    bench.commit("moved");
    let walk = walk(&bench, None);
    assert!(walk.point(1).folder().is_none() && !walk.point(1).is_bare());
    let error = walk.point(1).list().expect_err("nobody can tell");
    assert!(error.to_string().contains("several designs"), "{error}");
}

#[test]
fn a_shallow_clone_says_where_it_is_cut_and_what_mends_it() {
    let (bench, [.., merge]) = forked();
    let clone = clone(&bench, "--depth=1");
    let walk = walk(&clone, None);
    assert_eq!(ids(&walk), [merge]);
    assert!(walk.is_cut(0));
    assert_eq!(walk.fetch(), Some("git fetch --unshallow origin"));
}

#[test]
fn replacements_are_not_used_and_are_told() {
    let (bench, [first, wide, ..]) = forked();
    assert!(!walk(&bench, None).has_replacements());
    let before = ids(&walk(&bench, None));
    bench.git(&format!("replace {wide} {first}"));
    let walk = walk(&bench, None);
    assert!(walk.has_replacements());
    assert_eq!(ids(&walk), before);
    let text = walk.point(1).read("params/jaw.yaml").expect("read");
    assert_eq!(text, b"dimensions: { width: 64 mm }\n");
}
