//! Whole designs merged where one side, or both, gave things other names.

use setout_design::merge::{ConflictKind, Labels, MergedDesign, merge_designs};
use setout_design::{Design, Memory};

/// A design of these tables, by name.
fn design(tables: &[(&str, &str)]) -> Memory {
    let mut memory = Memory::new([("params/design.yaml", "setout: 1\n")]);
    for (name, text) in tables {
        memory.insert(format!("params/{name}.yaml"), *text);
    }
    memory
}

fn merged(base: &Memory, ours: &Memory, theirs: &Memory) -> MergedDesign {
    merge_designs(base, ours, theirs, &Labels::default()).unwrap()
}

/// What is in conflict: table, name, kind.
fn conflicts(of: &MergedDesign) -> Vec<(&str, &str, ConflictKind)> {
    let file = |path: &'_ str| path.trim_start_matches("params/").len();
    let mut found: Vec<_> = of
        .conflicts
        .iter()
        .map(|(path, of)| (&path[path.len() - file(path)..], &*of.name, of.what))
        .collect();
    found.sort_unstable();
    found
}

/// Both ways round the same conflicts. Gives the result with ours first.
#[track_caller]
fn marked(
    [base, ours, theirs]: [&Memory; 3],
    expected: &[(&str, &str, ConflictKind)],
) -> MergedDesign {
    let (one, other) = (merged(base, ours, theirs), merged(base, theirs, ours));
    assert_eq!(conflicts(&one), expected, "{:?}", one.files);
    assert_eq!(conflicts(&other), expected, "{:?}", other.files);
    one
}

/// Both ways round the same files, without a conflict and without a fault.
#[track_caller]
fn clean([base, ours, theirs]: [&Memory; 3]) -> MergedDesign {
    let (one, other) = (merged(base, ours, theirs), merged(base, theirs, ours));
    assert_eq!((conflicts(&one), conflicts(&other)), (vec![], vec![]), "{:?}", one.files);
    assert_eq!(one.files, other.files);
    assert_eq!(Design::read(&one.texts()).evaluate().faults(), []);
    one
}

const JAW: &str = "dimensions:\n  width: 62 mm\n  half: width / 2\n";
const LIP: &str = "dimensions:\n  gap: jaw.width - 60 mm\n";

/// The jaw with its width under another name.
fn jaw(name: &str) -> String {
    JAW.replace("width", name)
}

fn lip(name: &str) -> String {
    LIP.replace("jaw.width", name)
}

#[test]
fn two_new_names_for_one_thing_are_marked() {
    let base = design(&[("jaw", JAW)]);
    let [a, b] = ["width_a", "width_b"].map(|name| design(&[("jaw", &jaw(name))]));
    let expected = [
        ("jaw.yaml", "half.value", ConflictKind::Changed),
        ("jaw.yaml", "width", ConflictKind::Renamed),
    ];
    let found = marked([&base, &a, &b], &expected);
    let marks = "<<<<<<< ours\n  width_a: 62 mm\n||||||| base\n  width: 62 mm\n=======\n  \
                 width_b: 62 mm\n>>>>>>> theirs\n";
    assert!(found.files["params/jaw.yaml"].contains(marks), "{found:?}");
}

#[test]
fn moves_of_one_thing_to_two_tables_are_marked_in_both() {
    let tables = |jaw: &str, lip: &str, ear: &str| {
        design(&[("jaw", &format!("about: x\n{jaw}")), ("lip", lip), ("ear", ear)])
    };
    let (own, more) = ("dimensions:\n  a: 1 mm\n", "dimensions:\n  a: 1 mm\n  width: 62 mm\n");
    let base = tables("dimensions:\n  width: 62 mm\n", own, own);
    let (to_lip, to_ear) = (tables("", more, own), tables("", own, more));
    let expected = [
        ("ear.yaml", "jaw.width", ConflictKind::Renamed),
        ("lip.yaml", "jaw.width", ConflictKind::Renamed),
    ];
    let found = marked([&base, &to_lip, &to_ear], &expected);
    let marks = "dimensions:\n  a: 1 mm\n<<<<<<< ours\n  width: 62 mm\n||||||| base\n=======\n\
                 >>>>>>> theirs\n";
    assert_eq!(found.files["params/lip.yaml"], marks);
}

#[test]
fn one_new_name_for_two_things_is_marked() {
    let base = design(&[("jaw", "dimensions:\n  wall_a: 2 mm\n  wall_b: 2 mm\n  top: 1 mm\n")]);
    let ours = design(&[("jaw", "dimensions:\n  wall_c: 2 mm\n  wall_b: 2 mm\n  top: 1 mm\n")]);
    let theirs = design(&[("jaw", "dimensions:\n  wall_a: 2 mm\n  wall_c: 2 mm\n  top: 1 mm\n")]);
    marked([&base, &ours, &theirs], &[("jaw.yaml", "wall_c", ConflictKind::Renamed)]);
}

/// What ours wrote of its new name must not come to read what theirs calls so.
#[test]
fn a_new_name_that_the_other_side_took_is_marked() {
    let base = design(&[("jaw", JAW)]);
    let ours = design(&[("jaw", &format!("{}  third: width_a / 3\n", jaw("width_a")))]);
    let theirs = design(&[("jaw", &format!("{JAW}  width_a: 3 mm\n"))]);
    marked([&base, &ours, &theirs], &[("jaw.yaml", "width_a", ConflictKind::Added)]);
}

#[test]
fn renamed_on_one_side_and_deleted_on_the_other_is_marked() {
    let base = design(&[("jaw", JAW), ("lip", LIP)]);
    let gone = design(&[("jaw", "dimensions:\n  half: 31 mm\n"), ("lip", &lip("62 mm"))]);
    let renamed = design(&[("jaw", &jaw("width_a")), ("lip", &lip("jaw.width_a"))]);
    let expected = [
        ("jaw.yaml", "half.value", ConflictKind::Changed),
        ("jaw.yaml", "width", ConflictKind::Renamed),
        ("lip.yaml", "gap.value", ConflictKind::Changed),
    ];
    marked([&base, &renamed, &gone], &expected);
    let moved = design(&[
        ("jaw", "dimensions:\n  half: lip.width / 2\n"),
        ("lip", &format!("{}  width: 62 mm\n", lip("width"))),
    ]);
    let expected = [
        ("jaw.yaml", "half.value", ConflictKind::Changed),
        ("lip.yaml", "gap.value", ConflictKind::Changed),
        ("lip.yaml", "jaw.width", ConflictKind::Renamed),
    ];
    marked([&base, &moved, &gone], &expected);
}

#[test]
fn tables_with_two_new_names_or_none_are_marked() {
    let base = design(&[("jaw", JAW), ("lip", LIP)]);
    let under = |name: &str| design(&[(name, JAW), ("lip", &lip(&format!("{name}.width")))]);
    let expected = [
        ("chin.yaml", "jaw", ConflictKind::Renamed),
        ("jowl.yaml", "jaw", ConflictKind::Renamed),
        ("lip.yaml", "gap.value", ConflictKind::Changed),
    ];
    marked([&base, &under("chin"), &under("jowl")], &expected);
    let gone = design(&[("lip", &lip("62 mm"))]);
    let expected = [
        ("chin.yaml", "jaw", ConflictKind::Renamed),
        ("lip.yaml", "gap.value", ConflictKind::Changed),
    ];
    marked([&base, &under("chin"), &gone], &expected);
    // A table of the new name that is another table.
    let other = design(&[("jaw", JAW), ("lip", LIP), ("chin", "dimensions:\n  a: 1 mm\n")]);
    marked([&base, &under("chin"), &other], &[("chin.yaml", "chin", ConflictKind::Renamed)]);
}

#[test]
fn a_thing_renamed_in_a_table_that_the_other_side_renamed_has_both_names() {
    let base = design(&[("jaw", JAW), ("lip", LIP)]);
    let ours = design(&[
        ("jaw", &format!("{}  quarter: width_a / 4\n", jaw("width_a"))),
        ("lip", &lip("jaw.width_a")),
    ]);
    let theirs = design(&[
        ("chin", JAW),
        ("lip", &format!("{}  twice: chin.width * 2\n", lip("chin.width"))),
    ]);
    let found = clean([&base, &ours, &theirs]);
    assert_eq!(
        found.files["params/chin.yaml"],
        format!("{}  quarter: width_a / 4\n", jaw("width_a"))
    );
    assert_eq!(
        found.files["params/lip.yaml"],
        "dimensions:\n  gap: chin.width_a - 60 mm\n  twice: chin.width_a * 2\n"
    );
}

/// Both sides made the same rename: there is nothing to follow.
#[test]
fn the_same_new_name_on_both_sides_is_one() {
    let base = design(&[("jaw", JAW)]);
    let ours = design(&[("jaw", &jaw("width_a"))]);
    let theirs = design(&[("jaw", &format!("{}  quarter: width_a / 4\n", jaw("width_a")))]);
    let found = clean([&base, &ours, &theirs]);
    assert_eq!(
        found.files["params/jaw.yaml"],
        format!("{}  quarter: width_a / 4\n", jaw("width_a"))
    );
}

/// A side with a fault is not renamed in: the base must not be either, or the new name would look
/// as if that side had taken it back.
#[test]
fn a_side_with_a_fault_keeps_the_other_sides_new_name() {
    let base = design(&[("jaw", JAW), ("lip", LIP)]);
    let ours = design(&[("jaw", &jaw("width_a")), ("lip", &lip("jaw.width_a"))]);
    let theirs = design(&[
        ("jaw", &JAW.replace("62", "63")),
        ("lip", &format!("{LIP}  bad: nothing * 2\n")),
    ]);
    for found in [merged(&base, &ours, &theirs), merged(&base, &theirs, &ours)] {
        assert_eq!(conflicts(&found), []);
        assert_eq!(found.files["params/jaw.yaml"], jaw("width_a").replace("62", "63"));
        assert_eq!(
            found.files["params/lip.yaml"],
            format!("{}  bad: nothing * 2\n", lip("jaw.width_a"))
        );
    }
}

/// Exports and models stand outside the design's folder.
#[test]
fn renames_are_followed_where_a_design_has_exports_and_models() {
    let with = |jaw: &str| {
        let mut memory = design(&[(
            "jaw",
            &format!(
                "{jaw}parts:\n  shell: {{ made: bought, cad: ../cad/shell.scad, uses: [half] }}\n"
            ),
        )]);
        let exports = "exports:\n  - { format: csv, file: ../out/all.csv }\n";
        memory.insert("params/design.yaml", format!("setout: 1\n{exports}"));
        memory.insert("cad/shell.scad", "cube(1);\n");
        memory
    };
    let theirs = format!("{}  third: width / 3\n", JAW.replace("62", "63"));
    let found = merged(&with(JAW), &with(&jaw("width_a")), &with(&theirs));
    assert_eq!(conflicts(&found), []);
    let text = &found.files["params/jaw.yaml"];
    let wanted = "dimensions:\n  width_a: 63 mm\n  half: width_a / 2\n  third: width_a / 3\n";
    assert!(text.starts_with(wanted), "{text}");
}
