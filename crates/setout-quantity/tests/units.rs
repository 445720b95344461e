//! Units against the definitions they are taken from, and numbers there and back.

use proptest::prelude::*;
use setout_quantity::{Kind, UnitFault, Units};

/// How much of `to` one `from` is.
fn factor(from: &str, to: &str) -> f64 {
    let units = Units::standard();
    let (from, to) = (units.read(from).unwrap(), units.read(to).unwrap());
    assert_eq!(from.kind(), to.kind(), "{from:?} and {to:?}");
    to.from_base(from.to_base(1.0))
}

/// Factors by definition: SI Brochure (9th edition) and NIST SP 811 App. B.8.
#[test]
fn factors_are_those_of_the_si_and_of_nist_sp_811() {
    let known = [
        ("in", "mm", 25.4),
        ("ft", "m", 0.3048),
        ("m", "mm", 1000.0),
        ("deg", "rad", 0.017_453_292_519_943_295),
        ("arcmin", "deg", 1.0 / 60.0),
        ("deg/s", "rpm", 1.0 / 6.0),
        ("kgf", "N", 9.806_65),
        ("ozf", "N", 0.278_013_850_953_781_25),
        ("kgf·cm", "N·m", 0.098_066_5),
        ("ozf·in", "N·m", 0.007_061_551_814_226_043_75),
        ("kgf·cm", "ozf·in", 13.887_386_594_322_997),
        ("N·mm", "N·m", 0.001),
        ("lb", "kg", 0.453_592_37),
        ("mAh", "C", 3.6),
        ("mAh*V", "Wh", 0.001),
        ("hp", "W", 745.699_871_582_270_2),
        ("psi", "Pa", 6_894.757_293_168_361),
        ("bar", "Pa", 100_000.0),
        ("min", "s", 60.0),
        ("V·A", "W", 1.0),
        ("J/s", "W", 1.0),
        ("V/A", "Ω", 1.0),
        ("N/mm^2", "MPa", 1.0),
        ("A·s/V", "F", 1.0),
        ("V·s/A", "H", 1.0),
        ("V·s/m^2", "T", 1.0),
    ];
    for (from, to, expected) in known {
        let error = (factor(from, to) - expected).abs() / expected;
        assert!(error <= 1e-15, "1 {from} is {} {to}, not {expected}", factor(from, to));
    }
}

#[test]
fn a_celsius_reading_is_kept_in_kelvin() {
    let celsius = Units::standard().read("degC").unwrap();
    assert_eq!(celsius.symbol(), "°C");
    assert_eq!(celsius.to_base(25.0), 298.15);
    assert_eq!(celsius.from_base(298.15), 25.0);
}

#[test]
fn spellings_of_one_unit_are_one_unit() {
    let units = Units::standard();
    for (a, b) in [("N*m", "N·m"), ("μm", "µm"), ("Ω", "Ω"), ("mm²", "mm^2"), ("°", "deg")] {
        assert_eq!(units.read(a), units.read(b), "{a} and {b}");
    }
}

#[test]
fn a_slash_joins_only_where_a_symbol_follows_directly() {
    let units = Units::standard();
    assert_eq!(units.read_prefix("mm/2").unwrap().1, 2);
    assert_eq!(units.read_prefix("mm / s").unwrap().1, 2);
    assert_eq!(units.read_prefix("mm/s + 1").unwrap().1, 4);
    let fault = units.read_prefix("mm/width").unwrap_err();
    assert!(matches!(fault, UnitFault::Unknown { joined: true, .. }), "{fault:?}");
}

#[test]
fn slips_are_recognised() {
    let nearest = |text| match Units::standard().read(text).unwrap_err() {
        UnitFault::Unknown { nearest, .. } => nearest,
        other => panic!("{other:?}"),
    };
    assert_eq!(nearest("inch").as_deref(), Some("in"));
    assert_eq!(nearest("Nm").as_deref(), Some("N·m"));
    assert_eq!(nearest("sec").as_deref(), Some("s"));
    assert_eq!(nearest("kPA").as_deref(), Some("kPa"));
}

#[test]
fn readings_and_counts_stand_alone() {
    for text in ["°C/s", "count·mm", "°C^2"] {
        let fault = Units::standard().read(text).unwrap_err();
        assert!(matches!(fault, UnitFault::NotCompound { .. }), "{text}: {fault:?}");
    }
}

#[test]
fn powers_are_whole_and_small() {
    for text in ["mm^", "mm^0", "mm^-", "mm^13", "mm^99999999999"] {
        let fault = Units::standard().read(text).unwrap_err();
        assert!(matches!(fault, UnitFault::Power { .. }), "{text}: {fault:?}");
    }
}

#[test]
fn kinds_without_a_name_are_shown_in_base_units() {
    let units = Units::standard().with_currency("GBP");
    let odd = units.read("mm^2·deg/s^3").unwrap().kind();
    assert_eq!(units.customary(odd).symbol(), "mm^2·deg/s^3");
    let price = Kind::MONEY.over(Kind::MASS).unwrap();
    assert_eq!(units.customary(price).symbol(), "GBP/g");
    assert_eq!(units.describe(odd), "a quantity in mm^2·deg/s^3");
    assert_eq!(units.describe(Kind::ANGLE), "an angle");
}

#[test]
fn every_row_is_readable_and_has_a_factor() {
    let units = Units::standard();
    assert!(Units::rows().len() > 70);
    for row in Units::rows() {
        assert!(row.unit.to_base(1.0).is_finite(), "{}", row.name);
        for symbol in row.aliases.iter().map(String::as_str).chain([row.unit.symbol()]) {
            assert_eq!(units.read(symbol).unwrap(), row.unit, "{symbol}");
        }
    }
}

proptest! {
    /// A decimal of up to nine digits comes back from any unit as it was written.
    #[test]
    fn numbers_come_back_as_written(digits in -999_999_999_i64..999_999_999, places in 0_i32..7,
                                    row in 0..Units::rows().len()) {
        let number: f64 = format!("{digits}e-{places}").parse().unwrap();
        let unit = &Units::rows()[row].unit;
        // A reading's offset costs the digits that it adds, nothing more.
        let there = unit.from_base(unit.to_base(number));
        if unit.is_reading() {
            prop_assert!((there - number).abs() <= 1e-9 * number.abs().max(1.0));
        } else {
            prop_assert_eq!(there, number);
        }
    }
}
