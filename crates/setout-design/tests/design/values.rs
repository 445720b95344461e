//! Many values at once.

use setout_design::{Comparison, Design, EditFault, Memory};

use crate::texts;

const A: &str = "dimensions:\n  width: 62 mm   # width\n  half: >-\n    width\n    / 2\n  pin: { text: M4 }\nparts: { p: { cost: 1 GBP } }\n";
const B: &str = "dimensions: { least: { value: a.width, min: 60 mm }, low: 1 mm, high: 2 mm, span: 1 mm / (high - low) }\n";

fn set(edits: &[(&str, &str)]) -> Result<setout_design::ValuesEdit, EditFault> {
    let memory = texts(&[("a", A), ("b", B)]);
    Design::read(&memory).values_edit(&memory, edits)
}

#[test]
fn all_are_written_and_no_other_byte() {
    let edit =
        set(&[("b.high", "5 mm"), ("a.half", "31 mm"), ("pin", "no"), ("a.p.cost", "2 GBP")])
            .unwrap();
    let a = A
        .replace("    width\n    / 2\n", "    31 mm\n")
        .replace("M4", "\"no\"")
        .replace("1 GBP", "2 GBP");
    assert_eq!(edit.files["params/a.yaml"], [A.to_owned(), a]);
    assert_eq!(edit.files["params/b.yaml"], [B.to_owned(), B.replace("2 mm", "5 mm")]);
    let lines: Vec<_> = edit.lines.iter().map(|of| (&*of.name, of.line_before, of.line)).collect();
    assert_eq!(lines, [("b.high", 1, 1), ("a.half", 3, 3), ("a.pin", 6, 5), ("a.p.cost", 7, 6)]);
}

/// One after the other, these would divide by nothing.
#[test]
fn values_that_need_each_other_are_set_together() {
    let edit = set(&[("b.low", "2 mm"), ("b.high", "4 mm")]).unwrap();
    let before = Design::read(&texts(&[("a", A), ("b", B)])).evaluate();
    let found = Comparison::of(&before, &edit.design.evaluate());
    assert_eq!((found.edits.len(), found.changed.len()), (2, 1));
    let Err(EditFault::Faults(faults)) = set(&[("b.low", "2 mm"), ("a.width", "1 deg")]) else {
        panic!("they were meant to be refused");
    };
    assert!(
        faults.iter().any(|fault| fault.slug == setout_design::Slug::UnitMismatch),
        "{faults:?}"
    );
}

#[test]
fn what_stands_there_already_is_no_edit() {
    let edit = set(&[("a.width", "62 mm"), ("low", "1 mm")]).unwrap();
    assert!(edit.files.is_empty());
    let design = Design::read(&Memory::new([
        ("design.yaml", "setout: 1\n"),
        ("a.yaml", "dimensions: { x: 1 mm, y: x }\n"),
    ]));
    assert_eq!(design.derived_by("y").unwrap().as_deref(), Some("x"));
    assert_eq!(design.derived_by("x").unwrap(), None);
}
