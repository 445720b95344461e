//! Every place of a design, filled with every odd thing: what the reader takes, the schemas take.

use proptest::prelude::*;

use crate::things::ODD;
use crate::{complaint, is_read};

/// A design in which each `‹value›` is a place that is filled.
const DESIGN: &str = "\
setout: ‹1›
name: ‹A jaw›
about: ‹with a tongue›
currency: ‹GBP›
rates: ‹{ EUR: 0.85 GBP }›
processes:
  printed:
    tolerance: ‹±0.2 mm›
    spread: ‹normal›
    note: ‹0.4 mm nozzle›
  sewn: ‹{}›
exports: ‹[]›
";

const TABLE: &str = "\
about: ‹Lower jaw›
dimensions:
  short: ‹62 mm›
  length:
    value: ‹12 mm›
    unit: ‹cm›
    min: ‹short / 62›
    max: ‹20 mm›
    tolerance: ‹printed›
    spread: ‹uniform›
    note: ‹why›
  axis: { value: 0 deg, travel: ‹[0 deg, 28 deg]› }
  plain: { value: ‹2›, unit: ‹\"\"›, min: ‹0›, max: ‹4 / 1›, tolerance: ‹±0.1›, travel: ‹[0, 3]› }
  yes_or_no: { value: ‹true› }
  sure: ‹true›
  screw: { text: ‹M4›, one_of: ‹[M4, M5]›, note: ‹steel› }
  chosen: { value: ‹screw›, one_of: ‹[M4, M5]› }
  longer: ‹{ value: 3 mm }›
schedules:
  servo:
    about: ‹a row each›
    columns: ‹{ channel: count, size: text, on: \"\" }›
    rows: ‹{ left: [0, small, 1] }›
  lamp:
    columns: { channel: ‹count›, size: ‹text› }
    rows: { left: ‹[1, big]›, right: [‹2›, ‹big›] }
  bare: ‹{ columns: {} }›
checks:
  fits: { require: ‹short >= 1 mm›, tight: ‹0.5 mm›, why: ‹it must› }
  same: { require: ‹plain == 2› }
  other: ‹{ require: short < 1 m }›
parts:
  jaw:
    made: ‹printed›
    material: ‹PETG›
    quantity: ‹1›
    cost: ‹1.20 GBP›
    mass: ‹38 g›
    uses: ‹[short]›
    note: ‹on its back›
  hook: ‹{ made: bought }›
";

/// The text with its places filled: those that are named with something odd.
fn filled(template: &str, odd: &[(usize, &str)]) -> String {
    let mut text = String::new();
    for (index, piece) in template.split('‹').enumerate() {
        match piece.split_once('›') {
            None => text.push_str(piece),
            Some((usual, rest)) => {
                let other = odd.iter().find(|(place, _)| place + 1 == index);
                text.push_str(other.map_or(usual, |(_, odd)| odd));
                text.push_str(rest);
            }
        }
    }
    text
}

fn places(template: &str) -> usize {
    template.matches('‹').count()
}

#[test]
fn what_is_read_anywhere_is_accepted_there() {
    let usual = [filled(DESIGN, &[]), filled(TABLE, &[])];
    assert!(is_read(&[("design.yaml", &usual[0]), ("jaw.yaml", &usual[1])]));
    let (mut read, mut rejected, mut wrongly) = (0, 0, Vec::new());
    for (file, template) in [("design.yaml", DESIGN), ("jaw.yaml", TABLE)] {
        for (place, odd) in (0..places(template)).flat_map(|place| ODD.map(|odd| (place, odd))) {
            let text = filled(template, &[(place, odd)]);
            let texts = match file {
                "design.yaml" => [(file, &*text), ("jaw.yaml", &*usual[1])],
                _ => [("design.yaml", &*usual[0]), (file, &*text)],
            };
            let complaint = complaint(file, &text);
            let is_read = is_read(&texts);
            read += usize::from(is_read);
            rejected += usize::from(complaint.is_some());
            wrongly.extend(complaint.filter(|_| is_read).map(|complaint| (odd, complaint)));
        }
    }
    assert!(wrongly.is_empty(), "{wrongly:#?}");
    assert!(read > 500 && rejected > 2_000, "{read} read, {rejected} rejected");
}

/// What the reader takes at each place of the table while the others are as usual.
fn taken() -> Vec<Vec<&'static str>> {
    let design = filled(DESIGN, &[]);
    let takes = |place, odd| {
        let table = filled(TABLE, &[(place, odd)]);
        is_read(&[("design.yaml", &design), ("jaw.yaml", &table)])
    };
    let of = |place| ODD.into_iter().filter(|odd| takes(place, odd)).collect();
    (0..places(TABLE)).map(of).collect()
}

#[test]
fn tables_at_random_are_accepted() {
    let taken = taken();
    let choices = prop::collection::vec((any::<bool>(), any::<prop::sample::Index>()), taken.len());
    let config = ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(2_000) };
    let design = filled(DESIGN, &[]);
    let read = std::cell::Cell::new(0);
    let mut runner = proptest::test_runner::TestRunner::new(config);
    let run = runner.run(&choices, |choices| {
        let chosen = choices.iter().zip(&taken).enumerate();
        let chosen = chosen.filter(|(_, ((odd, _), taken))| *odd && !taken.is_empty());
        let odd: Vec<_> = chosen.map(|(place, ((_, at), taken))| (place, *at.get(taken))).collect();
        let table = filled(TABLE, &odd);
        let complaint = complaint("jaw.yaml", &table);
        prop_assert!(complaint.is_none(), "{complaint:?}\n{table}");
        let is_read = is_read(&[("design.yaml", &design), ("jaw.yaml", &table)]);
        read.set(read.get() + usize::from(is_read));
        Ok(())
    });
    run.unwrap();
    assert!(read.get() > 100, "only {} are read", read.get());
}
