//! The model of a design that differs from another one in what its formulas say, and not in what
//! there is or in which names they use: most of it is the other's.
//!
//! Two states of a design that are compared, and a design with other values, are nearly always
//! such a pair. What follows from names alone, the graph above all, is then shared; what stands in
//! tables that differ gets its places anew, and formulas that differ are written anew. Where a
//! kind of quantity turns out to be another, or anything is a fault, there is no such model and the
//! whole is built.

use std::sync::Arc;

use super::compile::rewrite;
use super::processes::process_faults;
use super::unused::unused;
use super::{CadFile, Model, NodeOf, expr_of};
use crate::Place;
use crate::document::{Cad, Check, Dimension, Expr, Literal, Part, Row, Schedule, Table, Value};
use crate::material::Material;

/// Whether two designs, both read without faults, have the same things of the same names, and
/// formulas that use the same names.
pub(crate) fn is_alike(one: &Material, other: &Material) -> bool {
    are_tables_alike(one, other)
        && (Arc::ptr_eq(&one.cad, &other.cad)
            || each(one.cad.iter(), other.cad.iter(), |a, b| a.0 == b.0 && models(a.1, b.1)))
}

/// The same of their tables alone: models of parts may use other names.
pub(crate) fn are_tables_alike(one: &Material, other: &Material) -> bool {
    one.has_same_common(other)
        && each(&one.tables, &other.tables, |a, b| Arc::ptr_eq(a, b) || tables(a, b))
}

/// The model of a design, from that of another which is [alike](is_alike) and has no faults. None
/// where it would have another form, or a fault.
pub(crate) fn model_like(material: &Material, other: &Material, model: &Model) -> Option<Model> {
    if !process_faults(material).is_empty() {
        return None;
    }
    let mut made = model.clone();
    let pairs = material.tables.iter().zip(&other.tables);
    let differs: Vec<bool> = pairs.map(|(one, other)| !Arc::ptr_eq(one, other)).collect();
    let mut changed = Vec::new();
    for node in 0..made.nodes.len() {
        let of = made.nodes[node].of;
        let Some((table, place)) = stands(&made, material, of) else { continue };
        if !differs[table as usize] {
            continue;
        }
        made.nodes[node].place = place.clone();
        let says = |material| says(material, &made, of);
        if says(material) != says(other) {
            changed.push(node as u32);
        }
    }
    if !rewrite(&mut made, material, &changed) {
        return None;
    }
    made.warnings = unused(&made);
    Some(made)
}

/// The table that a node stands in, and where.
fn stands<'m>(model: &Model, material: &'m Material, of: NodeOf) -> Option<(u32, &'m Place)> {
    let of = match of {
        NodeOf::Min { slot }
        | NodeOf::Max { slot }
        | NodeOf::TravelFrom { slot }
        | NodeOf::TravelTo { slot } => model.nodes[slot as usize].of,
        of => of,
    };
    let in_table = |table: u32| &*material.tables[table as usize];
    let place = match of {
        NodeOf::Dimension { table, index } => &in_table(table).dimensions[index as usize].place,
        NodeOf::Cell { table, schedule, row, column } => {
            let rows = &in_table(table).schedules[schedule as usize].rows;
            &rows[row as usize].cells[column as usize].0
        }
        NodeOf::Cost { table, part }
        | NodeOf::Mass { table, part }
        | NodeOf::Quantity { table, part } => &in_table(table).parts[part as usize].place,
        NodeOf::Check { check } | NodeOf::Tight { check } => {
            let nodes = model.checks[check as usize];
            return Some((nodes.table, &in_table(nodes.table).checks[nodes.index as usize].place));
        }
        _ => return None,
    };
    Some((of.table()?, place))
}

/// What is written of a node, and whether it is a text.
fn says<'m>(material: &'m Material, model: &Model, of: NodeOf) -> Option<(&'m str, bool)> {
    match material.value(of) {
        Some(value) => value.says(),
        None => Some((expr_of(material, &model.nodes, &model.checks, of)?.text(), false)),
    }
}

/// Whether two lists are of one length and each pair of them is alike.
fn each<A, B>(
    one: impl IntoIterator<Item = A, IntoIter: ExactSizeIterator>,
    other: impl IntoIterator<Item = B, IntoIter: ExactSizeIterator>,
    alike: impl Fn(A, B) -> bool,
) -> bool {
    let (one, other) = (one.into_iter(), other.into_iter());
    one.len() == other.len() && one.zip(other).all(|(a, b)| alike(a, b))
}

fn tables(one: &Table, other: &Table) -> bool {
    one.name == other.name
        && one.file == other.file
        && each(&one.dimensions, &other.dimensions, dimensions)
        && each(&one.schedules, &other.schedules, schedules)
        && each(&one.checks, &other.checks, checks)
        && each(&one.parts, &other.parts, parts)
}

fn models(one: &Arc<CadFile>, other: &Arc<CadFile>) -> bool {
    Arc::ptr_eq(one, other) || one.identifiers == other.identifiers
}

// Each thing is taken apart whole: where it gets another field, it has to be said here whether
// models rest on it.

fn dimensions(one: &Dimension, other: &Dimension) -> bool {
    let Dimension {
        name,
        value,
        unit,
        min,
        max,
        travel,
        one_of,
        // These are looked through anew.
        place: _,
        tolerance: _,
        tolerance_at: _,
        spread: _,
        shares: _,
        // In no model.
        note: _,
    } = one;
    *name == other.name
        && values(value, &other.value)
        && *unit == other.unit
        && both(min.as_deref(), other.min.as_deref(), formulas)
        && both(max.as_deref(), other.max.as_deref(), formulas)
        && both(travel.as_deref(), other.travel.as_deref(), |a, b| each(a, b, formulas))
        && one_of.is_empty() == other.one_of.is_empty()
}

fn schedules(one: &Schedule, other: &Schedule) -> bool {
    let Schedule { name, place: _, about: _, columns, rows, lost } = one;
    let column = |a: &crate::document::Column, b: &crate::document::Column| {
        a.name == b.name && a.unit() == b.unit()
    };
    *name == other.name
        && *lost == other.lost
        && each(columns, &other.columns, column)
        && each(rows, &other.rows, row_of)
}

fn row_of(one: &Row, other: &Row) -> bool {
    let Row { name, place: _, cells } = one;
    *name == other.name && each(cells, &other.cells, |a, b| values(&a.1, &b.1))
}

fn checks(one: &Check, other: &Check) -> bool {
    let Check { name, place: _, require, tight, why: _ } = one;
    *name == other.name
        && both(require.as_ref(), other.require.as_ref(), formulas)
        && both(tight.as_ref(), other.tight.as_ref(), formulas)
}

fn parts(one: &Part, other: &Part) -> bool {
    let Part { name, quantity, cost, mass, cad, uses, place: _, made: _, material: _, note: _ } =
        one;
    let named = |a: &Literal, b: &Literal| a.text() == b.text();
    let path = |a: &Cad, b: &Cad| a.path == b.path;
    *name == other.name
        && both(quantity.as_ref(), other.quantity.as_ref(), formulas)
        && both(cost.as_ref(), other.cost.as_ref(), formulas)
        && both(mass.as_ref(), other.mass.as_ref(), formulas)
        && both(cad.as_ref(), other.cad.as_ref(), path)
        && each(uses, &other.uses, named)
}

/// Whether both are there and alike, or neither is.
fn both<T>(one: Option<T>, other: Option<T>, alike: impl Fn(T, T) -> bool) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => alike(one, other),
        (None, None) => true,
        _ => false,
    }
}

fn values(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Formula(one), Value::Formula(other)) => formulas(one, other),
        (Value::Text(_), Value::Text(_)) => true,
        _ => false,
    }
}

/// Whether two formulas use the same names in the same order.
fn formulas(one: &Expr, other: &Expr) -> bool {
    let (Some(one), Some(other)) = (&one.formula, &other.formula) else { return false };
    each(one.names(), other.names(), |a, b| a.name == b.name)
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "a test stops where it fails")]
mod tests {
    use crate::{Comparison, Design, Memory};

    const COMMON: &str = "\
setout: 1
currency: GBP
processes:
  printed: { tolerance: ±0.2 mm }
  cut: { tolerance: ±0.1 mm, spread: uniform }
  bare: {}
";

    const FRAME: &str = "dimensions:\n  depth: 100 mm\n  gap: depth - jaw.width\n";

    const JAW: &str = "\
dimensions:
  width: 62 mm
  half: width / 2 + frame.depth * 0
  plate: { value: 3 mm, tolerance: cut, spread: normal, note: as bought }
  opening: { value: 0 deg, travel: [0 deg, 28 deg] }
  lift: { value: sin(opening) * width, min: -1 mm, max: frame.depth }
  screw: { text: M4, one_of: [M3, M4] }
  hole: clearance_hole(screw, \"medium\")
  holes: { value: 4, unit: count }
schedules:
  servo:
    columns: { neutral: deg, made: text }
    rows: { left: [90 deg, a], right: [85 deg, b] }
checks:
  room: { require: gap_of >= 1 mm, why: it moves, tight: 0.5 mm }
  turns: { require: mean(servo.neutral) > 10 deg, why: it turns }
parts:
  body: { made: printed, quantity: 2, cost: 3 GBP, mass: 9 g, uses: [width, plate] }
";

    fn read(jaw: &str) -> Memory {
        let jaw = jaw.replace("gap_of", "frame.gap");
        let tables = [("design.yaml", COMMON), ("frame.yaml", FRAME)];
        let mut texts = Memory::new(tables);
        texts.insert("jaw.yaml", jaw);
        texts
    }

    /// All that a model holds but for what follows from names alone.
    fn whole(design: &Design) -> String {
        let model = &*design.model;
        let evaluation = design.evaluate();
        format!(
            "{:?}",
            (
                (&model.nodes, &model.tolerances, &model.errors, &model.program, &model.warnings),
                (evaluation.dimensions(), evaluation.schedules(), evaluation.parts()),
                (evaluation.checks(), evaluation.limits(), evaluation.faults()),
                evaluation.fingerprint(),
            )
        )
    }

    /// Whether the model of the sample table is shared with that of an edited one, which has to be
    /// what it is when read alone.
    #[track_caller]
    fn shares(from: &str, to: &str) -> bool {
        assert!(JAW.contains(from), "{from}");
        let texts = [read(JAW), read(&JAW.replace(from, to))];
        let mut shared = Vec::new();
        for [one, other] in [[0, 1], [1, 0]] {
            let (old, new) = Design::read_both(&texts[one], &texts[other]);
            let alone = [&texts[one], &texts[other]].map(|texts| Design::read(texts));
            assert!(whole(&old) == whole(&alone[0]), "{from} > {to}");
            assert!(whole(&new) == whole(&alone[1]), "{from} > {to}");
            let found = Comparison::of(&old.evaluate(), &new.evaluate());
            let known = Comparison::of(&alone[0].evaluate(), &alone[1].evaluate());
            assert_eq!(format!("{found:#?}"), format!("{known:#?}"), "{from} > {to}");
            shared.push(old.model.has_names_of(&new.model));
        }
        assert_eq!(shared[0], shared[1], "{from} > {to}");
        shared[0]
    }

    #[test]
    fn what_differs_in_what_formulas_say_shares_the_model() {
        for (from, to) in [
            ("62 mm", "64 mm"),
            ("width / 2 +", "width * 0.5 +"),
            ("3 mm, tolerance: cut", "3.2 mm, tolerance: cut"),
            ("tolerance: cut, spread: normal", "tolerance: printed"),
            ("tolerance: cut,", "tolerance: printed,"),
            ("tolerance: cut, spread: normal", "tolerance: +0.1 -0.3 mm"),
            (", tolerance: cut, spread: normal", ""),
            ("spread: normal", "shares: batch"),
            ("note: as bought", "note: as found"),
            ("28 deg", "30 deg"),
            ("min: -1 mm", "min: -2 cm"),
            ("sin(opening)", "cos(opening)"),
            ("value: 4", "value: 5"),
            ("[90 deg, a]", "[91 deg, a]"),
            (">= 1 mm, why: it moves", "> 1.5 mm, why: it has to"),
            ("tight: 0.5 mm", "tight: 0.05 cm"),
            ("mean(", "max("),
            ("quantity: 2, cost: 3 GBP", "quantity: 3, cost: 2 GBP"),
            ("made: printed", "made: cut"),
            ("dimensions:\n", "# longer\n\ndimensions:\n"),
            ("  half: width / 2", "  half: (width)\n    / 2"),
        ] {
            assert!(shares(from, to), "{from} > {to}");
        }
    }

    #[test]
    fn texts_that_differ_share_the_model() {
        // Texts have numbers in the order in which they are met, which differs.
        let texts = [
            read(JAW),
            read(
                &JAW.replace("text: M4", "text: M3")
                    .replace("medium", "fine")
                    .replace(", a]", ", c]"),
            ),
        ];
        let (old, new) = Design::read_both(&texts[0], &texts[1]);
        assert!(old.model.has_names_of(&new.model));
        let alone = [&texts[0], &texts[1]].map(|texts| Design::read(texts).evaluate());
        assert_eq!(old.evaluate().dimensions(), alone[0].dimensions());
        assert_eq!(old.evaluate().schedules(), alone[0].schedules());
        assert_eq!(new.evaluate().schedules(), alone[1].schedules());
        let found = Comparison::of(&old.evaluate(), &new.evaluate());
        assert_eq!(format!("{found:#?}"), format!("{:#?}", Comparison::of(&alone[0], &alone[1])));
        let names: Vec<&str> = found.edits.iter().map(|edit| edit.name.as_str()).collect();
        assert_eq!(names, ["jaw.screw", "jaw.hole", "jaw.servo.left.made"]);
    }

    #[test]
    fn what_differs_otherwise_does_not() {
        for (from, to) in [
            ("width / 2 +", "half_of / 2 +"),
            ("width / 2 +", "plate / 2 +"),
            ("62 mm", "6.2 cm"),
            ("62 mm", "62 deg"),
            ("62 mm", "frame.depth"),
            ("62 mm", "sqrt(-1)"),
            ("width: 62 mm", "width: { text: M4 }"),
            ("frame.depth * 0", "plate * 0"),
            ("min: -1 mm, ", ""),
            ("tolerance: cut, spread: normal", "tolerance: bare"),
            ("tolerance: cut, spread: normal", "tolerance: other"),
            ("tolerance: cut", "tolerance: ±1 deg"),
            ("unit: count", "unit: mm"),
            (", one_of: [M3, M4]", ""),
            ("neutral: deg", "neutral: rad"),
            ("right: [85", "other: [85"),
            (", tight: 0.5 mm", ""),
            ("tight: 0.5 mm", "tight: 5 deg"),
            (", mass: 9 g", ""),
            ("uses: [width, plate]", "uses: [width]"),
            ("uses: [width, plate]", "uses: [width, holes]"),
            ("made: printed", "made: unknown"),
            ("  hole:", "  hole_of:"),
            ("  width: 62 mm\n", "  more: 1 mm\n  width: 62 mm\n"),
        ] {
            assert!(!shares(from, to), "{from} > {to}");
        }
    }

    #[test]
    fn a_design_with_other_values_shares_its_model() {
        let design = Design::read(&read(JAW));
        for edits in [
            &[("jaw.width", "64 mm")][..],
            &[("jaw.screw", "M3"), ("jaw.half", "width / 3 + frame.depth")],
            &[("jaw.servo.left.neutral", "80 deg"), ("jaw.body.cost", "4 GBP")],
        ] {
            let with = design.with(edits).unwrap();
            assert!(with.model.has_names_of(&design.model), "{edits:?}");
        }
        let with = design.with(&[("jaw.half", "frame.depth / 3")]).unwrap();
        assert!(!with.model.has_names_of(&design.model));
    }
}
