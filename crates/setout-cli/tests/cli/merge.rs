//! `setout merge`: three files, a branch looked at before, and git told to merge by it.

use expect_test::expect;
use serde_json::json;

use crate::bench::{Bench, LID};
use crate::jaw::{commit, git};

/// The lid in three states, and a design that it is a table of.
fn three(ours: [&str; 2], theirs: [&str; 2]) -> Bench {
    let bench = Bench::lid();
    let base = LID[1].1;
    bench.file("base", base);
    bench.file("params/lid.yaml", &base.replace(ours[0], ours[1]));
    bench.file("theirs", &base.replace(theirs[0], theirs[1]));
    bench
}

#[test]
fn the_merged_table_goes_where_it_is_asked_for() {
    let bench = three(["62 mm", "63 mm"], ["min: 55 mm", "min: 56 mm"]);
    let both = LID[1].1.replace("62 mm", "63 mm").replace("min: 55 mm", "min: 56 mm");
    let call = "setout merge base params/lid.yaml theirs";
    let answer = bench.run(call);
    assert_eq!((answer.out.as_str(), answer.err.as_str(), answer.status), (&*both, "", 0));
    assert_eq!(bench.run(&format!("{call} --output out.yaml")).out, "");
    assert_eq!(bench.text("out.yaml"), both);
    assert_eq!(bench.run(&format!("{call} --in-place")).status, 0);
    assert_eq!(bench.text("params/lid.yaml"), both);
    let document = bench.run(&format!("{call} --format json")).json();
    assert_eq!(document["conflicts"], json!([]));
    assert_eq!(document["by_lines"], json!(null));
}

#[test]
fn conflicts_are_named_with_their_lines() {
    let bench = three(["62 mm", "63 mm"], ["62 mm", "64 mm"]);
    let call = "setout merge base params/lid.yaml theirs --labels old mine yours";
    let answer = bench.run(call);
    assert_eq!(answer.status, 1);
    assert!(answer.out.contains("<<<<<<< mine\n  width: { value: 63 mm"), "{}", answer.out);
    expect![[r#"
        params/lid.yaml: 1 conflict to settle.
          line 2: width.value changed on both sides
    "#]]
    .assert_eq(&answer.err);
    let json = bench.run(&format!("{call} --format json")).json();
    let conflict = &json["conflicts"][0];
    assert_eq!((&conflict["name"], &conflict["what"]), (&json!("width.value"), &json!("changed")));
}

/// Both sides are sound; together a formula names what is gone.
#[test]
fn a_fault_that_the_merge_brings_is_said() {
    let bench = three(
        ["  screw: { text: M4, one_of: [M3, M4] }\n", ""],
        ["checks:", "  x: inner\nchecks:"],
    );
    bench.file("theirs", &LID[1].1.replace("checks:", "  pin: screw\nchecks:"));
    let own = bench.text("params/lid.yaml").replace("uses: [inner, screw]", "uses: [inner]");
    bench.file("params/lid.yaml", &own);
    let answer = bench.run("setout merge base params/lid.yaml theirs");
    assert_eq!(answer.status, 2, "{}{}", answer.out, answer.err);
    expect![[r#"
        params/lid.yaml: merged without a conflict, but it brings 1 fault, which neither
        side has by itself.
        params/lid.yaml:4:8: there is no `screw` [unknown-name]
              pin: screw
                   ^
          help: for a text, write `pin: { text: screw }`; for a dimension, add `screw`
            to the table `lid`
    "#]]
    .assert_eq(&answer.err);
    assert!(answer.out.contains("pin: screw"), "the table is given all the same");
    let json = bench.run("setout merge base params/lid.yaml theirs --format json").json();
    assert_eq!(json["faults"][0]["fault"], "unknown-name");
    // The same file elsewhere is no table of the design, and nothing is said of it.
    bench.file("lid.yaml", &own);
    let elsewhere = bench.run("setout merge base lid.yaml theirs");
    assert_eq!((elsewhere.err.as_str(), elsewhere.status), ("", 0));
    let as_a_table = bench.run("setout merge base lid.yaml theirs --output params/lid.yaml");
    assert_eq!(as_a_table.status, 2);
}

/// Each side leaves room; both together do not.
#[test]
fn a_check_that_the_merge_breaks_is_said() {
    let bench = three(["62 mm", "61 mm"], ["2 * 1.5 mm", "2 * 2 mm"]);
    let call = "setout merge base params/lid.yaml theirs";
    let json = bench.run(&format!("{call} --format json")).json();
    assert_eq!((&json["checks"][0]["name"], &json["limits"]), (&json!("lid.room"), &json!([])));
    let answer = bench.run(&format!("{call} --in-place"));
    assert_eq!((answer.out.as_str(), answer.status), ("", 1));
    expect![[r#"
        params/lid.yaml: merged without a conflict, but it brings 1 check that does not
        hold, which neither side has by itself.

        fails    lid.room, margin -1 mm
                 requires    inner >= 58 mm
                 that is     57 mm >= 58 mm
                 because     the ball has to go in
                 at          params/lid.yaml:6:3
    "#]]
    .assert_eq(&answer.err);
    assert!(bench.text("params/lid.yaml").contains("2 * 2 mm"), "it is written");
}

/// What git gives to its driver.
#[test]
fn marks_are_as_git_asks_for_them() {
    let bench = three(["62 mm", "63 mm"], ["62 mm", "64 mm"]);
    let call = "setout merge --path params/lid.yaml --marks 9 --labels %S %X %Y -- base \
                params/lid.yaml theirs";
    let answer = bench.run(call);
    let marks: Vec<&str> = answer.out.lines().filter(|line| !line.starts_with(' ')).collect();
    let wanted = ["<<<<<<<<< ours", "||||||||| base", "=========", ">>>>>>>>> theirs"];
    assert!(wanted.iter().all(|mark| marks.contains(mark)), "{}", answer.out);
    for marks in ["0", "6", "1000000000000"] {
        let answer = bench.run(&call.replace('9', marks));
        assert_eq!((answer.out.as_str(), answer.status), ("", 2));
    }
}

#[test]
fn a_call_without_three_files_says_what_it_needs() {
    let bench = three(["62", "63"], ["62", "62"]);
    for call in ["setout merge", "setout merge base", "setout merge base theirs"] {
        let answer = bench.run(call);
        assert_eq!(answer.status, 2);
        assert!(answer.err.contains("a merge takes three files"), "{}", answer.err);
    }
    let missing = bench.run("setout merge base params/lid.yaml nothing");
    assert_eq!(missing.status, 2);
    assert!(missing.err.contains("nothing cannot be read"), "{}", missing.err);
}

/// Each side holds by itself; both together leave no room.
#[test]
fn a_branch_is_looked_at_before_it_is_merged() {
    let bench = Bench::lid();
    git(&bench, &["init", "-q", "-b", "main"]);
    commit(&bench, "base");
    git(&bench, &["checkout", "-q", "-b", "side"]);
    bench.file("params/lid.yaml", &LID[1].1.replace("2 * 1.5 mm", "2 * 2 mm"));
    commit(&bench, "thicker");
    git(&bench, &["checkout", "-q", "main"]);
    let call = "setout merge --preview side";
    assert!(bench.run(call).out.contains("merges cleanly"), "{}", bench.run(call).out);
    bench.file("params/lid.yaml", &LID[1].1.replace("62 mm", "61 mm"));
    commit(&bench, "narrower");
    let before = bench.text("params/lid.yaml");
    let answer = bench.run(call);
    assert_eq!(answer.status, 1);
    expect![[r#"
        fails    lid.room, margin -1 mm
                 requires    inner >= 58 mm
                 that is     57 mm >= 58 mm
                 because     the ball has to go in
                 at          params/lid.yaml:6:3

        side merges without a conflict, but brings 1 check that does not hold, which
        neither side has by itself. Nothing has been written.
    "#]]
    .assert_eq(&answer.out);
    assert_eq!(bench.text("params/lid.yaml"), before);
    let json = bench.run(&format!("{call} --format json")).json();
    assert_eq!((&json["checks"][0]["name"], &json["conflicts"]), (&json!("lid.room"), &json!([])));
    assert_eq!(bench.run("setout merge --preview nobody").status, 2);
}

#[test]
fn git_is_told_once() {
    let bench = Bench::lid();
    let refused = bench.run("setout merge --install");
    assert_eq!(refused.status, 2);
    git(&bench, &["init", "-q", "-b", "main"]);
    bench.file(".gitattributes", "*.stl binary");
    commit(&bench, "base");
    bench.run("setout merge --install");
    let attributes = "*.stl binary\n/params/*.yaml merge=setout diff=setout\n";
    assert_eq!(bench.text(".gitattributes"), attributes);
    let again = bench.run("setout merge --install");
    assert!(!again.out.contains("added") && !again.out.contains("set "), "{}", again.out);
    assert_eq!(bench.text(".gitattributes"), attributes);
    // Attributes nearer to the tables count more, and no second line helps.
    bench.file("params/.gitattributes", "lid.yaml -diff\n");
    let overruled = bench.run("setout merge --install");
    assert_eq!((overruled.status, bench.text(".gitattributes")), (1, attributes.to_owned()));
    let told = "the attribute diff of params/lid.yaml is unset; another line, or";
    assert!(overruled.out.contains(told), "{}", overruled.out);
    assert!(overruled.out.contains("Commit .gitattributes"), "{}", overruled.out);
    commit(&bench, "attributes");
    let json = bench.run("setout merge --verify --format json").json();
    assert_eq!(json["to_commit"], json!(null));
    let items = json["items"].as_array().expect("items");
    let active =
        |what: &str| items.iter().any(|item| item["what"] == what && item["active"] == true);
    assert!(active("merge.setout.driver") && active("diff.setout.textconv"), "{json}");
}

#[test]
fn facts_are_lines_for_git() {
    let bench = Bench::lid();
    expect![[r#"
        inner: width - 2 * 1.5 mm
        screw.text: M4
        screw.one_of: [M3, M4]
        width: 62 mm
        width.min: 55 mm
        width.max: 70 mm
        width.tolerance: ±0.2 mm
        width.note: over all
        room.require: inner >= 58 mm
        room.tight: 0.5 mm
        room.why: the ball has to go in
        lid.made: bought
        lid.cost: 1.20 GBP
        lid.mass: 38 g
        lid.uses: inner, screw
    "#]]
    .assert_eq(&bench.run("setout show --facts params/lid.yaml").out);
    bench.file("odd", "{ no: [table\n");
    assert_eq!(bench.run("setout show --facts odd").out, "{ no: [table\n");
    assert_eq!(bench.run("setout show --facts params/lid.yaml --format json").status, 2);
}
