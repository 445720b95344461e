//! The formulas of a made design, by slots for those who have no names.

use std::fmt::Write as _;

use setout_bench::made::Term;
use setout_design::Memory;

use super::*;

/// A formula, and whether it is only a value.
pub(super) struct Slot {
    pub(super) value: Term,
    pub(super) is_chosen: bool,
}

/// All formulas, each behind what it depends on: the common one, then table by table.
pub(super) fn slots(size: Size) -> Vec<Slot> {
    let per_table = size.groups * GROUP;
    let mut slots = vec![Slot { value: Term::Amount(0.05, "mm"), is_chosen: true }];
    for table in 0..size.tables {
        let all = dimensions(size, table);
        slots.extend(all.map(|own| Slot {
            value: own.value.with_names(&|table, index| match table {
                COMMON => (0, 0),
                _ => (0, 1 + table * per_table + index),
            }),
            is_chosen: own.is_chosen,
        }));
    }
    slots
}

/// The design with its formulas alone, so that evaluating is that of formulas; more tables can be given
/// as one text.
pub(crate) fn bare(size: Size, probe: &str) -> Design {
    let mut texts = vec![
        ("design.yaml".to_owned(), "setout: 1\n".to_owned()),
        ("common.yaml".to_owned(), format!("dimensions:\n  {PLAY}: 0.05 mm\n")),
    ];
    for table in 0..size.tables {
        let mut text = "dimensions:\n".to_owned();
        for own in dimensions(size, table) {
            let _ =
                writeln!(text, "  {}: \"{}\"", own.name, own.value.written(&dialects::Own(table)));
        }
        texts.push((format!("t{table:03}.yaml"), text));
    }
    if !probe.is_empty() {
        texts.push(("probe.yaml".to_owned(), probe.to_owned()));
    }
    let texts = texts.iter().map(|(path, text)| (path.as_str(), text.as_str()));
    Design::read(&Memory::new(texts))
}
