//! Tables in any layout, edited in any way: only what was asked for differs.

use std::collections::BTreeMap;

use proptest::prelude::*;
use setout_design::{Comparison, Design, EditFault, Field, FieldEdit, Memory, Source, What};

use crate::drawn::{Drawn, TABLES, Written, designs};
use crate::moves::same_values;
use crate::rename::{rename, text, written};

/// How often each comment stands in some tables.
fn comments(memory: &Memory, tables: &[&str]) -> BTreeMap<String, usize> {
    let mut found = BTreeMap::new();
    for table in tables {
        for piece in text(memory, table).split(['\n', '\r']) {
            if let Some(at) = piece.find("#@") {
                *found.entry(piece[at..].to_owned()).or_insert(0) += 1;
            }
        }
    }
    found
}

/// Whether a thing is named in some lines.
fn is_named(lines: &str, name: &str) -> bool {
    let word = |c: char| c.is_ascii_alphanumeric() || c == '_';
    lines.split(|c| !word(c)).any(|found| found == name)
}

/// The line breaks of a text are all of one sort, and its mark is there if it was.
fn keeps_its_manners(before: &str, after: &str) -> bool {
    let sort = |text: &str| {
        let pairs = text.matches("\r\n").count();
        [text.matches('\n').count() - pairs, text.matches('\r').count() - pairs, pairs]
            .map(|n| n > 0)
    };
    let (was, is) = (sort(before), sort(after));
    let known = was.iter().filter(|has| **has).count() > 0;
    let same = (0..3).all(|i| !is[i] || was[i] || !known);
    same && before.starts_with('\u{feff}') == after.starts_with('\u{feff}')
}

fn lines_of(lines: &str, like: &str) -> String {
    let line_break = if like.contains("\r\n") {
        "\r\n"
    } else if like.contains('\r') {
        "\r"
    } else {
        "\n"
    };
    lines.trim_end().replace('\n', line_break)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_goes_to_another_table_takes_its_own_along(design in designs(), which in any::<prop::sample::Index>(), to in 1..3_usize, called in 0..3_usize) {
        let Written { memory, things } = &design;
        let before = Design::read(memory).evaluate();
        prop_assert!(before.faults().is_empty(), "{:?}\n{design:?}", before.faults());
        let thing = &things[which.index(things.len())];
        let (from, table) = (TABLES[thing.table], TABLES[(thing.table + to) % 3]);
        // The name that it has, another, or one that something beside it has.
        let beside = things.iter().find(|other| other.table == thing.table && other.name != thing.name);
        let new = match (called, beside) {
            (0, _) => thing.name.clone(),
            (1, Some(beside)) => beside.name.clone(),
            _ => format!("x{}", thing.name),
        };
        let (old, new) = (format!("{from}.{}", thing.name), format!("{table}.{new}"));
        let there = rename(memory, &old, &new);
        prop_assert!(there.is_ok(), "{}\n{design:?}", there.unwrap_err());
        let there = there.unwrap();
        let after = written(memory, &there);
        same_values(memory, &after, &there);
        // No comment is lost, and those of the thing are where it is.
        let all = |memory: &Memory| comments(memory, &TABLES);
        prop_assert_eq!(all(memory), all(&after), "{:?}", design);
        let own = comments(&after, &[table]);
        for comment in &thing.comments {
            prop_assert!(own.contains_key(comment), "{comment} of {old}\n{design:?}\n{}", text(&after, table));
        }
        // The others stand where they stood, byte for byte.
        for other in things.iter().filter(|other| other.name != thing.name && !is_named(&other.lines, &thing.name)) {
            let text = text(&after, TABLES[other.table]);
            let lines = lines_of(&other.lines, &crate::rename::text(memory, TABLES[other.table]));
            prop_assert!(text.contains(&lines), "{lines:?}\n{design:?}\n{text}");
        }
        for table in TABLES {
            prop_assert!(keeps_its_manners(&text(memory, table), &text(&after, table)), "{design:?}\n{:?}", text(&after, table));
        }
        let found = Comparison::of(&before, &Design::read(&after).evaluate());
        prop_assert!(found.changed.is_empty());
        // And back.
        let back = rename(&after, &new, &old);
        prop_assert!(back.is_ok(), "{}\n{design:?}\n{}", back.unwrap_err(), text(&after, table));
        let twice = written(&after, &back.unwrap());
        prop_assert!(Comparison::of(&before, &Design::read(&twice).evaluate()).is_empty());
        prop_assert_eq!(all(memory), all(&twice));
    }

    #[test]
    fn a_table_under_another_name_is_the_same_table(design in designs(), which in 0..3_usize) {
        let Written { memory, .. } = &design;
        let there = rename(memory, TABLES[which], "other").unwrap();
        let after = written(memory, &there);
        same_values(memory, &after, &there);
        let back = rename(&after, "other", TABLES[which]).unwrap();
        prop_assert_eq!(&written(&after, &back), memory);
    }

    #[test]
    fn fields_of_anything_are_set_and_taken_out(design in designs(), edits in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), 0..4_usize), 1..5)) {
        let Written { memory, things } = &design;
        let before = Design::read(memory).evaluate();
        prop_assert!(before.faults().is_empty(), "{:?}\n{design:?}", before.faults());
        let mut asked: Vec<(String, Field, Option<&str>)> = Vec::new();
        for (which, field, new) in edits {
            let thing = &things[which.index(things.len())];
            let Some((field, new)) = field_edit(thing.sort, field, new) else { continue };
            let name = format!("{}.{}", TABLES[thing.table], thing.name);
            if !asked.iter().any(|(other, of, _)| (other, *of) == (&name, field)) {
                asked.push((name, field, new));
            }
        }
        let set = |memory: &Memory| {
            let edits: Vec<FieldEdit<'_>> = asked.iter().map(|(name, field, new)| FieldEdit { name, field: *field, new: *new }).collect();
            Design::read(memory).fields_edit(memory, &edits, true)
        };
        let edit = match set(memory) {
            Ok(edit) => edit,
            // Limits that exclude each other, a text with limits: that is no fault of writing.
            Err(EditFault::Brings { faults, .. }) => {
                let told = faults.iter().all(|fault| matches!(fault.slug.as_str(), "bad-limits" | "unit-mismatch" | "cycle"));
                prop_assert!(told, "{faults:?}\n{asked:?}\n{design:?}");
                return Ok(());
            }
            Err(other) => return Err(TestCaseError::fail(format!("{other}\n{asked:?}\n{design:?}"))),
        };
        let mut after = memory.clone();
        for (path, [was, is]) in &edit.files {
            let read = memory.read(path).unwrap();
            prop_assert_eq!(was.as_bytes(), read.as_slice());
            after.insert(path, is.as_str());
        }
        // All that was not asked for is there byte for byte.
        let touched = |other: &Drawn| asked.iter().any(|(name, ..)| *name == format!("{}.{}", TABLES[other.table], other.name));
        for other in things.iter().filter(|other| !touched(other)) {
            let lines = lines_of(&other.lines, &text(memory, TABLES[other.table]));
            prop_assert!(text(&after, TABLES[other.table]).contains(&lines), "{lines:?}\n{asked:?}\n{design:?}");
        }
        for table in TABLES {
            prop_assert!(keeps_its_manners(&text(memory, table), &text(&after, table)), "{asked:?}\n{design:?}\n{:?}", text(&after, table));
        }
        if asked.iter().all(|(_, _, new)| new.is_some()) {
            // A list written anew may only lose what stood at an item that is gone.
            let lists = asked.iter().any(|(_, field, _)| field.is_list());
            let (was, is) = (comments(memory, &TABLES), comments(&after, &TABLES));
            prop_assert!(lists || was == is, "{asked:?}\n{design:?}\n{:?}", edit.files);
        }
        let found = Comparison::of(&before, &Design::read(&after).evaluate());
        for one in &found.edits {
            let meant = asked.iter().any(|(name, field, _)| one.name == *name || one.name == format!("{name}.{}", field.key()));
            prop_assert!(meant && one.what != What::Renamed, "{one:?}\n{asked:?}\n{design:?}");
        }
        // A second time there is nothing to do.
        let again = set(&after);
        prop_assert!(again.is_ok(), "{}\n{asked:?}\n{design:?}", again.unwrap_err());
        prop_assert!(again.unwrap().files.is_empty(), "{asked:?}\n{design:?}");
    }
}

/// A field of a sort of thing, and what it could hold.
fn field_edit(
    sort: usize,
    field: prop::sample::Index,
    new: usize,
) -> Option<(Field, Option<&'static str>)> {
    let fields: &[(Field, [Option<&'static str>; 4])] = match sort {
        0 => &[
            (
                Field::Value,
                [Some("7 mm"), Some("1 mm + 2 mm"), Some("max(7 mm, 8 mm)"), Some("-2e-1 mm")],
            ),
            (Field::Unit, [Some("in"), Some("m"), Some("cm"), None]),
            (Field::Min, [Some("-9 km"), Some("min(-9 km, -8 km)"), Some("-1 mm - 9 km"), None]),
            (Field::Max, [Some("9 km"), Some("max(8 km, 9 km)"), Some("1 mm + 9 km"), None]),
            (
                Field::Travel,
                [
                    Some("-9 km, 9 km"),
                    Some("[-1 km, max(1 km, 9 km)]"),
                    Some("[ -7 km ,8 km ]"),
                    None,
                ],
            ),
            (Field::Tolerance, [Some("±0.2 mm"), Some("+0.1 -0.3 mm"), Some("printed"), None]),
            (Field::Spread, [Some("uniform"), Some("normal"), Some("triangular"), None]),
            (Field::Shares, [Some("nozzle"), Some("-nozzle"), Some("none"), None]),
            (Field::Note, [Some("a: b, #c [µ"), Some("no"), Some("'x' \"y\" \\"), None]),
        ],
        2 => &[
            (
                Field::Require,
                [
                    Some("1 mm > 0 mm"),
                    Some("max(1 mm, 2 mm) >= 1 mm && true"),
                    Some("2 > 1"),
                    Some("!(1 > 2)"),
                ],
            ),
            (Field::Tight, [Some("1 um"), Some("max(1 um, 2 um)"), Some("3 nm"), None]),
            (Field::Why, [Some("µ: because # of"), Some("12"), Some("- x"), None]),
        ],
        3 => &[
            (Field::Made, [Some("printed"), Some("cut"), Some("bought"), None]),
            (Field::Material, [Some("PETG, black"), Some("010"), Some("{x}"), None]),
            (Field::Quantity, [Some("3"), Some("2 * 2"), Some("max(1, 2)"), None]),
            (Field::Cost, [Some("3 GBP"), Some("max(1 GBP, 2 GBP)"), Some("2 * 1 GBP"), None]),
            (Field::Mass, [Some("3 g"), Some("min(1 g, 2 g)"), Some("2 * 1 g"), None]),
            (Field::Note, [Some("# first"), Some("~"), Some(": x"), None]),
        ],
        _ => return None,
    };
    let (field, texts) = &fields[field.index(fields.len())];
    Some((*field, texts[new]))
}
