//! OpenSCAD variables: top-level assignments, as values with units and formulas.
//!
//! The language has no units. What a variable is follows, in this order, from the unit at the
//! start of its comment, words of the comment, its name, how it is used, and else it is a length
//! in mm. Every such guess is told.

mod kinds;
mod remark;
mod statement;
mod syntax;
mod token;
mod tree;
mod usual;
mod value;
mod variables;
mod write;

use std::cell::RefCell;
use std::collections::HashMap;

use setout_quantity::Kind;

use crate::entry::{Draft, Entry, Held, Plain};
use crate::report::LeftOut;
use remark::Stated;
use tree::Expr;
use value::Value;
use variables::Variable;
use write::Writer;
pub(crate) use write::spelt;

/// The line by which our own exports are known; in them every comment begins with a unit.
const OURS: &str = "// setout fingerprint: ";

/// Everything that the assignments of a file give.
pub(crate) fn draft(text: &str) -> Draft {
    let ours = text.lines().take_while(|line| line.starts_with("//")).any(|l| l.starts_with(OURS));
    let mut draft = Draft::default();
    let statements = statement::statements(text);
    let found = variables::variables(text, statements, ours, &mut draft);
    let kinds = kinds::solve(&found);
    let names = variables::names(&found, &mut draft);
    let mut values = HashMap::new();
    let mut lost: HashMap<String, String> = HashMap::new();
    let kinds = RefCell::new(kinds);
    let writer = Writer { kinds: &kinds, names: &names, stated: stated(&found) };
    for variable in &found {
        match entry(variable, &writer, &values, &lost) {
            Ok((entry, value)) => {
                values.insert(variable.key.clone(), value);
                draft.sources.insert(entry.name.clone(), variable.key.clone());
                draft.entries.push(entry);
            }
            Err(why) => {
                lost.insert(variable.key.clone(), why.clone());
                let (line, text) = (variable.line, variable.text.clone());
                draft.left_out.push(LeftOut { line, text, why });
            }
        }
    }
    draft.guesses = usual::told(&found, &kinds.borrow(), &names);
    draft
}

/// The entry of a variable and what it comes to in the file.
fn entry(
    variable: &Variable,
    writer: &Writer<'_>,
    values: &HashMap<String, Value>,
    lost: &HashMap<String, String>,
) -> Result<(Entry, Value), String> {
    if let Some(why) = &variable.refused {
        return Err(why.clone());
    }
    let mut reads = Vec::new();
    variable.expr.names(&mut reads);
    if let Some(name) = reads.iter().find(|name| lost.contains_key(**name)) {
        return Err(format!("it depends on `{name}`, which is left out"));
    }
    if let Some(name) = reads.iter().find(|name| !values.contains_key(**name)) {
        return Err(variables::unknown(name, writer.names.contains_key(*name)));
    }
    let value = value::of(&variable.expr, values).ok_or("it comes to no number, text or truth")?;
    let name = &writer.names[&variable.key];
    let held = match &variable.expr {
        Expr::Text(text) => Held::Text(text.clone()),
        _ => Held::Formula(writer.formula(variable)?),
    };
    let mut entry = Entry::new(name, held, variable.line, &variable.text);
    entry.reads = reads.iter().map(|name| writer.names[*name].clone()).collect();
    entry.unit = writer.unit(variable, &value);
    entry.note.clone_from(&variable.remarks.note);
    entry.heading.clone_from(&variable.remarks.heading);
    if let (Some((low, high)), Value::Number(_)) = (variable.remarks.range, &value) {
        entry.min = Some(writer.limit(low, variable)?);
        entry.max = Some(writer.limit(high, variable)?);
    }
    entry.comes_to = Some(match &value {
        Value::Number(number) => Plain::Number(*number),
        Value::Text(text) => Plain::Text(text.clone()),
        Value::Truth(truth) => Plain::Truth(*truth),
    });
    Ok((entry, value))
}

/// The units that comments give, for all but lengths and angles, which have theirs.
fn stated(found: &[Variable]) -> HashMap<Kind, String> {
    let mut units = HashMap::new();
    for variable in found {
        match &variable.remarks.stated {
            Some(Stated::Unit(_, Kind::LENGTH | Kind::ANGLE | Kind::NUMBER)) | None => {}
            Some(Stated::Unit(unit, kind)) => {
                units.entry(*kind).or_insert_with(|| unit.clone());
            }
            Some(Stated::None) => {}
        }
    }
    units
}
