//! Equal values give equal bytes, and the fingerprint turns on names, values and units alone.

use setout_export::{Entry, Format, Item, Sheet, Value, fingerprint, formats};

use crate::support::{Random, column, jaw, number, sheet, text, written};

#[track_caller]
fn stated(format: &dyn Format, sheet: &Sheet) -> String {
    format.fingerprint_of(&written(format, sheet)).expect("a fingerprint")
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    for format in formats() {
        let text = written(*format, &Random(3).sheet(300));
        assert_eq!(text, written(*format, &Random(3).sheet(300)));
    }
}

#[test]
fn what_is_written_can_be_read_back_to_its_own_fingerprint() {
    for format in formats() {
        for seed in 1..40 {
            let text = written(*format, &Random(seed).sheet(60));
            let entries = format.entries_of(&text).expect("a file of ours");
            let found = fingerprint(format.name(), &entries);
            assert_eq!(format.fingerprint_of(&text), Some(found), "{text}");
        }
    }
}

#[test]
fn order_notes_limits_and_design_name_are_of_no_account() {
    for format in formats() {
        let mut other = jaw();
        other.design = "Young Bracken".into();
        other.items.reverse();
        for item in &mut other.items {
            item.note = Some("another".into());
            item.tolerance = None;
            item.max = Some(1.0);
        }
        assert_eq!(stated(*format, &jaw()), stated(*format, &other));
        assert_ne!(written(*format, &jaw()), written(*format, &other));
    }
}

#[test]
fn a_change_of_name_value_or_unit_changes_it() {
    let one = |item: Item| sheet([item, number("a.z", 1.0, "mm")]);
    let base = one(number("a.b", 62.0, "mm"));
    let others = [
        one(number("a.b", 62.0_f64.next_up(), "mm")),
        one(number("a.c", 62.0, "mm")),
        one(number("a.b", 62.0, "deg")),
        one(text("a.b", "62 mm")),
        sheet([number("a.b", 62.0, "mm")]),
        sheet([]),
    ];
    for format in formats() {
        let mut seen = vec![stated(*format, &base)];
        for other in &others {
            let stated = stated(*format, other);
            assert!(!seen.contains(&stated), "{other:?}");
            seen.push(stated);
        }
    }
}

#[test]
fn columns_count_where_they_are_written() {
    let columns =
        [vec![], vec![Value::Number(1.0)]].map(|cells| sheet([column("a.s.c", cells, "")]));
    for format in formats() {
        let differ = stated(*format, &columns[0]) != stated(*format, &columns[1]);
        assert_eq!(differ, format.name() == "openscad");
    }
}

#[test]
fn formats_have_fingerprints_of_their_own() {
    let all: Vec<_> = formats().iter().map(|format| stated(*format, &sheet([]))).collect();
    assert_ne!(all[0], all[1]);
}

/// Moving a letter over the border of two fields is a change.
#[test]
fn fields_do_not_run_together() {
    let entry = |name: &str, value: &str, unit: &str| Entry {
        name: name.into(),
        value: value.into(),
        unit: unit.into(),
    };
    let spelt = [
        vec![entry("a", "12", "")],
        vec![entry("a1", "2", "")],
        vec![entry("a", "1", "2")],
        vec![entry("a", "1", ""), entry("", "", "2")],
        vec![entry("", "a", "12")],
    ];
    let mut all: Vec<_> = spelt.iter().map(|entries| fingerprint("f", entries)).collect();
    all.push(fingerprint("fa", &[]));
    all.sort();
    all.dedup();
    assert_eq!(all.len(), 6);
}

/// Files in other people's repositories bear these: a change of them is a change for all. They
/// were computed by another program from what docs/exports.md says.
#[test]
fn fingerprints_stay_what_they_are() {
    let all: Vec<_> = formats().iter().map(|format| stated(*format, &jaw())).collect();
    assert_eq!(all, ["62f4335b83c397b1cd19ad2c0ffd184d", "99d5d7d9d53b4114a4a6edde936e9f3a"]);
}
