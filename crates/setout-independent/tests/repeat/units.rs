//! Every unit of the first engine against the second's own table.

use setout_independent::repeat;
use setout_quantity::Units;

use crate::{evaluated, said};

#[test]
fn the_two_tables_of_units_are_of_one_mind() {
    let units = Units::standard();
    let mut table = "dimensions:\n".to_owned();
    let mut number = 0;
    for row in Units::rows() {
        // A plain multiple of the unit, shown in the customary one of its kind.
        let spellings = std::iter::once(row.unit.symbol()).chain(row.aliases.iter().map(|a| &**a));
        for symbol in spellings {
            let customary = units.customary(row.unit.kind());
            let shown = if row.unit.is_reading() { "°C" } else { customary.symbol() };
            table += &format!("  u{number}: {{ value: '7 {symbol}', unit: '{shown}' }}\n");
            number += 1;
        }
    }
    let table = table.replace("unit: ''", "unit: '%'");
    let evaluation = evaluated(&table);
    assert_eq!(evaluation.faults(), []);
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(repeat.compared, number + 2, "and what everything costs and weighs");
    assert!(number > 90, "{number}");
}

#[test]
fn compound_units_and_moneys() {
    let formulas = [
        "2 N·m",
        "3 kgf·cm",
        "4 N*m/deg",
        "60 deg/s^2",
        "5 mm/2",
        "6 mm² / 2 mm",
        "7 K/W",
        "8 EUR + 1 GBP",
        "9 EUR/kg",
        "10 °C - 4 °C",
        "1.5e3 mm / (2 s)",
        "(2 mm)^0.5",
        "1200 rpm",
        "3 Ω * 2 A",
        "5 µm",
        "12 mAh * 6 V",
        "50 % * 3 mm",
        "(4 mm^2)^(1/2)",
        "28 °C + 3 K",
        "-5 °C + 3 K",
        "10 °C - -4 °C",
        "max(-5 degC, -40 °C)",
    ];
    let evaluation = crate::of_formulas(&formulas);
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(repeat.compared, formulas.len() + 2, "and what everything costs and weighs");
}
