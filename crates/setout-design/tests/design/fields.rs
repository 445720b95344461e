//! Edits of a dimension's fields: in place where they are there, behind the others where not.

use proptest::prelude::*;
use setout_design::{
    Comparison, Design, EditFault, Field, FieldEdit, FieldsEdit, Memory, Source, What,
};

use crate::texts;

fn set(memory: &Memory, name: &str, fields: &[(Field, &str)]) -> Result<FieldsEdit, EditFault> {
    let edits: Vec<FieldEdit<'_>> = fields
        .iter()
        .map(|(field, new)| FieldEdit { name, field: *field, new: Some(new) })
        .collect();
    Design::read(memory).fields_edit(memory, &edits, false)
}

/// The table `t` with an edit in it, or as it was.
fn after(memory: &Memory, edit: &FieldsEdit) -> String {
    match edit.files.get("params/t.yaml") {
        Some([_, after]) => after.clone(),
        None => String::from_utf8(memory.read("params/t.yaml").unwrap()).unwrap(),
    }
}

/// A table with one edit in it.
#[track_caller]
fn edited(table: &str, name: &str, fields: &[(Field, &str)]) -> String {
    let memory = texts(&[("t", table)]);
    after(&memory, &set(&memory, name, fields).unwrap_or_else(|fault| panic!("{fault}")))
}

use Field::{Max, Min, Note, Tolerance, Unit, Value};

#[test]
fn a_field_that_is_there_is_changed_in_place() {
    let table = "dimensions:\n  a: { value: 62 mm, min: '55 mm' , note: µ, it's } # min: 55 mm\n  b:\n    note: >\n      folded\n      text\n    max:   9 mm  # max\n    value: 3 mm\n    tolerance: ±0.2 mm\n";
    let table = &table.replace(", it's", "");
    for (name, fields, from, to) in [
        ("t.a", vec![(Min, "50 mm")], "'55 mm'", "'50 mm'"),
        ("a", vec![(Note, "no")], "note: µ", "note: \"no\""),
        ("t.b", vec![(Max, "9.5 mm")], "  9 mm  #", "  9.5 mm  #"),
        ("t.b", vec![(Tolerance, "+0.1 -0.3 mm")], "±0.2 mm", "+0.1 -0.3 mm"),
        ("t.b", vec![(Tolerance, "printed")], "±0.2 mm", "printed"),
        ("t.b", vec![(Note, "one line")], "folded\n      text\n", "one line\n"),
        ("t.b", vec![(Max, "max(9 mm, b.x)")], "", ""),
    ] {
        if from.is_empty() {
            assert!(set(&texts(&[("t", table)]), name, &fields).is_err());
            continue;
        }
        assert_eq!(edited(table, name, &fields), table.replace(from, to), "{fields:?}");
    }
}

#[test]
fn a_new_field_stands_behind_the_others() {
    for (table, fields, after) in [
        (
            "dimensions:\r\n  a:\r\n      value: 3 mm   # value\r\n      # below\r\n  b: a\r\n",
            vec![(Max, "4 mm"), (Min, "2 mm")],
            "dimensions:\r\n  a:\r\n      value: 3 mm   # value\r\n      min: 2 mm\r\n      max: 4 mm\r\n      # below\r\n  b: a\r\n",
        ),
        (
            "dimensions:\n  a:\n    value: 3 mm",
            vec![(Note, "that: is #1")],
            "dimensions:\n  a:\n    value: 3 mm\n    note: \"that: is #1\"",
        ),
        (
            "dimensions:\n  a:\n    value: 3 mm\n    note: |+\n      kept\n\n\n  b: a\n",
            vec![(Unit, "m")],
            "dimensions:\n  a:\n    value: 3 mm\n    unit: m\n    note: |+\n      kept\n\n\n  b: a\n",
        ),
        (
            "dimensions:\n  a: { value: 3 mm, note: x }   # a\n",
            vec![(Min, "max(1 mm, 2 mm)"), (Unit, "in")],
            "dimensions:\n  a: { value: 3 mm, note: x, unit: in, min: \"max(1 mm, 2 mm)\" }   # a\n",
        ),
        (
            "dimensions:\n  a: { value: 3 mm,\n       note: x,   # a\n     }\n",
            vec![(Tolerance, "H7")],
            "dimensions:\n  a: { value: 3 mm,\n       note: x,   # a\n       tolerance: H7,\n     }\n",
        ),
    ] {
        assert_eq!(edited(table, "a", &fields), after);
    }
}

#[test]
fn a_short_form_gets_braces() {
    for (table, fields, after) in [
        (
            "dimensions:\n  a:   62 mm   # over all\n",
            vec![(Min, "55 mm")],
            "dimensions:\n  a:   { value: 62 mm, min: 55 mm }   # over all\n",
        ),
        (
            "dimensions:\n  a: '62 mm'\n  b: \"max(a, 2 mm)\"",
            vec![(Value, "63 mm"), (Max, "b * 2")],
            "dimensions:\n  a: { value: '63 mm', max: b * 2 }\n  b: \"max(a, 2 mm)\"",
        ),
        (
            "dimensions: { a: 62 mm , c: a }\n",
            vec![(Unit, "cm"), (Note, "12")],
            "dimensions: { a: { value: 62 mm, unit: cm, note: \"12\" } , c: a }\n",
        ),
        (
            "dimensions:\n  a: >-   # folded\n    max(1 mm,\n    2 mm)\n  c: a\n",
            vec![(Tolerance, "±0.1 mm")],
            "dimensions:\n  a: { value: \"max(1 mm, 2 mm)\", tolerance: ±0.1 mm }   # folded\n  c: a\n",
        ),
        (
            "dimensions:\n  a:\n    60 mm +\n      2 mm  # two\n",
            vec![(Note, "x")],
            "dimensions:\n  a:\n    { value: 60 mm + 2 mm, note: x }  # two\n",
        ),
    ] {
        assert_eq!(edited(table, "t.a", &fields), after);
    }
}

#[test]
fn fields_that_need_each_other_are_set_together() {
    let table = "dimensions: { a: { value: 3 mm, min: 2 mm, max: 4 mm } }\n";
    let all = [(Max, "80 mm"), (Value, "75 mm"), (Min, "71 mm"), (Unit, "cm")];
    let memory = texts(&[("t", table)]);
    let edit = set(&memory, "a", &all).unwrap();
    assert_eq!(
        after(&memory, &edit),
        "dimensions: { a: { value: 75 mm, min: 71 mm, max: 80 mm, unit: cm } }\n"
    );
    assert_eq!((edit.lines.len(), edit.lines[0].line), (1, 1));
    let before = Design::read(&texts(&[("t", table)])).evaluate();
    let found = Comparison::of(&before, &edit.design.evaluate());
    let whats: Vec<What> = found.edits.iter().map(|edit| edit.what).collect();
    assert_eq!(whats, [What::Value, What::Limits, What::Unit]);
}

#[test]
fn new_lines_and_changed_ones_are_told() {
    let table = "dimensions:\n  a:\n    value: 3 mm\n    note: x\n";
    let edit = set(&texts(&[("t", table)]), "a", &[(Min, "1 mm"), (Note, "y")]).unwrap();
    let lines: Vec<_> =
        edit.lines.iter().map(|e| (e.line, e.before.as_deref(), e.after.as_deref())).collect();
    assert_eq!(lines, [(4, Some("note: x"), Some("note: y")), (5, None, Some("min: 1 mm"))]);
}

#[test]
fn what_does_not_fit_is_refused_with_the_line_as_it_would_be() {
    let memory = texts(&[(
        "t",
        "dimensions:\n  a: 3 mm\n  pin: { text: M4 }\n  b: a\nparts: { p: { cost: 1 GBP } }\n",
    )]);
    let slugs = |name: &str, fields: &[(Field, &str)]| match set(&memory, name, fields) {
        Err(EditFault::Brings { faults, texts }) => {
            let text = texts.read("params/t.yaml").unwrap();
            let line = String::from_utf8(text)
                .unwrap()
                .lines()
                .nth(faults[0].place.line - 1)
                .unwrap()
                .to_owned();
            format!("{} in {line}", faults[0].slug)
        }
        Err(other) => other.to_string(),
        Ok(edit) => after(&memory, &edit),
    };
    assert_eq!(slugs("a", &[(Min, "3 deg")]), "unit-mismatch in   a: { value: 3 mm, min: 3 deg }");
    assert_eq!(
        slugs("a", &[(Unit, "furlongs")]),
        "unknown-unit in   a: { value: 3 mm, unit: furlongs }"
    );
    assert_eq!(
        slugs("a", &[(Min, "nothing")]),
        "unknown-name in   a: { value: 3 mm, min: nothing }"
    );
    assert_eq!(
        slugs("a", &[(Tolerance, "0.2 mm")]),
        "bad-value in   a: { value: 3 mm, tolerance: 0.2 mm }"
    );
    assert_eq!(
        slugs("a", &[(Min, "5 mm"), (Max, "4 mm")]),
        "bad-limits in   a: { value: 3 mm, min: 5 mm, max: 4 mm }"
    );
    assert_eq!(slugs("pin", &[(Min, "5 mm")]), "bad-value in   pin: { text: M4, min: 5 mm }");
    assert_eq!(slugs("b", &[(Value, "5 mm")]), "`t.b` is the formula `a`");
    assert_eq!(
        slugs("t.p.cost", &[(Min, "1 GBP")]),
        "`t.p.cost` is a part's own value and has no `min`"
    );
}

/// A table in one of many layouts, with dimensions named d0, d1, …
fn table() -> impl Strategy<Value = (String, usize)> {
    let entry = (0..9_usize, 0..3_usize, 1..999_i32);
    let entries = prop::collection::vec(entry, 1..7);
    (entries, any::<bool>(), any::<bool>(), any::<bool>()).prop_map(|(entries, crlf, bom, open)| {
        let count = entries.len();
        let mut text = String::from("# µ\n\ndimensions:\n");
        for (index, (form, remark, number)) in entries.into_iter().enumerate() {
            let (d, v) = (format!("d{index}"), format!("{number} mm"));
            let r = ["", "   # keep, ± this: it's", " #"][remark];
            let line = match form {
                0 => format!("{d}:   {v}{r}"),
                1 => format!("{d}: '{v}'{r}"),
                2 => format!("{d}: {{ note: 'µ', value:  {v} }}{r}"),
                3 => format!("{d}: {{ min: 0 mm, value: \"{v}\", unit: mm, }}{r}"),
                4 => format!("{d}:{r}\n    note: ± 3 \"or so\"\n    value: {v}{r}"),
                5 => format!("{d}: >{r}\n    {v}\n"),
                6 => format!("{d}:\n    {v}{r}"),
                7 => format!(
                    "{d}:\n       value: {v}\n       max: >-\n         9999 mm\n       # below"
                ),
                _ => format!("{d}: {{ value: {v},{r}\n       tolerance: ±0.1 mm{r}\n     }}{r}"),
            };
            text.push_str(&format!("  {line}\n"));
        }
        if open {
            text.truncate(text.trim_end().len());
        }
        if crlf {
            text = text.replace('\n', "\r\n");
        }
        if bom {
            text.insert(0, '\u{feff}');
        }
        (text, count)
    })
}

fn fields() -> impl Strategy<Value = Vec<(Field, &'static str)>> {
    let of = [
        (Value, vec!["7 mm", "1234 mm / 2"]),
        (Unit, vec!["in", "m"]),
        (Min, vec!["-3 mm", "0.1 mm", "min(0 mm, 1 mm)"]),
        (Max, vec!["8888 mm", "max(5 m, 6 m)"]),
        (Tolerance, vec!["±0.3 mm", "printed", "+0.1 -0.2 mm"]),
        (Note, vec!["a note: #1, µ", "no", "'x' \"y\" \\"]),
    ];
    let one = of.map(|(field, texts)| {
        prop::option::of(prop::sample::select(texts))
            .prop_map(move |text| text.map(|text| (field, text)))
    });
    one.prop_map(|fields| fields.into_iter().flatten().collect())
}

proptest! {
    #[test]
    fn in_any_layout_only_these_fields_differ((text, count) in table(), which in 0..7_usize, fields in fields()) {
        let memory = texts(&[("t", &text)]);
        let before = Design::read(&memory).evaluate();
        prop_assert!(before.faults().is_empty(), "{:?}\n{text}", before.faults());
        let name = format!("t.d{}", which % count);
        let edit = set(&memory, &name, &fields);
        prop_assert!(edit.is_ok(), "{fields:?} of {name}: {}\n{text}", edit.unwrap_err());
        let edit = edit.unwrap();
        let now = after(&memory, &edit);
        // All lines of the other dimensions, and all comments, are there byte for byte.
        let own = format!("d{}:", which % count);
        for line in text.split_inclusive('\n').filter(|line| line.starts_with("  d") && !line.contains(&own)) {
            prop_assert!(now.contains(line.trim_end()), "{line}\n{}", now);
        }
        prop_assert_eq!(text.matches('#').count() + fields.iter().filter(|(_, text)| text.contains('#')).count(), now.matches('#').count(), "{}", now);
        prop_assert_eq!(text.contains('\r'), now.contains('\r'));
        prop_assert_eq!(now.matches('\n').count(), now.matches("\r\n").count() + if text.contains('\r') { 0 } else { now.matches('\n').count() });
        let edits = Comparison::of(&before, &edit.design.evaluate()).edits;
        prop_assert!(edits.iter().all(|edit| edit.name == name));
        // A second time there is nothing to do.
        let mut again = memory.clone();
        again.insert("params/t.yaml", now.as_str());
        let second = set(&again, &name, &fields);
        let second = match second {
            Err(EditFault::IsFormula { .. }) => return Ok(()),
            second => second.unwrap(),
        };
        prop_assert_eq!(after(&again, &second), now);
    }
}
