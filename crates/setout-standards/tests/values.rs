//! Values that public tables are known to have wrong, the ends of ranges, and the help of faults.
//! All other values are compared by `tests/outside/standards.py`.

use setout_standards::*;

/// Each as ISO 286 has it; the value that was seen elsewhere stands behind it.
#[test]
fn errors_of_public_tables_are_not_ours() {
    assert_eq!(it_grade("IT9", 4.0), Ok(0.030)); // 20
    assert_eq!(it_grade("IT15", 40.0), Ok(1.0)); // 100
    assert_eq!(limit_upper("K7", 8.0), Ok(0.005));
    assert_eq!(limit_lower("K7", 8.0), Ok(-0.010)); // K6, +2/-7, is not held
    assert_eq!(washer_inner("M10"), Ok(10.5)); // 11, of ISO 7091
    assert_eq!(washer_thickness("M3"), Ok(0.5)); // 0.55, the greatest
    assert_eq!(head_diameter("M3", "countersunk"), Ok(6.72)); // 6, of DIN 7991
    assert_eq!(head_height("M3", "countersunk"), Ok(1.86)); // 1.7, of DIN 7991
}

/// ISO 286: over 3 mm, up to and including 6 mm.
#[test]
fn the_end_of_a_range_belongs_to_it() {
    assert_eq!(it_grade("IT7", 3.0), Ok(0.010));
    assert_eq!(it_grade("IT7", 3.000_001), Ok(0.012));
    assert_eq!(it_grade("IT7", 6.0), Ok(0.012));
    assert_eq!(it_grade("IT7", 2.0 * (1.1 + 2.2 - 0.3)), Ok(0.012)); // 6.000000000000001
    assert_eq!(limit_upper("s6", 65.0), Ok(0.072));
    assert_eq!(limit_upper("s6", 65.000_001), Ok(0.078));
    assert_eq!(limit_lower("g6", f64::MIN_POSITIVE), Ok(-0.008));
    assert_eq!(limit_lower("g6", 120.0), Ok(-0.034));
}

#[test]
fn sizes_outside_of_all_ranges_are_faults() {
    for size in [0.0, -3.0, 120.000_001, f64::NAN, f64::INFINITY] {
        for fault in [it_grade("IT7", size), limit_upper("H7", size), limit_lower("g6", size)] {
            let help = fault.unwrap_err().help();
            assert_eq!(help, "the ranges go from over 0 mm up to and including 120 mm", "{size}");
        }
        assert!(fit("H7/g6", size).is_err(), "{size}");
    }
    let fault = limit_upper("H7", 130.0).unwrap_err();
    assert_eq!(
        fault.to_string(),
        "a size of 130 mm is outside of the ranges of ISO 286-2 held here"
    );
}

/// H7/p6 at 25 mm: 0 to +21 µm, and +22 to +35 µm.
#[test]
fn interference_is_below_zero() {
    let pressed = fit("H7/p6", 25.0).unwrap();
    assert_eq!((pressed.min_clearance, pressed.max_clearance), (-0.035, -0.001));
}

#[test]
fn what_is_no_fit_is_a_fault() {
    for (text, help) in [
        ("H7", "write it as H7/g6: the hole first, in capitals"),
        ("H7g6", "write it as H7/g6: the hole first, in capitals"),
        ("H7/H6", "write it as H7/g6: the hole first, in capitals"),
        ("", "write it as H7/g6: the hole first, in capitals"),
        ("f7/H8", "write H8/f7: the hole comes first"),
        ("H7/g7", "it can be g5, g6"),
        ("H5/g6", "it can be H6, H7, H8, H9, H10, H11"),
    ] {
        assert_eq!(fit(text, 5.0).unwrap_err().help(), help, "{text}");
    }
}

#[test]
fn heads_and_series_are_words_of_a_list() {
    let help = |head| head_height("M3", head).unwrap_err().help();
    assert_eq!(
        help("buton"),
        "did you mean button? It can be socket, knurled, button, countersunk"
    );
    assert_eq!(help("hex"), "it can be socket, knurled, button, countersunk");
    assert!(clearance_hole("M3", "Medium").unwrap_err().help().starts_with("did you mean medium?"));
}

#[test]
fn trade_shoulders_have_no_settled_head() {
    let fault = shoulder_head_height("5").unwrap_err();
    assert_eq!(
        fault.help(),
        "it has one for 6, 6.5, 8, 10; measure the part, and write what you measured"
    );
    assert_eq!(shoulder_thread("5"), Ok("M4"));
    assert_eq!(
        shoulder_diameter("M20").unwrap_err().help(),
        "the shoulders are 4, 5, 6, 6.5, 8, 10"
    );
    assert_eq!(shoulder_diameter("6.50").unwrap_err().help(), "write 6.5");
}
