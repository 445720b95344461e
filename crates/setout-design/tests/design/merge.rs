//! Three states of a table come to one, or to marks that a person settles.

use setout_design::merge::{ConflictKind, Labels, MergedTable, ThreeWay, merge_table};

fn merge(base: &str, ours: &str, theirs: &str) -> MergedTable {
    merge_table(ThreeWay { base, ours, theirs }, &Labels::default())
}

/// Both ways round. Gives the text with ours first.
#[track_caller]
fn clean(base: &str, ours: &str, theirs: &str) -> String {
    let (one, other) = (merge(base, ours, theirs), merge(base, theirs, ours));
    assert_eq!(one.conflicts, [], "{}", one.text);
    assert_eq!(other.conflicts, [], "{}", other.text);
    assert_eq!((&one.by_lines, &other.by_lines), (&None, &None), "{}", one.text);
    one.text
}

/// The names in conflict, both ways round the same.
#[track_caller]
fn marked(base: &str, ours: &str, theirs: &str) -> (Vec<(String, ConflictKind)>, String) {
    let (one, other) = (merge(base, ours, theirs), merge(base, theirs, ours));
    let names = |of: &MergedTable| -> Vec<(String, ConflictKind)> {
        let mut names: Vec<_> = of.conflicts.iter().map(|of| (of.name.clone(), of.what)).collect();
        names.sort();
        names
    };
    assert_eq!(names(&one), names(&other), "{}\n{}", one.text, other.text);
    assert_eq!(one.by_lines, None);
    (names(&one), one.text)
}

const LID: &str = "\
about: the lid
dimensions:
  # over all
  width: 62 mm
  wall: 2.4 mm      # as printed
  arm:
    value: width * 0.35
    min: 18 mm
    note: long enough

  # where it turns
  pivot: { value: 3 mm, max: 4 mm }
schedules:
  servo:
    columns: { channel: count, neutral: deg }
    rows:
      left: [0, 90 deg]
      right: [1, 90 deg]
checks:
  fits: { require: width <= 70 mm, why: the socket }
parts:
  shell: { made: bought, cost: 2 GBP, uses: [width, wall] }
";

fn lid(pairs: &[(&str, &str)]) -> String {
    pairs.iter().fold(LID.to_owned(), |text, (old, new)| {
        assert_eq!(text.matches(old).count(), 1, "{old}");
        text.replace(old, new)
    })
}

#[test]
fn one_side_alone_is_taken_as_it_is() {
    let other = LID.replace("62", "63").replace("  wall", "  # new\n  wall");
    for (ours, theirs) in [(&*other, LID), (LID, &*other), (&*other, &*other)] {
        assert_eq!(merge(LID, ours, theirs).text, other);
    }
    assert_eq!(merge("", LID, "").text, LID);
    assert_eq!(merge("", LID, LID).text, LID);
}

#[test]
fn neighbours_and_fields_of_one_thing_merge() {
    let ours = lid(&[("62 mm", "63 mm"), ("min: 18 mm", "min: 19 mm"), ("max: 4 mm", "max: 5 mm")]);
    let theirs = lid(&[
        ("2.4 mm  ", "2.6 mm  "),
        ("long enough", "for the horn"),
        ("value: 3 mm", "value: 3.5 mm"),
        ("cost: 2 GBP", "cost: 3 GBP"),
    ]);
    let both = lid(&[
        ("62 mm", "63 mm"),
        ("min: 18 mm", "min: 19 mm"),
        ("{ value: 3 mm, max: 4 mm }", "{ value: 3.5 mm, max: 5 mm }"),
        ("2.4 mm  ", "2.6 mm  "),
        ("long enough", "for the horn"),
        ("cost: 2 GBP", "cost: 3 GBP"),
    ]);
    assert_eq!(clean(LID, &ours, &theirs), both);
}

#[test]
fn a_short_form_and_a_long_one_are_the_same_thing() {
    let ours = lid(&[("width: 62 mm", "width: 63 mm")]);
    let braces = lid(&[("width: 62 mm", "width: { value: 62 mm, min: 55 mm }")]);
    let both = lid(&[("width: 62 mm", "width: { value: 63 mm, min: 55 mm }")]);
    assert_eq!(clean(LID, &ours, &braces), both);
    let lines = lid(&[("width: 62 mm", "width:\n    value: 62 mm\n    min: 55 mm   # paint")]);
    let both = lid(&[("width: 62 mm", "width:\n    value: 63 mm\n    min: 55 mm   # paint")]);
    assert_eq!(clean(LID, &ours, &lines), both);
    let max = lid(&[("width: 62 mm", "width: { value: 62 mm, max: 70 mm }")]);
    let both = lid(&[("width: 62 mm", "width: { value: 62 mm, min: 55 mm, max: 70 mm }")]);
    assert_eq!(clean(LID, &braces, &max), both);
}

#[test]
fn additions_stand_behind_their_neighbours() {
    let ours = lid(&[
        ("  wall:", "  gap: 1 mm\n  wall:"),
        ("checks:", "checks:\n  open: { require: gap > 0 mm, why: air }"),
    ]);
    let theirs = lid(&[
        ("  arm:", "  # of the rim\n  rim: 4 mm    # outside\n  arm:"),
        ("max: 4 mm }\n", "max: 4 mm }\n  last: 1 mm\n"),
    ]);
    let text = clean(LID, &ours, &theirs);
    let both = lid(&[
        ("  wall:", "  gap: 1 mm\n  wall:"),
        ("checks:", "checks:\n  open: { require: gap > 0 mm, why: air }"),
        ("  arm:", "  # of the rim\n  rim: 4 mm    # outside\n  arm:"),
        ("max: 4 mm }\n", "max: 4 mm }\n  last: 1 mm\n"),
    ]);
    assert_eq!(text, both);
}

#[test]
fn sections_that_both_sides_add_are_one() {
    let base = "dimensions:\n  a: 1 mm\n";
    let ours = "dimensions:\n  a: 1 mm\nchecks:\n  x: { require: a > 0 mm, why: x }\n";
    let theirs = "dimensions:\n  a: 1 mm\nchecks:\n  y: { require: a > 0 mm, why: y }\n";
    assert_eq!(
        clean(base, ours, theirs),
        "dimensions:\n  a: 1 mm\nchecks:\n  y: { require: a > 0 mm, why: y }\n  \
         x: { require: a > 0 mm, why: x }\n"
    );
    // Two tables of one name, made on both sides.
    assert_eq!(
        clean("", "dimensions:\n  a: 1 mm\n", "dimensions:\n  b: 2 mm\n"),
        "dimensions:\n  b: 2 mm\n  a: 1 mm\n"
    );
}

#[test]
fn cells_of_a_row_merge_and_so_do_columns() {
    let ours = lid(&[("left: [0, 90 deg]", "left: [4, 90 deg]")]);
    let theirs = lid(&[("left: [0, 90 deg]", "left: [0, 85 deg]")]);
    let both = lid(&[("left: [0, 90 deg]", "left: [4, 85 deg]")]);
    assert_eq!(clean(LID, &ours, &theirs), both);
    let column = lid(&[
        ("neutral: deg }", "neutral: deg, stall: A }"),
        ("left: [0, 90 deg]", "left: [0, 90 deg, 2.5 A]"),
        ("right: [1, 90 deg]", "right: [1, 90 deg, 2 A]"),
    ]);
    let both = lid(&[
        ("neutral: deg }", "neutral: deg, stall: A }"),
        ("left: [0, 90 deg]", "left: [4, 90 deg, 2.5 A]"),
        ("right: [1, 90 deg]", "right: [1, 90 deg, 2 A]"),
    ]);
    assert_eq!(clean(LID, &ours, &column), both);
    // Each side has a column of its own; the cells go by their names.
    let turned = lid(&[
        ("{ channel: count, neutral: deg }", "{ neutral: deg, channel: count, side: text }"),
        ("left: [0, 90 deg]", "left: [90 deg, 0, L]"),
        ("right: [1, 90 deg]", "right: [90 deg, 1, R]"),
    ]);
    let text = clean(LID, &column, &turned);
    assert!(
        text.contains("columns: { channel: count, neutral: deg, stall: A, side: text }"),
        "{text}"
    );
    assert!(text.contains("left: [0, 90 deg, 2.5 A, L]"), "{text}");
}

/// A row of the old columns beside new ones has no cell for these, and is never read by place.
#[test]
fn a_row_without_a_cell_for_a_new_column_is_marked() {
    let ours = lid(&[("      right:", "      tail: [2, 90 deg]\n      right:")]);
    let theirs = lid(&[
        ("{ channel: count, neutral: deg }", "{ neutral: deg, channel: count, x: count }"),
        ("left: [0, 90 deg]", "left: [90 deg, 0, 7]"),
        ("right: [1, 90 deg]", "right: [90 deg, 1, 8]"),
    ]);
    let (names, text) = marked(LID, &ours, &theirs);
    assert_eq!(names, [("servo".into(), ConflictKind::Changed)], "{text}");
}

#[test]
fn the_same_field_changed_both_ways_is_marked() {
    let ours = lid(&[("62 mm", "63 mm"), ("2.4 mm  ", "2.6 mm  ")]);
    let theirs = lid(&[("62 mm", "64 mm"), ("18 mm", "19 mm")]);
    let (names, text) = marked(LID, &ours, &theirs);
    assert_eq!(names, [("width.value".into(), ConflictKind::Changed)]);
    let marks = "  # over all\n<<<<<<< ours\n  width: 63 mm\n||||||| base\n  width: 62 mm\n\
                 =======\n  width: 64 mm\n>>>>>>> theirs\n  wall: 2.6 mm";
    assert!(text.contains(marks), "{text}");
    assert!(text.contains("min: 19 mm"), "{text}");
    let conflict = &merge(LID, &ours, &theirs).conflicts[0];
    assert_eq!((conflict.line, conflict.ours.as_deref()), (4, Some("width: 63 mm")));
    assert_eq!(conflict.base.as_deref(), Some("width: 62 mm"));
}

/// The example in the documents is what comes out.
#[test]
fn the_documents_show_a_conflict_as_it_is() {
    let base = "dimensions:\n  # over all\n  width: 62 mm\n  wall: 2.4 mm\n";
    let ours = base.replace("62", "63").replace("2.4", "2.6");
    let theirs = base.replace("62", "64");
    let labels = Labels {
        base: "1f3c2d1".into(),
        ours: "HEAD".into(),
        theirs: "side".into(),
        ..Labels::default()
    };
    let merged = merge_table(ThreeWay { base, ours: &ours, theirs: &theirs }, &labels);
    let documents = include_str!("../../../../docs/merging.md");
    assert!(documents.contains(&format!("```yaml\n{}```", merged.text)), "{}", merged.text);
}

#[test]
fn added_twice_deleted_and_changed() {
    let add = |value: &str| lid(&[("  wall:", &format!("  gap: {value}\n  wall:"))]);
    let (names, _) = marked(LID, &add("1 mm"), &add("2 mm"));
    assert_eq!(names, [("gap".into(), ConflictKind::Added)]);
    // The same thing in another form is the same thing.
    assert_eq!(clean(LID, &add("1 mm"), &add("{ value: '1 mm' }")), add("1 mm"));
    let gone = lid(&[("  wall: 2.4 mm      # as printed\n", "")]);
    assert_eq!(clean(LID, &gone, &lid(&[("62 mm", "63 mm")])), gone.replace("62 mm", "63 mm"));
    let (names, text) = marked(LID, &gone, &lid(&[("2.4 mm  ", "2.6 mm  ")]));
    assert_eq!(names, [("wall".into(), ConflictKind::Deleted)]);
    assert!(text.contains("=======\n  wall: 2.6 mm"), "{text}");
    let (names, _) = marked(LID, &gone, &lid(&[("as printed", "of two lines")]));
    assert_eq!(names, [("wall".into(), ConflictKind::Deleted)]);
}

#[test]
fn comments_of_both_sides_stay() {
    let ours = lid(&[("# over all", "# over all, with paint"), ("2.4 mm  ", "2.6 mm  ")]);
    let theirs = lid(&[
        ("62 mm", "63 mm"),
        ("# as printed", "# of four walls"),
        ("  # where it", "  # the axis\n\n  # where it"),
    ]);
    let text = clean(LID, &ours, &theirs);
    let both = lid(&[
        ("# over all", "# over all, with paint"),
        ("2.4 mm  ", "2.6 mm  "),
        ("62 mm", "63 mm"),
        ("# as printed", "# of four walls"),
        ("  # where it", "  # the axis\n\n  # where it"),
    ]);
    assert_eq!(text, both);
    let (names, _) =
        marked(LID, &lid(&[("# over all", "# one")]), &lid(&[("# over all", "# two")]));
    assert_eq!(names, [("width".into(), ConflictKind::Comment)]);
}

/// A comment behind a field or a list, and another value for it.
#[test]
fn a_comment_goes_with_the_other_sides_value() {
    let base = lid(&[("pivot: { value: 3 mm, max: 4 mm }", "pivot:\n    travel: [0 mm, 3 mm]")]);
    let own = base
        .replace("min: 18 mm", "min: 18 mm   # told")
        .replace("[0 mm, 3 mm]", "[0 mm, 3 mm]   # ends");
    let other = base.replace("min: 18 mm", "min: 19 mm").replace("[0 mm, 3 mm]", "[0 mm, 5 mm]");
    let both = own.replace("min: 18 mm", "min: 19 mm").replace("[0 mm, 3 mm]", "[0 mm, 5 mm]");
    assert_eq!(clean(&base, &own, &other), both);
    assert_eq!(clean(&base, &other, &own), both);
}

#[test]
fn things_in_one_pair_of_braces_merge_by_their_fields() {
    let base = "dimensions: { a: 1 mm, b: 2 mm }\nparts: { p: { made: sawn, uses: [a] } }\n";
    let merges = |ours: [&str; 2], theirs: [&str; 2], both: [&str; 2]| {
        let [ours, theirs, both] = [ours, theirs, both]
            .map(|[a, b]| format!("dimensions: {{ {a} }}\nparts: {{ p: {{ {b} }} }}\n"));
        assert_eq!(clean(base, &ours, &theirs), both);
        assert_eq!(clean(base, &theirs, &ours), both);
    };
    let parts = "made: sawn, uses: [a]";
    merges(
        ["a: 3 mm, b: 2 mm", "made: cast, uses: [a]"],
        ["a: 1 mm, b: \"max(a, 4 mm)\"", "made: sawn, uses: [a, b]"],
        ["a: 3 mm, b: \"max(a, 4 mm)\"", "made: cast, uses: [a, b]"],
    );
    merges(["b: 2 mm", parts], ["a: 1 mm, b: 4 mm", parts], ["b: 4 mm", parts]);
    merges(
        ["a: { value: 1 mm, min: 0 mm }, b: 2 mm", parts],
        ["a: 2 mm, b: 2 mm", parts],
        ["a: { value: 2 mm, min: 0 mm }, b: 2 mm", parts],
    );
    // What is new on both sides has no place of its own.
    let added = |new: &str| base.replace("b: 2 mm", &format!("b: 2 mm, {new}: 3 mm"));
    let (names, _) = marked(base, &added("c"), &added("d"));
    assert_eq!(names, [("dimensions".into(), ConflictKind::Changed)]);
}

#[test]
fn what_was_renamed_takes_the_other_sides_change_along() {
    let ours = lid(&[
        ("  wall: 2.4", "  wall_thickness: 2.4"),
        ("[width, wall]", "[width, wall_thickness]"),
    ]);
    let theirs = lid(&[("2.4 mm  ", "2.6 mm  ")]);
    let both = lid(&[
        ("  wall: 2.4", "  wall_thickness: 2.6"),
        ("[width, wall]", "[width, wall_thickness]"),
    ]);
    assert_eq!(clean(LID, &ours, &theirs), both);
    let other =
        lid(&[("  wall: 2.4", "  wall_size: 2.4"), ("[width, wall]", "[width, wall_size]")]);
    let (names, text) = marked(LID, &ours, &other);
    assert!(names.iter().any(|(_, what)| *what == ConflictKind::Renamed), "{names:?}\n{text}");
}

#[test]
fn a_set_of_names_has_no_order() {
    let ours = lid(&[("uses: [width, wall]", "uses: [width, wall, arm]")]);
    let theirs = lid(&[("uses: [width, wall]", "uses: [pivot, width]")]);
    let text = clean(LID, &ours, &theirs);
    assert!(
        text.contains("uses: [width, arm, pivot]") || text.contains("uses: [pivot, width, arm]"),
        "{text}"
    );
}

#[test]
fn line_ends_and_marks_are_kept() {
    let windows = LID.replace('\n', "\r\n");
    let ours = lid(&[("62 mm", "63 mm")]).replace('\n', "\r\n");
    let theirs = lid(&[("18 mm", "19 mm")]);
    let both = lid(&[("62 mm", "63 mm"), ("18 mm", "19 mm")]);
    assert_eq!(clean(LID, &ours, &theirs), both.replace('\n', "\r\n"));
    assert_eq!(clean(&windows, &ours, &theirs), both);
    assert_eq!(
        clean(LID, &format!("\u{feff}{}", lid(&[("62 mm", "63 mm")])), &theirs),
        format!("\u{feff}{both}")
    );
    let open = theirs.trim_end();
    assert_eq!(clean(LID, &lid(&[("62 mm", "63 mm")]), open), both.trim_end());
}

#[test]
fn what_is_no_table_is_merged_by_lines() {
    for broken in [
        "dimensions: [\n",
        "a: 1\na: 2\n",
        "\tx: 1\n",
        "<<<<<<< x\na: 1\n=======\na: 2\n>>>>>>> y\n",
    ] {
        let ours = format!("{broken}# ours\n");
        let theirs = format!("# theirs\n{broken}");
        let merged = merge(broken, &ours, &theirs);
        assert!(merged.by_lines.is_some(), "{broken}");
        assert_eq!(merged.text, format!("# theirs\n{broken}# ours\n"));
    }
    // Everything in braces on a line is no table in lines.
    let base = "{ dimensions: { a: 1 mm, b: 2 mm } }\n";
    let merged = merge(base, &base.replace('1', "3"), &base.replace('2', "4"));
    assert_eq!(merged.conflicts.len(), 1);
    assert!(merged.by_lines.is_some());
}

/// Lines that are no table, ended by CRLF: so are the marks.
#[test]
fn marks_end_as_the_lines_do() {
    let of = |item: &str| format!("dimensions: [\r\n{item}\r\n");
    let text = merge(&of("a"), &of("b"), &of("c")).text;
    assert!(text.contains("<<<<<<< ours\r\nb\r\n||||||| base\r\na\r\n=======\r\nc\r\n"));
    assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
}

mod whole {
    //! Whole designs.

    use setout_design::merge::{ConflictKind, Labels, MergedDesign, merge_designs};
    use setout_design::{Design, Memory};

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

    const JAW: &str = "dimensions:\n  width: 62 mm\n  wall: 2 mm\n";
    const LIP: &str = "dimensions:\n  gap: jaw.width - 60 mm\n";

    /// A dimension that one side moved to another table takes the other side's value along, and
    /// what the other side wrote of it follows.
    #[test]
    fn what_was_moved_is_followed() {
        let base = design(&[("jaw", JAW), ("lip", LIP)]);
        let ours = design(&[
            ("jaw", "dimensions:\n  wall: 2 mm\n"),
            ("lip", "dimensions:\n  gap: width - 60 mm\n  width: 62 mm\n"),
        ]);
        let theirs = design(&[
            ("jaw", "dimensions:\n  width: 64 mm\n  wall: 2 mm\n  half: width / 2\n"),
            ("lip", LIP),
        ]);
        for merged in [merged(&base, &ours, &theirs), merged(&base, &theirs, &ours)] {
            assert_eq!(merged.conflicts, []);
            assert_eq!(
                merged.files["params/jaw.yaml"],
                "dimensions:\n  wall: 2 mm\n  half: lip.width / 2\n"
            );
            assert_eq!(
                merged.files["params/lip.yaml"],
                "dimensions:\n  gap: width - 60 mm\n  width: 64 mm\n"
            );
            assert_eq!(Design::read(&merged.texts()).evaluate().faults(), []);
        }
    }

    #[test]
    fn a_table_that_was_renamed_is_the_same_table() {
        let base = design(&[("jaw", JAW), ("lip", LIP)]);
        let ours = design(&[("chin", JAW), ("lip", &LIP.replace("jaw.", "chin."))]);
        let theirs = design(&[
            ("jaw", "dimensions:\n  width: 62 mm\n  wall: 3 mm\n"),
            ("lip", LIP),
            ("ear", "dimensions:\n  tip: jaw.wall\n"),
        ]);
        let one = merged(&base, &ours, &theirs);
        assert_eq!(one.conflicts, []);
        assert_eq!(one.gone, [""; 0]);
        assert!(one.files["params/chin.yaml"].contains("wall: 3 mm"), "{one:?}");
        assert_eq!(one.files["params/ear.yaml"], "dimensions:\n  tip: chin.wall\n");
        let other = merged(&base, &theirs, &ours);
        assert_eq!((&other.files, &*other.gone), (&one.files, &["params/jaw.yaml".to_owned()][..]));
    }

    #[test]
    fn a_table_deleted_and_changed_is_in_conflict() {
        let base = design(&[("jaw", JAW), ("lip", "dimensions:\n  a: 1 mm\n")]);
        let gone = design(&[("jaw", JAW)]);
        let changed = design(&[("jaw", JAW), ("lip", "dimensions:\n  a: 2 mm\n")]);
        assert_eq!(merged(&base, &gone, &base).files.len(), 2);
        assert_eq!(merged(&base, &base, &gone).gone, ["params/lip.yaml"]);
        for merged in [merged(&base, &gone, &changed), merged(&base, &changed, &gone)] {
            let [(path, conflict)] = &merged.conflicts[..] else { panic!("{merged:?}") };
            assert_eq!((&**path, conflict.what), ("params/lip.yaml", ConflictKind::Deleted));
            assert!(merged.files["params/lip.yaml"].starts_with("<<<<<<< ours\n"));
        }
    }
}

mod random {
    //! Random edits of random designs, merged both ways round.

    use std::collections::BTreeMap;

    use proptest::prelude::*;
    use setout_design::yaml::{Node, read};

    use super::{MergedTable, merge};
    use crate::drawn::{TABLES, Written, designs};
    use crate::rename::text;

    /// What a table says, value by value.
    type Flat = BTreeMap<Vec<String>, String>;

    fn flat(text: &str) -> Flat {
        fn walk(node: &Node, path: &mut Vec<String>, found: &mut Flat) {
            match node {
                Node::Map(map) => {
                    for entry in &map.entries {
                        path.push(entry.key.value.to_string());
                        walk(&entry.value, path, found);
                        path.pop();
                    }
                }
                Node::List(list) => {
                    for (index, item) in list.items.iter().enumerate() {
                        path.push(index.to_string());
                        walk(item, path, found);
                        path.pop();
                    }
                }
                Node::Scalar(scalar) => {
                    let short = path.len() == 2 && path[0] == "dimensions";
                    let own = short.then(|| "value".to_owned());
                    let place = path.iter().cloned().chain(own).collect();
                    found.insert(place, scalar.value.trim().to_owned());
                }
                Node::Empty(_) => {}
            }
        }
        let mut found = Flat::new();
        if let (Some(tree), _) = read(text) {
            walk(&tree, &mut Vec::new(), &mut found);
        }
        found
    }

    /// An edit of a text: of some line of it, in a way that leaves it a table.
    #[derive(Clone, Debug)]
    struct Change {
        which: prop::sample::Index,
        how: usize,
        new: u32,
    }

    fn change() -> impl Strategy<Value = Change> {
        (any::<prop::sample::Index>(), 0..5_usize, 0..4_u32).prop_map(|(which, how, new)| Change {
            which,
            how,
            new,
        })
    }

    /// The lines that hold a plain number in millimetres.
    fn numbers(text: &str) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        for (at, _) in text.match_indices(" mm") {
            let start =
                text[..at].rfind(|c: char| !c.is_ascii_digit() && c != '.').map_or(0, |i| i + 1);
            if start < at {
                found.push((start, at));
            }
        }
        found
    }

    fn changed(text: &str, change: &Change) -> String {
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        let is_entry = |line: &&str| {
            let line = line.trim_start();
            line.starts_with(|c: char| c.is_ascii_lowercase()) && line.contains(": ")
        };
        let entries: Vec<usize> = (0..lines.len()).filter(|line| is_entry(&lines[*line])).collect();
        let numbers = numbers(text);
        match change.how {
            0 | 1 if !numbers.is_empty() => {
                let (start, end) = numbers[change.which.index(numbers.len())];
                format!("{}{}{}", &text[..start], 70 + change.new, &text[end..])
            }
            2 if !entries.is_empty() => {
                let at = entries[change.which.index(entries.len())];
                let line = lines[at];
                let indent = &line[..line.len() - line.trim_start().len()];
                let more = format!("{indent}# told {}\n", change.new);
                [lines[..at].concat(), more, lines[at..].concat()].concat()
            }
            3 if !entries.is_empty() => {
                let at = entries[change.which.index(entries.len())];
                let line = lines[at];
                let indent = &line[..line.len() - line.trim_start().len()];
                let more = format!("{indent}z{}: {} mm\n", change.new, change.new);
                [lines[..at].concat(), more, lines[at..].concat()].concat()
            }
            4 if !entries.is_empty() => {
                let at = entries[change.which.index(entries.len())];
                [lines[..at].concat(), lines[at + 1..].concat()].concat()
            }
            _ => text.to_owned(),
        }
    }

    /// A side: the text after some changes that leave it readable.
    fn side(base: &str, changes: &[Change]) -> String {
        changes.iter().fold(base.to_owned(), |text, change| {
            let next = changed(&text, change);
            if read(&next).1.is_empty() { next } else { text }
        })
    }

    fn sorted(of: &MergedTable) -> Vec<(String, String)> {
        let mut all: Vec<(String, String)> =
            of.conflicts.iter().map(|of| (of.name.clone(), format!("{:?}", of.what))).collect();
        all.sort();
        all
    }

    /// A comment with its lines' own words.
    fn comments(text: &str) -> Vec<String> {
        let lines = text.lines().map(str::trim).filter(|line| line.starts_with('#'));
        lines.map(str::to_owned).collect()
    }

    fn holds(base: &str, ours: &str, theirs: &str) -> Result<(bool, bool), TestCaseError> {
        let (one, other) = (merge(base, ours, theirs), merge(base, theirs, ours));
        let told =
            format!("--- base\n{base}--- ours\n{ours}--- theirs\n{theirs}--- merged\n{}", one.text);
        prop_assert_eq!(
            sorted(&one),
            sorted(&other),
            "{}\n--- the other way\n{}",
            told,
            other.text
        );
        prop_assert_eq!(one.by_lines.is_some(), other.by_lines.is_some(), "{}", told);
        let clean = one.conflicts.is_empty();
        if clean && one.by_lines.is_none() {
            prop_assert_eq!(flat(&one.text), flat(&other.text), "{}", told);
            let (was, own, their, is) = (flat(base), flat(ours), flat(theirs), flat(&one.text));
            // Lists change their places; everything else is as one side has it.
            let places = was.keys().chain(own.keys()).chain(their.keys());
            for place in
                places.filter(|place| place.last().is_some_and(|key| key.parse::<usize>().is_err()))
            {
                let (b, o, t) = (was.get(place), own.get(place), their.get(place));
                let wanted = if o == b { t } else { o };
                prop_assert!(
                    o == b || t == b || o == t,
                    "{place:?} was lost without a mark: {}",
                    told
                );
                prop_assert_eq!(is.get(place), wanted, "{:?}: {}", place, told);
            }
            for comment in comments(ours).iter().chain(&comments(theirs)) {
                let was_there = comments(base).contains(comment);
                prop_assert!(
                    was_there || one.text.contains(comment.as_str()),
                    "{comment:?}: {told}"
                );
            }
        }
        Ok((clean, one.by_lines.is_none()))
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 1700, failure_persistence: None, ..ProptestConfig::default() })]

        /// Six pairs of sides a case: 10,200 in a run.
        #[test]
        fn random_sides_merge_the_same_both_ways(
            design in designs(),
            changes in prop::collection::vec((prop::collection::vec(change(), 1..4), prop::collection::vec(change(), 1..4)), 2),
        ) {
            let Written { memory, .. } = &design;
            for table in TABLES {
                let base = text(memory, table);
                for (own, other) in &changes {
                    holds(&base, &side(&base, own), &side(&base, other))?;
                }
            }
        }
    }
}
