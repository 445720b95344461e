//! OpenSCAD itself reads the files and compares every value.
//!
//! An `echo` shows six digits, so the comparing is done inside, by a driver that includes the
//! file and asserts each variable equal to a literal that is spelt in another way than ours:
//! numbers as an integer times a power of two, texts as code points. A failed assertion leaves
//! the exit status at 0, but ends the run: what tells is whether the last line is reached.

use setout_export::{Item, Role, Sheet, Value};

use crate::support::{
    Random, column, faults, in_base, jaw, noted, number, openscad, run, sheet, text, truth, written,
};

const REACHED: &str = "ECHO: \"all compared\"\n";

/// What the program says of a file and a driver for it.
fn said(file: &str, driver: &str) -> String {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::write(dir.path().join("dimensions.scad"), file).expect("written");
    let driver = format!("include <dimensions.scad>\n{driver}\necho(\"all compared\");\n");
    std::fs::write(dir.path().join("driver.scad"), driver).expect("written");
    let echo = dir.path().join("said.echo");
    let out = echo.to_str().expect("a plain path");
    let args = ["--hardwarnings", "-o", out, "driver.scad"];
    let output = run("openscad", "openscad", dir.path(), &args);
    let echoed = std::fs::read(&echo).unwrap_or_default();
    String::from_utf8_lossy(&echoed).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

/// A double as an exact product: no decimal digits behind a point, no rounding on reading.
fn as_product(number: f64) -> String {
    let bits = number.to_bits();
    let (exponent, fraction) = ((bits >> 52) & 0x7ff, bits & ((1 << 52) - 1));
    let (mantissa, power) = match exponent {
        0 => (fraction, -1074),
        _ => (fraction | (1 << 52), i64::try_from(exponent).expect("small") - 1075),
    };
    let sign = if number < 0.0 { "-" } else { "" };
    format!("({sign}{mantissa} * pow(2, {power}))")
}

fn other_spellings(value: &Value) -> Vec<String> {
    match value {
        Value::Number(number) => vec![as_product(*number), format!("{number:.16e}")],
        Value::Text(text) => {
            let points: Vec<_> = text.chars().map(|c| u32::from(c).to_string()).collect();
            vec![format!("chr([{}])", points.join(","))]
        }
        Value::Truth(truth) => vec![format!("(1 {} 1)", if *truth { "==" } else { "!=" })],
        Value::List(cells) => {
            let cells: Vec<_> = cells.iter().map(|cell| other_spellings(cell).remove(0)).collect();
            vec![format!("[{}]", cells.join(","))]
        }
        _ => unreachable!("no other kind is written"),
    }
}

fn comparisons(items: &[Item]) -> String {
    let mut driver = String::new();
    for item in items {
        let name = item.name.replace('.', "_");
        let value = item.base.as_ref().map_or(&item.value, |base| &base.value);
        for spelling in other_spellings(value) {
            driver.push_str(&format!("assert({name} == {spelling});\n"));
        }
    }
    driver
}

#[track_caller]
fn assert_read_exactly(sheet: &Sheet) {
    let file = written(openscad(), sheet);
    assert_eq!(said(&file, &comparisons(&sheet.items)), REACHED, "of this file:\n{file}");
}

#[test]
fn a_file_looks_like_this() {
    let file = written(openscad(), &jaw());
    let fingerprint = openscad().fingerprint_of(&file).expect("a fingerprint");
    let expected = format!(
        "// Dimensions of Old Bracken\n\
         // Written by Setout. Do not edit: change the design and export again.\n\
         // Lengths in mm, angles in deg, everything else in the unit behind it.\n\
         // setout fingerprint: {fingerprint}\n\
         \n\
         // jaw\n\
         jaw_width = 63.5; // mm, fits the frame, \"snug\"\n\
         jaw_pivot_screw = \"M4\"; // text\n\
         jaw_open = true; // boolean\n\
         \n\
         // drive\n\
         drive_torque = 1.2; // N·m\n\
         drive_servo_jaw_left_neutral = 90; // deg\n\
         drive_servo_jaw_right_neutral = -5; // deg\n\
         drive_servo_neutral = [90, -5]; // deg\n"
    );
    assert_eq!(file, expected);
    assert_read_exactly(&jaw());
}

#[test]
fn wrong_values_are_detected() {
    let shortened = |value| {
        let file = written(openscad(), &sheet([number("a.b", value, "mm")]));
        said(&file, &comparisons(&[number("a.b", value.next_up(), "mm")]))
    };
    for value in [0.1 + 0.2, 62.0, -1e-300, 5e-324, 1e308] {
        let said = shortened(value);
        assert!(said.starts_with("ERROR: Assertion"), "{value:e}: {said}");
        assert!(!said.contains("all compared"));
    }
    let file = written(openscad(), &sheet([text("a.b", "M4")]));
    for other in [text("a.b", "M4 "), truth("a.b", true), column("a.b", vec![], "")] {
        assert!(!said(&file, &comparisons(&[other])).contains("all compared"));
    }
    let unknown = said(&file, &comparisons(&[text("a.c", "M4")]));
    assert!(unknown.contains("unknown variable 'a_c'"), "{unknown}");
    let missing = said(&file, "include <nowhere.scad>");
    assert!(missing.contains("nowhere.scad"), "{missing}");
}

#[test]
fn extreme_numbers_are_read_exactly() {
    let numbers = [
        0.0,
        0.1 + 0.2,
        1.0 / 3.0,
        -5.0,
        1e-300,
        -1e-300,
        1e308,
        f64::MAX,
        f64::MIN,
        f64::MIN_POSITIVE,
        f64::MIN_POSITIVE.next_down(),
        5e-324,
        -5e-324,
        123e-324,
        1e15,
        1e15 - 1.0,
        1e-5,
        1e-5_f64.next_down(),
        9_007_199_254_740_993.0,
        1e21,
        1e22,
        1e23,
        62.123_456_789_012_345,
        12_345_678_901_234_567.0,
        0.1_f64.next_up(),
        2.225_073_858_507_201_1e-308,
        std::f64::consts::PI,
    ];
    let items = numbers.iter().enumerate();
    assert_read_exactly(&sheet(items.map(|(i, value)| number(&format!("n.x{i}"), *value, "mm"))));
}

#[test]
fn minus_zero_is_written_as_zero() {
    let file = written(openscad(), &sheet([number("a.b", -0.0, "mm")]));
    assert!(file.contains("a_b = 0; // mm\n"));
    assert_eq!(file, written(openscad(), &sheet([number("a.b", 0.0, "mm")])));
}

#[test]
fn texts_booleans_and_vectors_are_read_exactly() {
    let texts = [
        "",
        " ",
        "M4",
        "a \"quoted\" word",
        "back\\slash\\",
        "\\\"",
        "\\n \\u0041 \\x41",
        "two\nlines\r\nand\ttabs",
        "// no comment /* at */ all; x = 1;",
        "größe 鼻 😀 👩\u{200d}🔧",
        "\u{1}\u{1b}\u{7f}\u{80}\u{85}\u{9f}",
        "\u{202e}\u{2066}\u{200b}\u{2028}\u{feff}\u{fffe}\u{ffff}\u{10ffff}\u{e0041}",
        "include <nowhere.scad>",
    ];
    let mut items: Vec<_> =
        texts.iter().enumerate().map(|(i, value)| text(&format!("t.x{i}"), value)).collect();
    items.push(text("t.long", &"\"ä".repeat(50_000)));
    items.push(truth("t.yes", true));
    items.push(truth("t.no", false));
    items.push(column("s.none", vec![], "A"));
    items.push(column("s.one", vec![Value::Number(0.1)], "A"));
    let mixed = vec![Value::Text("\"".into()), Value::Truth(false), Value::List(vec![])];
    items.push(column("s.mixed", mixed, ""));
    items.push(column("s.long", (0..20_000).map(|i| Value::Number(f64::from(i))).collect(), "A"));
    assert_read_exactly(&sheet(items));
}

#[test]
fn a_random_sheet_is_read_exactly() {
    assert_read_exactly(&Random(20_260_101).sheet(500));
}

#[test]
fn built_in_names_do_not_get_in_the_way() {
    let names = ["is.num", "linear.extrude", "version.num", "intersection.for", "parent.module"];
    let file = sheet(names.map(|name| number(name, 3.0, "")));
    let driver = comparisons(&file.items)
        + "assert(is_num(3) && !is_num(\"\")); linear_extrude(height = 2) square(linear_extrude);\n";
    assert_eq!(said(&written(openscad(), &file), &driver), REACHED);
}

#[test]
fn lengths_and_angles_are_written_in_base_units() {
    let exact = in_base(number("jaw.width", 0.1, "in"), 2.54, "mm");
    let file = written(openscad(), &sheet([noted(exact, "a tenth")]));
    assert!(file.contains("\njaw_width = 2.54; // mm, a tenth\n"), "{file}");
}

#[test]
fn names_that_meet_are_faults() {
    let meeting = sheet([number("a.b_c", 1.0, ""), number("x.y", 1.0, ""), text("a_b.c", "")]);
    let found = faults(openscad(), &meeting);
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].slug(), found[0].item()), ("duplicate-name", Some("a_b.c")));
    assert_eq!(found[0].to_string(), "a.b_c and a_b.c would both be exported as a_b_c");
}

#[test]
fn all_faults_are_told_at_once() {
    let bad = sheet([
        number("a.b", f64::NAN, ""),
        number("a", 1.0, ""),
        text("a.c", "nul\0"),
        column("a.d", vec![Value::Number(f64::INFINITY)], ""),
        number("a.b", 1.0, ""),
        number("a.e", 1.0, ""),
    ]);
    let found = faults(openscad(), &bad);
    let told: Vec<_> = found.iter().map(|fault| (fault.slug(), fault.item())).collect();
    let expected = [
        ("bad-value", Some("a.b")),
        ("bad-name", Some("a")),
        ("bad-value", Some("a.c")),
        ("bad-value", Some("a.d")),
        ("duplicate-name", Some("a.b")),
    ];
    assert_eq!(told, expected);
}

#[test]
fn an_item_of_every_role_has_a_name() {
    assert_eq!(
        openscad().exported_name("drive.servo.neutral").as_deref(),
        Some("drive_servo_neutral")
    );
    for bad in
        ["jaw", "", ".", "a.", ".a", "Jaw.a", "a.$fn", "a.b c", "a.1", "a._b", "ä.b", "a.b\n"]
    {
        assert_eq!(openscad().exported_name(bad), None, "{bad:?}");
    }
    assert_eq!(Role::Cell.word(), "cell");
}
