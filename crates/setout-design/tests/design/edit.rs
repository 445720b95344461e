//! Edits of texts: one value, and no other byte.

use proptest::prelude::*;
use setout_design::{Comparison, Design, EditFault, Memory, Source};

use crate::{good, texts, values};

fn set(memory: &Memory, name: &str, text: &str) -> Result<setout_design::TextEdit, EditFault> {
    Design::read(memory).text_edit(memory, name, text, false)
}

#[test]
fn only_the_value_changes() {
    let table = "# jaws\r\ndimensions:\r\n  width:   62 mm   # ±0.2, as printed\r\n  arm: { value: 3 mm, note: 'the \"arm\"' } # µ";
    let memory = texts(&[("jaw", table)]);
    let edit = set(&memory, "jaw.width", "64.5 mm").unwrap();
    assert_eq!((edit.path.as_str(), edit.line), ("params/jaw.yaml", 3));
    assert_eq!(edit.after, table.replace("62 mm ", "64.5 mm "));
    let edit = set(&memory, "arm", "max(1 mm, 2 mm)").unwrap();
    assert_eq!(edit.after, table.replace("value: 3 mm", "value: \"max(1 mm, 2 mm)\""));
    assert_eq!(values(&edit.design.evaluate(), "jaw.arm"), "jaw.arm 2 mm");
}

#[test]
fn cells_costs_and_texts_are_set_where_they_stand() {
    let table = "schedules: { s: { columns: { at: deg, what: text }, rows: { a: [1 deg, old] } } }\nparts: { p: { cost: 1 GBP } }\ndimensions: { pin: { text: M4 } }\n";
    let memory = texts(&[("t", table)]);
    for (name, text, before, after) in [
        ("t.s.a.at", "2 deg", "1 deg", "2 deg"),
        ("t.s.a.what", "new", "old", "new"),
        ("t.s.a.what", "12", "old", "\"12\""),
        ("t.p.cost", "2.5 EUR", "1 GBP", "2.5 EUR"),
        ("t.pin", "M5", "M4", "M5"),
        ("t.pin", "no", "M4", "\"no\""),
    ] {
        let edit = set(&memory, name, text).unwrap();
        assert_eq!(edit.after, table.replace(before, after), "{name}");
    }
}

#[test]
fn what_would_be_a_fault_is_refused() {
    let memory = texts(&[(
        "t",
        "dimensions:\n  a: 1 mm\n  b: a * 2\n  pin: { text: M4, one_of: [M4, M5] }\n  c: { value: 10 mm / a, unit: '' }\n  free: 3\n",
    )]);
    let slugs = |name: &str, text: &str| match set(&memory, name, text).unwrap_err() {
        EditFault::Faults(faults) => {
            faults.iter().map(|fault| fault.slug.to_string()).collect::<Vec<_>>().join(" ")
        }
        other => format!("{other:?}"),
    };
    assert_eq!(slugs("t.a", "3 deg"), "unit-mismatch");
    assert_eq!(slugs("t.a", "0 mm"), "domain");
    assert_eq!(slugs("t.a", "b"), "cycle");
    assert_eq!(slugs("t.a", "1 mmm"), "unknown-unit");
    assert_eq!(slugs("t.a", "nothing"), "unknown-name");
    assert_eq!(slugs("t.pin", "M6"), "bad-choice");
    assert_eq!(slugs("t.free", "1e3"), "bad-value");
}

/// What follows from another kind is not told beside it.
#[test]
fn another_kind_is_told_once() {
    let table = "dimensions:\n  a: { value: 1 mm, min: 0 mm }\n  b: a + 2 mm\n  free: 3 mm\n";
    let memory = texts(&[("t", table)]);
    let Err(EditFault::Faults(faults)) = set(&memory, "t.a", "3 deg") else { panic!("refused") };
    let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
    let fault = "t.a=:1:1: `t.a` is a length, and `3 deg` is an angle (unit-mismatch)\n  \
                 help: write an amount in mm";
    assert_eq!(told, [fault]);
    assert!(set(&memory, "t.free", "3 deg").is_ok(), "nothing minds");
}

#[test]
fn a_formula_is_only_replaced_on_purpose() {
    let memory = texts(&[("t", "dimensions:\n  a: 1 mm\n  b: a * 2\n")]);
    let refusal = set(&memory, "t.b", "3 mm").unwrap_err();
    assert_eq!(refusal, EditFault::IsFormula { name: "t.b".into(), formula: "a * 2".into() });
    let edit = Design::read(&memory).text_edit(&memory, "t.b", "3 mm", true).unwrap();
    assert_eq!(edit.after, "dimensions:\n  a: 1 mm\n  b: 3 mm\n");
}

#[test]
fn a_bare_name_will_do_where_only_one_table_has_it() {
    let memory = texts(&[
        ("a", "dimensions: { x: 1 mm, only: 2 mm }\n"),
        ("b", "dimensions: { x: 3 mm }\n"),
    ]);
    assert_eq!(set(&memory, "only", "5 mm").unwrap().name, "a.only");
    let refusal = set(&memory, "x", "5 mm").unwrap_err();
    assert_eq!(
        refusal,
        EditFault::Ambiguous { name: "x".into(), candidates: vec!["a.x".into(), "b.x".into()] }
    );
    assert!(matches!(set(&memory, "y", "5 mm"), Err(EditFault::NotFound { .. })));
}

/// A table in one of many layouts, with `count` chosen dimensions named d0, d1, …
fn table() -> impl Strategy<Value = (String, usize)> {
    let entry = (0..7_usize, 0..4_usize, 0..3_usize, -99..999_i32);
    (prop::collection::vec(entry, 1..8), any::<bool>(), any::<bool>(), any::<bool>()).prop_map(
        |(entries, crlf, bom, last_line_end)| {
            let count = entries.len();
            let mut text = String::from("# µ ± table\n\ndimensions:\n");
            for (index, (form, blanks, remark, number)) in entries.into_iter().enumerate() {
                let gap = " ".repeat(blanks + 1);
                let remark = ["", "   # keep, ± this: it's", " #"][remark];
                let value = format!("{number} mm");
                let line = match form {
                    0 => format!("d{index}:{gap}{value}{remark}"),
                    1 => format!("d{index}:{gap}'{value}'{remark}"),
                    2 => format!("d{index}:{gap}\"{value}\"{remark}"),
                    3 => format!("d{index}:{gap}{{ note: 'µ', value:{gap}{value} }}{remark}"),
                    4 => format!(
                        "d{index}:{remark}\n    note: ± 3 \"or so\"\n    value:{gap}{value}{remark}"
                    ),
                    5 => format!("d{index}: >{remark}\n    {value}\n"),
                    _ => format!("d{index}:\n    {value}{remark}"),
                };
                text.push_str(&format!("  {line}\n"));
                if blanks == 3 {
                    text.push_str("\n  # between\n");
                }
            }
            if !last_line_end {
                text.truncate(text.trim_end().len());
            }
            if crlf {
                text = text.replace('\n', "\r\n");
            }
            if bom {
                text.insert(0, '\u{feff}');
            }
            (text, count)
        },
    )
}

proptest! {
    #[test]
    fn in_any_layout_only_the_bytes_of_the_value_change((text, count) in table(), which in 0..8_usize, new in 1000..9999_i32) {
        let memory = texts(&[("t", &text)]);
        let design = Design::read(&memory);
        let before = design.evaluate();
        prop_assert!(before.faults().is_empty(), "{:?}\n{text}", before.faults());
        let name = format!("t.d{}", which % count);
        let old = before.value(&name).unwrap().to_string();
        let new = format!("{new} mm");
        let edit = design.text_edit(&memory, &name, &new, false).unwrap();
        // Same text in front of and behind the value, whatever its layout.
        let same_start = text.bytes().zip(edit.after.bytes()).take_while(|(a, b)| a == b).count();
        let same_end = text.bytes().rev().zip(edit.after.bytes().rev()).take_while(|(a, b)| a == b).count();
        let gone = &text[floor(&text, same_start)..ceil(&text, text.len().saturating_sub(same_end).max(same_start))];
        prop_assert!(old.contains(gone.trim()), "{gone:?} is more than {old:?}");
        let after = edit.design.evaluate();
        prop_assert_eq!(after.value(&name).unwrap().to_string(), new);
        let comparison = Comparison::of(&before, &after);
        prop_assert_eq!(comparison.edits.len(), 1);
        prop_assert_eq!(memory.read("params/t.yaml").unwrap(), text.into_bytes());
    }
}

fn floor(text: &str, at: usize) -> usize {
    (0..=at).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

fn ceil(text: &str, at: usize) -> usize {
    (at..=text.len()).find(|at| text.is_char_boundary(*at)).unwrap_or(text.len())
}

#[test]
fn what_a_fault_does_not_touch_is_still_tried() {
    let jaw = "dimensions:\n  width: 62 mm\n  span: width * 2\n  leg: sqrt(width^2 - 100 mm^2)\n  \
               far: leg + 1 mm\nchecks:\n  reach: { require: far >= 3 mm, why: it must meet }\n";
    let before = good(&[("jaw", jaw)]);
    let trial = before.design().tried(&[("jaw.width", "6 mm")]).unwrap();
    let faults: Vec<_> = trial.faults.iter().map(|fault| (fault.slug, fault.place.line)).collect();
    assert_eq!(faults, [(setout_design::Slug::Domain, 4)]);
    let after = trial.design.evaluate();
    assert_eq!(values(&after, "jaw.span jaw.leg jaw.far"), "jaw.span 12 mm, jaw.leg ?, jaw.far ?");
    assert_eq!(after.checks()[0].verdict, setout_design::Verdict::Unknown);
    // The same values where no fault may come of them, and one that is wrong in itself.
    assert!(before.design().with(&[("jaw.width", "6 mm")]).is_err());
    assert!(before.design().tried(&[("jaw.width", "sqrt(0 mm^2 - 1 mm^2)")]).is_err());
}
