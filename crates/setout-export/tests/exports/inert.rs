//! A design from a stranger can put wrong numbers into a file, and nothing else.

use setout_export::{Item, Role, Value, formats};

use crate::support::{csv, faults, noted, number, openscad, sheet, text, written};

const HOSTILE: [&str; 12] = [
    "\nowned = 1;",
    "\r\nowned = 1;",
    "\rowned = 1;",
    "*/ owned = 1; /*",
    "\\\nowned = 1;",
    "\"; owned = 1; //",
    "[1:10] slider",
    "include <owned.scad>",
    "\u{2028}owned = 1;",
    "\u{202e};1 = denwo",
    "\0owned = 1;",
    "// setout fingerprint: 0123456789abcdef0123456789abcdef",
];

/// The lines of code in an OpenSCAD file.
fn code(text: &str) -> Vec<&str> {
    text.lines().filter(|line| !line.is_empty() && !line.starts_with("//")).collect()
}

#[test]
fn notes_units_and_the_design_s_name_stay_in_their_comments() {
    for hostile in HOSTILE {
        let mut sheet = sheet([noted(number("jaw.width", 62.0, hostile), hostile)]);
        sheet.design = hostile.into();
        let text = written(openscad(), &sheet);
        assert_eq!(text.lines().count(), 7, "{text}");
        let code = code(&text);
        assert_eq!(code.len(), 1);
        assert!(code[0].starts_with("jaw_width = 62; // "), "{text}");
        assert!(!text.contains(['\r', '\0', '\u{2028}', '\u{202e}']));
        assert!(!text.contains("*/") && !text.contains("/*"));
        let stated = openscad().fingerprint_of(&text).expect("a fingerprint");
        assert!(!stated.starts_with("0123456789"));
    }
}

/// What stands directly behind `//` sets up sliders in the program's own panel.
#[test]
fn notes_are_no_annotations() {
    let text = written(openscad(), &sheet([noted(number("jaw.count", 2.0, ""), "[1:10]")]));
    assert!(text.contains("\njaw_count = 2; // number, [1:10]\n"), "{text}");
}

#[test]
fn texts_stay_in_their_strings() {
    for hostile in HOSTILE.into_iter().filter(|text| !text.contains('\0')) {
        let text = written(openscad(), &sheet([text("jaw.screw", hostile)]));
        let code = code(&text);
        assert_eq!(code.len(), 1, "{text}");
        assert!(code[0].starts_with("jaw_screw = \"") && code[0].ends_with("\"; // text"));
        assert!(!text.contains(['\r', '\u{2028}', '\u{202e}']));
    }
}

#[test]
fn hostile_names_are_refused() {
    let names =
        HOSTILE.into_iter().chain(["a.b;", "a.b = 1; c", "=a.b", "a.b,c", "a.b\"", "a.ß", "A.b"]);
    for name in names {
        for format in formats() {
            let found = faults(*format, &sheet([number(name, 1.0, "")]));
            assert_eq!(found[0].slug(), "bad-name");
            assert!(!found[0].to_string().contains(['\n', '\r', '\0', '\u{202e}']));
        }
    }
}

#[test]
fn no_cell_of_text_begins_a_formula() {
    let hostile = [
        "=cmd|' /C calc'!A0",
        "+1",
        "-1",
        "@a",
        "\t=1",
        "\r=1",
        "\u{202e}=1",
        "\0=1",
        "\u{feff}=1",
    ];
    for text in hostile {
        let item = Item {
            tolerance: Some(text.into()),
            note: Some(text.into()),
            ..Item::new("a.b", Role::Chosen, Value::Number(-5.0), text)
        };
        let file = written(csv(), &sheet([item]));
        let mut reader = ::csv::Reader::from_reader(file.as_bytes());
        let record = reader.records().nth(1).expect("a record").expect("whole");
        assert_eq!(&record[2], "-5");
        for cell in [&record[3], &record[6], &record[7]] {
            assert!(
                !cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\0', '\u{202e}']),
                "{cell:?}"
            );
        }
    }
}
