//! What a file on disk is to what would be written.

use setout_export::{Sheet, Standing, formats, standing};

use crate::support::{jaw, openscad, written};

fn changed(change: impl FnOnce(&mut Sheet)) -> Sheet {
    let mut sheet = jaw();
    change(&mut sheet);
    sheet
}

/// For every format: how the file of one sheet, after an edit, stands to another sheet.
#[track_caller]
fn assert_standing(
    on_disk: &Sheet,
    edit: impl Fn(String) -> String,
    now: &Sheet,
    expected: Standing,
) {
    for format in formats() {
        let existing = edit(written(*format, on_disk));
        let found = standing(*format, Some(existing.as_bytes()), &written(*format, now));
        assert_eq!(found, expected, "{}:\n{existing}", format.name());
    }
}

fn unedited(text: String) -> String {
    text
}

fn other_width() -> Sheet {
    changed(|sheet| {
        sheet.items[0].value = setout_export::Value::Number(2.25);
        sheet.items[0].base = None;
    })
}

#[test]
fn missing_and_current() {
    for format in formats() {
        assert_eq!(standing(*format, None, &written(*format, &jaw())), Standing::Missing);
    }
    assert_standing(&jaw(), unedited, &jaw(), Standing::Current);
}

#[test]
fn line_ends_are_of_no_account() {
    let lf = |text: String| text.replace("\r\n", "\n");
    let crlf = |text: String| text.replace("\r\n", "\n").replace('\n', "\r\n");
    for edit in [lf, crlf] {
        assert_standing(&jaw(), edit, &jaw(), Standing::Current);
        assert_standing(&other_width(), edit, &jaw(), Standing::OutOfDate);
    }
}

#[test]
fn a_changed_design_makes_it_out_of_date() {
    assert_standing(&other_width(), unedited, &jaw(), Standing::OutOfDate);
    assert_standing(&Sheet::default(), unedited, &jaw(), Standing::OutOfDate);
}

#[test]
fn a_changed_note_leaves_the_values_current() {
    let renoted = changed(|sheet| sheet.items[0].note = Some("; // x, = 1".into()));
    assert_standing(&renoted, unedited, &jaw(), Standing::SameValues);
    assert!(Standing::SameValues.has_current_values());
    assert!(!Standing::EditedByHand.has_current_values());
}

#[test]
fn a_changed_value_is_an_edit_by_hand_whatever_the_design_says_now() {
    let edits: [fn(String) -> String; 4] = [
        |text| text.replace("90", "91"),
        |text| text.replace("M4", "M5"),
        |text| text.replace("N·m", "N·mm"),
        |text| text.replace("jaw_left", "jaw_last"),
    ];
    for edit in edits {
        assert_standing(&jaw(), edit, &jaw(), Standing::EditedByHand);
        assert_standing(&other_width(), edit, &jaw(), Standing::EditedByHand);
    }
}

#[test]
fn more_or_less_than_was_written_is_an_edit_by_hand() {
    let cut = |text: String| text.trim_end().rsplit_once('\n').expect("lines").0.to_owned() + "\n";
    let more = |text: String| text + "jaw_width = 3;\r\n";
    let forged = |text: String| text.replace("jaw", "\u{fffd}");
    assert_standing(&jaw(), cut, &jaw(), Standing::EditedByHand);
    assert_standing(&jaw(), more, &jaw(), Standing::EditedByHand);
    assert_standing(&jaw(), forged, &jaw(), Standing::EditedByHand);
}

#[test]
fn code_added_to_variables_is_an_edit_by_hand() {
    let added = [
        "cube(jaw_width);",
        "/*\njaw_width = 3; // mm\n*/",
        "jaw_width = 3; // mm",
        "a = 1; jaw_width = 3; // mm",
        "include <more.scad>",
    ];
    let text = written(openscad(), &jaw());
    for line in added {
        let existing = format!("{text}{line}\n");
        let found = standing(openscad(), Some(existing.as_bytes()), &text);
        assert_eq!(found, Standing::EditedByHand, "{line}");
    }
}

#[test]
fn without_our_line_it_is_not_ours() {
    let without = |text: String| text.replace("fingerprint", "finger");
    assert_standing(&jaw(), without, &jaw(), Standing::NotOurs);
    let foreign = [
        "",
        "jaw_width = 62;\n",
        "cube(1);\n// setout fingerprint: 0123456789abcdef0123456789abcdef\n",
        "// setout fingerprint: 0123456789ABCDEF0123456789ABCDEF\n",
        "// setout fingerprint: \n",
        "name,value\r\nfingerprint,0123456789abcdef0123456789abcdef\r\n",
        "\"",
    ];
    for format in formats() {
        for existing in foreign {
            let found = standing(*format, Some(existing.as_bytes()), &written(*format, &jaw()));
            assert_eq!(found, Standing::NotOurs, "{existing:?}");
        }
        let found = standing(*format, Some(b"\xff\xfe\0"), &written(*format, &jaw()));
        assert_eq!(found, Standing::NotOurs);
    }
}

#[test]
fn the_file_of_one_format_is_not_the_other_s() {
    let all: Vec<_> = formats().iter().map(|format| (format, written(*format, &jaw()))).collect();
    let ((first, a), (second, b)) = (&all[0], &all[1]);
    assert_eq!(standing(**first, Some(b.as_bytes()), a), Standing::NotOurs);
    assert_eq!(standing(**second, Some(a.as_bytes()), b), Standing::NotOurs);
}
