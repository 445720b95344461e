//! CSV: our own export, and whatever has a header with `name` and `value`.
//!
//! A first part of a dotted name is a table. Where one of them is the table asked for, it alone
//! is taken; a lone one is taken whatever it is called; several become first parts of names.

mod cells;
mod records;

use std::collections::{BTreeSet, HashSet};

use setout_export::unguarded;

use crate::entry::{Draft, Entry, Held, Plain};
use crate::names::{Names, is_name};
use crate::report::excerpt;
use records::{Record, records};

/// Everything that the records of a file give.
pub(crate) fn draft(text: &str, table: &str) -> Draft {
    let mut draft = Draft::default();
    let records = records(text, &mut draft);
    let tables: BTreeSet<&str> = records.iter().filter_map(Record::table).collect();
    let only = tables.contains(table).then_some(table);
    let flat = only.is_none() && tables.len() > 1;
    let wanted: Vec<(String, &Record)> = records
        .iter()
        .filter_map(|record| match local_name(record, only, flat) {
            Ok(name) => Some((name, record)),
            Err(why) => {
                draft.left_out.push(record.left_out(why));
                None
            }
        })
        .collect();
    let (cells, dimensions): (Vec<_>, Vec<_>) =
        wanted.into_iter().partition(|(name, _)| name.contains('.'));
    dimensions_of(&dimensions, &mut draft);
    cells::schedules_of(&cells, &mut draft);
    let derived = dimensions.iter().filter(|(_, record)| record.kind == "derived");
    let derived = derived.map(|(name, _)| name.clone()).collect();
    draft.guesses.push(("values of what was derived, as CSV has no formulas", derived));
    draft
}

/// The name in the table; one with dots is that of a cell.
fn local_name(record: &Record, only: Option<&str>, flat: bool) -> Result<String, String> {
    let Some((table, rest)) = record.name.split_once('.') else {
        return Ok(record.name.clone());
    };
    match only {
        Some(only) if table != only => {
            Err(format!("it belongs to the table `{table}`; take that with --table {table}"))
        }
        None if flat => Ok(format!("{table}_{rest}")),
        _ => Ok(rest.to_owned()),
    }
}

fn dimensions_of(dimensions: &[(String, &Record)], draft: &mut Draft) {
    let mut names = Names::keeping(dimensions.iter().map(|(name, _)| name.as_str()));
    let mut seen = HashSet::new();
    for (name, record) in dimensions {
        if !seen.insert(name) {
            draft
                .left_out
                .push(record.left_out(format!("`{name}` stands twice, and the first counts")));
            continue;
        }
        match held(record) {
            Ok((held, value)) => {
                let (to, renamed) = names.give(name);
                draft.renamed.extend(renamed);
                draft.entries.push(entry(&to, held, value, record));
            }
            Err(why) => draft.left_out.push(record.left_out(why)),
        }
    }
}

fn entry(name: &str, held: Held, value: Plain, record: &Record) -> Entry {
    let some = |text: &str| Some(unguarded(text).to_owned()).filter(|text| !text.is_empty());
    let limit = |text: &str| number(text).ok().map(|n| in_unit(n, &record.unit));
    let mut entry = Entry::new(name, held, record.line, &record.text);
    entry.in_base = false;
    if matches!(value, Plain::Number(_)) {
        (entry.min, entry.max) = (limit(&record.min), limit(&record.max));
        entry.tolerance = some(&record.tolerance);
        entry.unit = (record.unit == "count").then(|| "count".to_owned());
    }
    entry.note = some(&record.note).map(|note| note.replace(['\n', '\r'], " "));
    entry.comes_to = Some(value);
    entry
}

/// What a record holds, as it is written and as it must come out again.
fn held(record: &Record) -> Result<(Held, Plain), String> {
    let text = record.value.as_str();
    match number(text) {
        Ok(number) => Ok((Held::Formula(in_unit(number, &record.unit)), Plain::Number(number))),
        Err(Some(why)) => Err(why),
        Err(None) if !record.unit.is_empty() => Err(format!(
            "`{}` is no number, and it has the unit `{}`",
            excerpt(text),
            excerpt(&record.unit)
        )),
        Err(None) if matches!(text, "true" | "false") => {
            Ok((Held::Formula(text.to_owned()), Plain::Truth(text == "true")))
        }
        Err(None) if text.starts_with('=') => Err("it is a formula of another program".into()),
        Err(None) if text.is_empty() => Err("it has no value".into()),
        Err(None) => {
            let text = unguarded(text).to_owned();
            Ok((Held::Text(text.clone()), Plain::Text(text)))
        }
    }
}

/// A number with its unit, as a formula.
fn in_unit(number: f64, unit: &str) -> String {
    let number = crate::openscad::spelt(number);
    if matches!(unit, "" | "count") { number } else { format!("{number} {unit}") }
}

/// A number; `Err(None)` where it is none at all, and a reason where it only looks like one.
fn number(text: &str) -> Result<f64, Option<String>> {
    let plain = |b: u8| b.is_ascii_digit() || matches!(b, b'+' | b'-' | b'.' | b'e' | b'E');
    if text.bytes().any(|b| b.is_ascii_digit())
        && text.bytes().all(plain)
        && let Some(number) = text.parse().ok().filter(|n: &f64| n.is_finite())
    {
        return Ok(number);
    }
    let grouped =
        |c: char| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | ',' | ' ' | '\'' | '\u{a0}');
    if text.contains(',') && text.chars().any(|c| c.is_ascii_digit()) && text.chars().all(grouped) {
        return Err(Some(format!(
            "whether the comma in `{text}` is a decimal one is not guessed; write a point"
        )));
    }
    Err(None)
}

/// Whether each part of a cell's name is one.
fn are_names(parts: &[&str]) -> bool {
    parts.iter().all(|part| is_name(part))
}
