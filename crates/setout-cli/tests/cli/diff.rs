//! `setout diff`.

use expect_test::expect;
use serde_json::json;

use crate::bench::{Bench, keys};
use crate::jaw::{commit, committed, git, jaw};

/// A wider jaw, another formula, other words, a rename, and something more.
fn edit(bench: &Bench) {
    bench.edit("params/jaw.yaml", "value: 62 mm, min: 55 mm", "value: 66 mm, min: 50 mm");
    bench.edit("params/jaw.yaml", "play: gap / 4", "play: gap / 5 + 1 mm");
    bench.edit("params/jaw.yaml", "pulls the cheeks inwards", "pulls both cheeks far inwards");
    bench.edit(
        "params/jaw.yaml",
        "  steps: floor(width, 10 mm)",
        "  stepped: floor(width, 10 mm)\n  more: 3 mm",
    );
    bench.edit("params/frame.yaml", "  wall: { value: 3 mm", "  wall: { value: 3.2 mm");
}

#[test]
fn the_files_against_the_last_revision() {
    let bench = committed();
    edit(&bench);
    expect![[r#"
        $ setout diff
        A jaw
        before      42b8615 jaw: as it was shown to the museum
        after       the files as they stand

        fails    jaw.room, margin -1.2 mm; it held by 1 mm
                 requires    gap >= 15 mm
                 that is     13.8 mm >= 15 mm
                 because     the skin pulls both cheeks far inwards
                 from        jaw.room, frame.wall and jaw.width

        7 edits by hand:

        frame
          wall     value        3 → 3.2 mm

        jaw
          width    value        62 → 66 mm
                   limits       min 55 mm, max 70 mm → min 50 mm, max 70 mm
          play     value        4 → 3.76 mm
              was  gap / 4
                         ^
              now  gap / 5 + 1 mm
                         ^^^^^^^^
          stepped  renamed      was jaw.steps
          more     added        3 mm
          room     reason
              was  the skin pulls the cheeks inwards
                                  ^^^
              now  the skin pulls both cheeks far inwards
                                  ^^^^        ^^^^

        3 dimensions follow:

        From frame.wall:
          frame.inner        94 → 93.6 mm

        From frame.wall and jaw.width:
          jaw.gap            16 → 13.8 mm
          jaw.pose.shut.jaw  16 → 13.8 mm  via jaw.gap

        1 part has to be made again:
          jaw.jaw  printed  3.10 → 3.30 GBP     30 g
              jaw.width

        1 check keeps its verdict with another margin:
          holds  jaw.play_is_small  1 → 1.24 mm

        Schedules with other values: jaw.pose.
        Exports with other values: ../out/jaw.csv.
        All parts together: cost 4.30 → 4.50 GBP, mass 32 g as before.

        7 edits: 3 dimensions changed, 1 part has to be made again, 1 check fails.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout diff"));
}

#[test]
fn two_revisions_in_all_forms() {
    let bench = committed();
    edit(&bench);
    commit(&bench, "jaw: wider");
    let two = bench.run("setout diff HEAD~1 HEAD");
    assert_eq!(two.status, 0);
    assert_eq!(bench.run("setout diff HEAD~1..HEAD").out, two.out);
    assert_eq!(bench.run("setout diff HEAD~1..").out, two.out);
    assert_eq!(bench.run("setout diff HEAD~1...main").out, two.out);
    let working = bench.run("setout diff HEAD~1").out;
    assert!(working.contains("\nafter       the files as they stand\n"), "{working}");
    let (at, of) = (two.out.find("\n\n"), working.find("\n\n"));
    assert_eq!(two.out[at.expect("a gap")..], working[of.expect("a gap")..]);
    git(&bench, &["clone", "-q", "--bare", ".", "bare.git"]);
    let bare = bench.root().join("bare.git");
    let apart = Bench::empty();
    std::fs::rename(bare, apart.root().join("bare.git")).expect("moved");
    assert_eq!(apart.run("setout -C bare.git diff HEAD~1 HEAD").out, two.out);
    let refused = apart.run("setout -C bare.git diff");
    assert_eq!(refused.status, 2);
    assert!(refused.err.contains("bare repository"), "{}", refused.err);
}

#[test]
fn layout_comments_and_order_are_no_difference() {
    let bench = committed();
    let last = |bench: &Bench| bench.run("setout diff").out.lines().last().map(str::to_owned);
    assert_eq!(last(&bench).as_deref(), Some("Nothing differs."));
    bench.edit("params/jaw.yaml", "play: gap / 4", "play:  gap/4   # a quarter");
    let said = "Nothing differs but layout, comments or order.";
    assert_eq!(last(&bench).as_deref(), Some(said));
    let markdown = bench.run("setout diff --format markdown").out;
    assert!(markdown.starts_with(&format!("**{said}**\n")), "{markdown}");
    let json = bench.run("setout diff --format json").json();
    assert_eq!(json!([json["edits"], json["consequences"]]), json!([[], []]));
}

#[test]
fn a_model_that_changed_is_told() {
    let bench = jaw();
    bench.edit("params/jaw.yaml", "mass: 30 g, uses", "mass: 30 g, cad: ../jaw.scad, uses");
    bench.file("jaw.scad", "cube(1);\n");
    git(&bench, &["init", "-q", "-b", "main"]);
    commit(&bench, "all");
    bench.file("jaw.scad", "cube(2);\n");
    expect![[r#"
        $ setout diff
        A jaw
        before      045d1b8 all
        after       the files as they stand

        1 part has to be made again:
          jaw.jaw  printed     3.10 GBP     30 g
              its model has changed

        All parts together: cost 4.30 GBP as before, mass 32 g as before.

        No edit in the tables: no dimension changed, 1 part has to be made again, no
        check or limit got worse.
        --- status 0
    "#]]
    .assert_eq(&bench.shown("setout diff"));
}

#[test]
fn failing_is_a_status_only_when_strict() {
    let bench = committed();
    edit(&bench);
    assert_eq!(bench.run("setout diff").status, 0);
    assert_eq!(bench.run("setout diff --strict").status, 1);
    git(&bench, &["checkout", "-q", "."]);
    assert_eq!(bench.run("setout diff --strict").status, 0);
}

#[test]
fn the_document_keeps_its_keys() {
    let bench = committed();
    edit(&bench);
    let json = bench.run("setout diff --format json").json();
    let all = [
        "after",
        "before",
        "checks",
        "consequences",
        "cost",
        "edits",
        "exports",
        "limits",
        "mass",
        "parts",
        "schedules",
        "unchanged",
    ];
    assert_eq!(keys(&json), all);
    expect![[r#"
        {
          "author": "Ann",
          "revision": "42b8615c60a4e1bca63ff4be652e5fdb7048529e",
          "short": "42b8615",
          "summary": "jaw: as it was shown to the museum"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["before"]));
    assert_eq!(keys(&json["after"]), keys(&json["before"]));
    assert!(json["after"]["revision"].is_null());
    let edits = json["edits"].as_array().expect("a list").iter();
    let edits: Vec<String> = edits.map(|of| format!("{} {}", of["what"], of["name"])).collect();
    expect![[r#"
        "renamed" "jaw.stepped"
        "value" "frame.wall"
        "value" "jaw.width"
        "limits" "jaw.width"
        "value" "jaw.play"
        "added" "jaw.more"
        "reason" "jaw.room"
    "#]]
    .assert_eq(&format!("{}\n", edits.join("\n")));
    expect![[r#"
        {
          "after": 13.799999999999997,
          "because": [
            "frame.wall",
            "jaw.width"
          ],
          "before": 16.0,
          "column": 3,
          "file": "params/jaw.yaml",
          "line": 4,
          "name": "jaw.gap",
          "path": [
            "jaw.width",
            "jaw.gap"
          ],
          "unit": "mm"
        }
    "#]]
    .assert_eq(&format!("{:#}\n", json["consequences"][1]));
}

#[test]
fn faults_are_told_with_their_side() {
    let bench = committed();
    bench.edit("params/jaw.yaml", "play: gap / 4", "play: gpa / 4");
    commit(&bench, "jaw: a slip");
    bench.edit("params/frame.yaml", "width - 2 * wall", "widht - 2 * wall");
    let answer = bench.run("setout diff HEAD~1 --format json");
    assert_eq!(answer.status, 2);
    let json = answer.json();
    assert_eq!(json["edits"][0]["name"], "frame.inner");
    assert!(json["edits"][0]["after_value"].is_null());
    let one = bench.run("setout diff");
    let says: Vec<&str> = one.err.lines().filter(|line| line.contains("there is no")).collect();
    expect![[r#"
        params/frame.yaml:5:10: there is no `widht` (in the files as they stand)
        params/jaw.yaml:5:9: there is no `gpa` (in both states) [unknown-name]
    "#]]
    .assert_eq(&format!("{}\n", says.join("\n")));
    let markdown = bench.run("setout diff --format markdown");
    assert_eq!(markdown.status, 2);
    assert!(
        markdown.out.contains("**2 faults; what could be compared follows.**"),
        "{}",
        markdown.out
    );
}

#[test]
fn what_cannot_be_compared_is_refused() {
    let bench = committed();
    let calls = [
        "setout diff vanished",
        "setout diff a..b..c",
        "setout diff main..main main",
        "setout diff main:params",
        "setout diff a b c",
    ];
    let shown: Vec<String> = calls.iter().map(|call| bench.shown(call)).collect();
    expect![[r#"
        $ setout diff vanished
        --- standard error
        setout: there is no revision 'vanished' [not-found]
          help: git log --oneline --all lists the revisions
        --- status 2

        $ setout diff a..b..c
        --- standard error
        setout: 'b..c' does not name a revision [bad-call]
          help: name a branch, a tag, a commit, or one before it as in HEAD~2
        --- status 2

        $ setout diff main..main main
        --- standard error
        setout: 'main..main main' does not name a revision [bad-call]
          help: name a branch, a tag, a commit, or one before it as in HEAD~2
        --- status 2

        $ setout diff main:params
        --- standard error
        setout: 'main:params' is a file or a folder, not a revision [bad-call]
          help: name the revision alone, without a path
        --- status 2

        $ setout diff a b c
        --- standard error
        setout: `c` is one word too many [bad-call]
          help: --help after the command shows how it is called
        --- status 2
    "#]]
    .assert_eq(&shown.join("\n"));
    let slug = |call: &str| bench.run(call).json()["faults"][0]["fault"].clone();
    assert_eq!(slug("setout diff vanished --format json"), "not-found");
    assert_eq!(slug("setout diff a..b..c --format json"), "bad-call");
    let alone = jaw().run("setout diff --format json");
    assert_eq!((alone.status, &alone.json()["faults"][0]["fault"]), (2, &"io".into()));
}

#[test]
fn a_comment_for_a_review() {
    let bench = committed();
    edit(&bench);
    expect![[r#"
        $ setout diff --format markdown
        **7 edits: 3 dimensions changed, 1 part has to be made again, 1 check fails.**

        - before: 42b8615 jaw: as it was shown to the museum
        - after: the files as they stand

        1 check turned:

        | now | name | margin | requires | because |
        | --- | --- | --- | --- | --- |
        | **fails** | `jaw.room` | 1 → -1.2 mm | `gap >= 15 mm` | the skin pulls both cheeks far inwards |

        7 edits by hand:

        | name | what | before | after |
        | --- | --- | --- | --- |
        | `jaw.stepped` | renamed | `jaw.steps` | `jaw.stepped` |
        | `frame.wall` | value | `3 mm` | `3.2 mm` |
        | `jaw.width` | value | `62 mm` | `66 mm` |
        | `jaw.width` | limits | `min 55 mm, max 70 mm` | `min 50 mm, max 70 mm` |
        | `jaw.play` | value | `gap / 4` = `4 mm` | `gap / 5 + 1 mm` = `3.76 mm` |
        | `jaw.more` | added |  | `3 mm` |
        | `jaw.room` | reason | `the skin pulls the cheeks inwards` | `the skin pulls both cheeks far inwards` |

        <details><summary>3 dimensions follow</summary>

        | name | value | because |
        | --- | --- | --- |
        | `frame.inner` | `94 → 93.6 mm` | `frame.wall` |
        | `jaw.gap` | `16 → 13.8 mm` | `frame.wall` and `jaw.width` |
        | `jaw.pose.shut.jaw` | `16 → 13.8 mm` | `frame.wall` and `jaw.width` |

        </details>

        <details><summary>1 part has to be made again</summary>

        | part |  | cost | mass | of what it uses changed |
        | --- | --- | --- | --- | --- |
        | `jaw.jaw` | make again | 3.10 → 3.30 GBP | 30 g as before | `jaw.width` |

        </details>

        <details><summary>1 check with another margin</summary>

        | still | check | margin |
        | --- | --- | --- |
        | holds | `jaw.play_is_small` | 1 → 1.24 mm |

        </details>

        All parts together: cost 4.30 → 4.50 GBP, mass 32 g as before.
        --- status 0
    "#]].assert_eq(&bench.shown("setout diff --format markdown"));
}

/// Nothing of a stranger's texts is obeyed by the host that shows the comment.
#[test]
fn a_comment_is_inert() {
    let bench = committed();
    let evil = "'ask @all | <img src=//x> `x` &amp; [y](http://z) #1 *b* ![i](j)'";
    bench.edit("params/jaw.yaml", "air on both sides of the jaw", evil.trim_matches('\''));
    bench.edit("params/jaw.yaml", "note: ask", "note: 'ask");
    bench.edit("params/jaw.yaml", "![i](j) }", "![i](j)' }");
    let markdown = bench.run("setout diff --format markdown").out;
    let row = markdown.lines().find(|line| line.contains("note")).expect("a row");
    expect![[r#"
        | `jaw.gap` | note | `air on both sides of the jaw` | `ask @all `&#124;` <img src=//x> `&#96;`x`&#96;` &amp; [y](http://z) #1 *b* ![i](j)` |
    "#]].assert_eq(&format!("{row}\n"));
}

/// Hosts cut or refuse what is larger.
#[test]
fn a_comment_is_never_too_large() {
    let bench = committed();
    let lines = |size: &str| -> String {
        let line = |n: usize| {
            format!(
                "  d{n}: {{ value: {size}, note: \"{} {size}\" }}\n  e{n}: d{n} * 2\n",
                "&|".repeat(90)
            )
        };
        (0..3_000).map(line).collect()
    };
    bench.file("params/many.yaml", &format!("dimensions:\n{}", lines("1 mm")));
    commit(&bench, "many");
    bench.file("params/many.yaml", &format!("dimensions:\n{}", lines("2 mm")));
    let markdown = bench.run("setout diff --format markdown").out;
    assert!(markdown.len() < 60_000, "{}", markdown.len());
    assert_eq!(markdown.matches("\nand ").count(), 2);
    assert_eq!(markdown.matches("<details>").count(), markdown.matches("</details>").count());
}

#[test]
fn what_newly_fails_for_services() {
    let bench = committed();
    edit(&bench);
    expect![[r#"
        $ setout diff --format annotations
        ::error title=jaw.room,file=params/jaw.yaml,line=16,col=3::jaw.room fails, margin -1.2 mm%0Arequires gap >= 15 mm; that is 13.8 mm >= 15 mm; because the skin pulls both cheeks far inwards
        1 error.
        --- status 0
    "#]].assert_eq(&bench.shown("setout diff --format annotations"));
    let sarif = bench.run("setout diff --format sarif");
    assert_eq!(sarif.status, 0);
    let lines = bench.run("setout diff --format annotations").out;
    let shown = lines.lines().filter(|l| l.starts_with("::error") || l.starts_with("::warning"));
    let results = &sarif.json()["runs"][0]["results"];
    assert_eq!(results.as_array().map(Vec::len), Some(shown.count()));
}
