//! CSV read back by two readers that are not ours: the crate's, and Python's.

use setout_export::{Item, Role, Sheet, Value, unguarded};

use crate::support::{
    Random, column, csv, faults, jaw, noted, number, run, sheet, text, truth, written,
};

const READ_WITH_PYTHON: &str = "
import csv, json, sys
sys.stdout.reconfigure(encoding='utf-8')
with open('dimensions.csv', encoding='utf-8', newline='') as file:
    json.dump(list(csv.reader(file, strict=True)), sys.stdout)
";

type Records = Vec<Vec<String>>;

fn by_python(file: &str) -> Records {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::write(dir.path().join("dimensions.csv"), file).expect("written");
    let output = run("python3", "python3", dir.path(), &["-c", READ_WITH_PYTHON]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("what json.dump wrote")
}

fn by_crate(file: &str) -> Records {
    let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(file.as_bytes());
    let records = reader.records().map(|record| record.expect("a record"));
    records.map(|record| record.iter().map(str::to_owned).collect()).collect()
}

/// The records of the items, the same by both readers.
#[track_caller]
fn read_back(sheet: &Sheet) -> Records {
    let file = written(csv(), sheet);
    let mut records = by_crate(&file);
    assert_eq!(by_python(&file), records, "{file:?}");
    let items = records.split_off(2);
    let header = ["name", "kind", "value", "unit", "min", "max", "tolerance", "note"];
    assert_eq!(records[0], header);
    let stated = csv().fingerprint_of(&file).expect("a fingerprint");
    assert_eq!(records[1], ["fingerprint", "", &stated, "", "", "", "", ""]);
    items
}

/// The name, value and note of each, apostrophes taken off.
fn values_and_notes(records: &Records) -> Vec<[&str; 3]> {
    records.iter().map(|r| [r[0].as_str(), unguarded(&r[2]), unguarded(&r[7])]).collect()
}

#[test]
fn a_file_looks_like_this() {
    let file = written(csv(), &jaw());
    let fingerprint = csv().fingerprint_of(&file).expect("a fingerprint");
    let expected = format!(
        "name,kind,value,unit,min,max,tolerance,note\r\n\
         fingerprint,,{fingerprint},,,,,\r\n\
         jaw.width,chosen,2.5,in,2,3,'+0.1 -0.3 mm,\"fits the frame, \"\"snug\"\"\"\r\n\
         jaw.pivot_screw,chosen,M4,,,,,\r\n\
         drive.torque,derived,1.2,N·m,,,,\r\n\
         jaw.open,derived,true,,,,,\r\n\
         drive.servo.jaw_left.neutral,cell,90,deg,,,,\r\n\
         drive.servo.jaw_right.neutral,cell,-5,deg,,,,\r\n"
    );
    assert_eq!(file, expected);
    assert_eq!(read_back(&jaw()).len(), 6);
}

/// The cases that a well-known collection of awkward CSV files is made of.
#[test]
fn awkward_cells_are_read_back() {
    let cells = [
        "120 any st.",
        "Anytown, WW",
        "a,b\nc,d",
        "",
        "\"\"",
        "ha \"ha\" ha",
        "{\"type\": \"Point\", \"coordinates\": [102.0, 0.5]}",
        "Once upon \na time",
        "Once upon \r\na time",
        "Once upon\ra time",
        "\"\nha\n\"\nha\n",
        "\n",
        ",",
        "\"",
        " leading and trailing ",
        "ʤ ✓ 鼻 😀",
    ];
    let names: Vec<String> = (0..cells.len()).map(|i| format!("t.x{i}")).collect();
    let items = names.iter().zip(cells).map(|(name, cell)| noted(text(name, cell), cell));
    let records = read_back(&sheet(items));
    let expected: Vec<_> = names.iter().zip(cells).map(|(name, c)| [name.as_str(), c, c]).collect();
    assert_eq!(values_and_notes(&records), expected);
}

#[test]
fn numbers_are_read_back_exactly() {
    let mut random = Random(7);
    let numbers: Vec<f64> = (0..2000).map(|_| random.number()).chain([5e-324, f64::MAX]).collect();
    let items = numbers
        .iter()
        .enumerate()
        .map(|(i, value)| Item { min: Some(-value), ..number(&format!("n.x{i}"), *value, "mm") });
    let records = read_back(&sheet(items));
    for (record, number) in records.iter().zip(numbers) {
        assert_eq!(record[2].parse(), Ok(number));
        assert_eq!(record[4].parse(), Ok(-number));
    }
}

#[test]
fn random_texts_are_read_back() {
    let mut random = Random(11);
    let texts: Vec<String> = (0..500).map(|_| random.text()).collect();
    let items = texts.iter().enumerate().map(|(i, value)| text(&format!("t.x{i}"), value));
    let records = read_back(&sheet(items));
    let read: Vec<_> = records.iter().map(|record| unguarded(&record[2])).collect();
    assert_eq!(read, texts);
}

#[test]
fn texts_that_look_like_formulas_are_guarded_and_numbers_are_not() {
    let cases = [
        ("=1+1", "'=1+1"),
        ("+44", "'+44"),
        ("-", "'-"),
        ("@sum(a1)", "'@sum(a1)"),
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        ("'=1", "''=1"),
        ("''=1", "'''=1"),
        ("'90s", "'90s"),
        ("'", "'"),
        ("a=1", "a=1"),
        ("−5", "−5"),
    ];
    for (plain, cell) in cases {
        let item = Item { tolerance: Some(plain.into()), ..noted(text("a.b", plain), plain) };
        let records = read_back(&sheet([item]));
        assert_eq!(records[0], ["a.b", "chosen", cell, "", "", "", cell, cell]);
        assert_eq!(unguarded(cell), plain);
    }
    let negative = Item { min: Some(-6.0), max: Some(-1e-9), ..number("a.b", -5.0, "mm") };
    assert_eq!(read_back(&sheet([negative]))[0][2..6], ["-5", "mm", "-6", "-1e-9"]);
}

#[test]
fn columns_are_left_out_and_truths_are_words() {
    let cell = Item::new("d.servo.left.on", Role::Cell, Value::Truth(false), "");
    let on = column("d.servo.on", vec![Value::Truth(false)], "");
    let records = read_back(&sheet([cell, on, truth("d.yes", true)]));
    assert_eq!(records.iter().map(|r| r[2].as_str()).collect::<Vec<_>>(), ["false", "true"]);
}

#[test]
fn an_empty_sheet_is_a_header_and_a_fingerprint() {
    assert_eq!(read_back(&sheet([])), Records::new());
}

#[test]
fn all_faults_are_told_at_once() {
    let limit = |limit| Item { max: Some(limit), ..number("a.c", 1.0, "") };
    let bad = sheet([
        text("fingerprint", "0123456789abcdef0123456789abcdef"),
        number("a.b", f64::NEG_INFINITY, ""),
        limit(f64::NAN),
        text("a.d", "\0"),
        number("a.b", 1.0, ""),
    ]);
    let found = faults(csv(), &bad);
    let told: Vec<_> = found.iter().map(|fault| (fault.slug(), fault.item())).collect();
    let expected = [
        ("bad-name", Some("fingerprint")),
        ("bad-value", Some("a.b")),
        ("bad-value", Some("a.c")),
        ("bad-value", Some("a.d")),
        ("duplicate-name", Some("a.b")),
    ];
    assert_eq!(told, expected);
}
