//! Hardware and fits: every cell that a function gives, against the second reading of the tables;
//! and every cell that it must not give, named.

use setout_design::{Amount, HARDWARE};
use setout_formula::{FUNCTIONS, LINKAGES};
use setout_independent::{repeat, repeat_formulas};
use setout_standards::{TableInfo, tables};

use crate::{dimensions, named, of_many, said, with_number};

fn table(id: &str) -> &'static TableInfo {
    tables().iter().find(|table| table.id == id).expect("a table")
}

fn names(id: &str) -> impl Iterator<Item = &'static str> {
    table(id).rows.iter().map(|row| row[0])
}

/// Calls with a size, for every row of the function's table.
fn by_size() -> Vec<String> {
    let functions = [
        ("tap_drill", "tap_drills"),
        ("thread_pitch", "threads"),
        ("thread_major", "threads"),
        ("thread_minor", "threads"),
        ("thread_pitch_diameter", "threads"),
        ("washer_inner", "washers"),
        ("washer_outer", "washers"),
        ("washer_thickness", "washers"),
        ("shoulder_diameter", "shoulders"),
        ("shoulder_thread_length", "shoulders"),
        ("shoulder_head_diameter", "shoulders"),
        ("shoulder_head_height", "shoulders"),
        ("insert_hole", "inserts"),
        ("insert_length", "inserts"),
        ("insert_boss", "inserts"),
        ("clearance_hole", "clearance"),
    ];
    let calls = |(function, id): (&str, &str)| -> Vec<String> {
        names(id).map(|size| format!("{function}(\"{size}\")")).collect()
    };
    functions.into_iter().flat_map(calls).collect()
}

fn by_word() -> Vec<String> {
    let words = [
        ("clearance_hole", "clearance", "fine"),
        ("clearance_hole", "clearance", "medium"),
        ("clearance_hole", "clearance", "coarse"),
        ("head_diameter", "socket_heads", "socket"),
        ("head_diameter", "socket_heads", "knurled"),
        ("head_diameter", "button_heads", "button"),
        ("head_diameter", "countersunk_heads", "countersunk"),
        ("head_height", "socket_heads", "socket"),
        ("head_height", "socket_heads", "knurled"),
        ("head_height", "button_heads", "button"),
        ("head_height", "countersunk_heads", "countersunk"),
    ];
    let calls = |(function, id, word): (&str, &str, &str)| -> Vec<String> {
        names(id).map(|size| format!("{function}(\"{size}\", \"{word}\")")).collect()
    };
    words.into_iter().flat_map(calls).collect()
}

/// The end of every range, just over it, and in the middle.
const SIZES: [&str; 25] = [
    "0.5", "1", "1.000001", "3", "3.000001", "4.5", "6", "6.000001", "10", "12", "14", "14.1",
    "18", "18.01", "24", "30", "30.001", "40", "50", "65", "65.001", "80", "90", "100", "120",
];

fn at_size(functions: &[&str], words: &[&str]) -> Vec<String> {
    let mut calls = Vec::new();
    for (function, word) in functions.iter().flat_map(|f| words.iter().map(move |w| (f, w))) {
        calls.extend(SIZES.iter().map(|size| format!("{function}(\"{word}\", {size} mm)")));
    }
    calls
}

fn fits_and_grades() -> Vec<String> {
    let classes: Vec<&str> = names("limits").collect();
    let grades: Vec<&str> = names("grades").collect();
    let fits = ["H7/g6", "H8/f7", "H7/p6", "K7/h6", "P7/h6", "JS7/h5", "C11/h11", "H7/js6"];
    let mut calls = at_size(&["limit_upper", "limit_lower"], &classes);
    calls.extend(at_size(&["it_grade"], &grades));
    calls.extend(at_size(&["clearance_min", "clearance_max"], &fits));
    calls
}

#[test]
fn every_function_has_its_like() {
    let all = FUNCTIONS.iter().chain(LINKAGES).chain(HARDWARE);
    let examples: Vec<String> =
        all.map(|function| function.example.to_owned()).filter(|it| !it.is_empty()).collect();
    let evaluation = of_many(&examples);
    assert_eq!(evaluation.faults(), []);
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!(repeat.compared, examples.len() + 2);
}

#[test]
fn every_cell_comes_out_the_same() {
    let calls: Vec<String> = [by_size(), by_word(), fits_and_grades()].concat();
    let calls: Vec<String> = calls
        .into_iter()
        .filter(|call| {
            !matches!(&**call, "shoulder_head_height(\"4\")" | "shoulder_head_height(\"5\")")
        })
        .filter(|call| !is_unused(call))
        .collect();
    let evaluation = of_many(&calls);
    assert_eq!(evaluation.faults(), [], "nothing has no value");
    let repeat = repeat(&evaluation);
    assert_eq!(said(&repeat), [""; 0]);
    assert_eq!((repeat.compared, repeat.by_last_digits), (calls.len() + 2, 0));
    assert!(calls.len() > 2900, "{}", calls.len());
}

/// Grades that ISO 286-1 does not use up to and including 1 mm.
fn is_unused(call: &str) -> bool {
    let coarse = ["IT14", "IT15", "IT16", "IT17", "IT18"];
    let small = [" 0.5 mm", " 1 mm"].iter().any(|size| call.contains(size));
    small && coarse.iter().any(|grade| call.contains(grade))
}

/// As if the first engine had looked in another column, row or table: of all numbers that the
/// lookups give, only the right one is let pass.
#[test]
fn any_other_cell_is_named() {
    let calls = [by_size(), by_word()].concat();
    let formulas = dimensions(&of_many(&calls));
    let mut cells: Vec<f64> = tables()
        .iter()
        .filter(|table| table.unit == "mm")
        .flat_map(|table| table.rows.iter().flat_map(|row| &row[1..]))
        .filter_map(|cell| cell.parse().ok())
        .collect();
    cells.sort_by(f64::total_cmp);
    cells.dedup();
    let mut planted = 0;
    for formula in &formulas {
        let Some(value) = &formula.value else { continue };
        let right = value.number().unwrap();
        let named = named(formula, cells.iter().map(|cell| with_number(value, *cell)));
        for (cell, named) in cells.iter().zip(named) {
            let (written, is_other) = (&formula.written, (cell - right).abs() > 1e-9);
            assert_eq!(named, is_other, "{written} is {right}, and {cell} was planted");
            planted += usize::from(is_other);
        }
    }
    assert!(planted > 30_000, "{planted}");
}

/// As if the first engine had taken the range below or above, the other limit, or lost a sign.
#[test]
fn a_wrong_range_limit_or_sign_is_named() {
    let limits = table("limits");
    let mut planted = 0;
    for (row, class) in limits.rows.iter().map(|row| (row, row[0])) {
        let both: Vec<(f64, f64)> = row[1..]
            .iter()
            .map(|cell| cell.split_once('/').unwrap())
            .map(|(upper, lower)| (upper.parse().unwrap(), lower.parse().unwrap()))
            .collect();
        for (at, range) in limits.columns[1..].iter().enumerate() {
            // The end of the range: the likeliest to be put into the next.
            let size = range.split_once('-').unwrap().1;
            let calls = ["limit_upper", "limit_lower"]
                .map(|function| format!("{function}(\"{class}\", {size} mm)"));
            let [upper, lower] = both[at].into();
            let around = &both[at.saturating_sub(1)..(at + 2).min(both.len())];
            let others = around.iter().flat_map(|(upper, lower)| [*upper, *lower]);
            let mut wrong: Vec<f64> = others.flat_map(|number| [number, -number]).collect();
            wrong.sort_by(f64::total_cmp);
            wrong.dedup();
            for (formula, right) in dimensions(&of_many(&calls)).iter().zip([upper, lower]) {
                let value = formula.value.as_ref().unwrap();
                let planting = wrong.iter().map(|number| with_number(value, number / 1000.0));
                for (number, named) in wrong.iter().zip(named(formula, planting)) {
                    assert_eq!(named, *number != right, "{} and {number}", formula.written);
                    planted += usize::from(named);
                }
            }
        }
    }
    assert!(planted > 5_000, "{planted}");
}

#[test]
fn a_size_that_no_table_holds_is_no_value() {
    let formulas = dimensions(&of_many(&["thread_pitch(\"M4\")".to_owned()]));
    for written in [
        "thread_pitch(\"M7\")",
        "thread_major(\"M7\")",
        "thread_minor(\"M7\")",
        "thread_pitch(\"m4\")",
        "clearance_hole(\"M4\", \"close\")",
        "head_height(\"M2.5\", \"button\")",
        "head_height(\"M4\", \"hex\")",
        "shoulder_head_height(\"4\")",
        "shoulder_diameter(\"M5\")",
        "thread_pitch(shoulder_thread(\"7\"))",
        "if(shoulder_thread(\"7\") == \"M5\", 0.7 mm, 0.7 mm)",
        "min(0.7 mm, thread_pitch(\"M7\"))",
        "clamp(thread_pitch(\"M7\"), 0.7 mm, 0.7 mm)",
        "limit_upper(\"H7\", 0 mm)",
        "limit_upper(\"H7\", 120.001 mm)",
        "limit_upper(\"h7/H7\", 20 mm)",
        "clearance_min(\"h7/H7\", 20 mm)",
        "it_grade(\"IT19\", 20 mm)",
        "it_grade(\"7\", 20 mm)",
    ] {
        let mut formula = formulas[0].clone();
        formula.written = written.to_owned();
        let repeat = repeat_formulas(&[formula], &[]);
        assert_eq!(said(&repeat), ["jaw.d0 (Dimension): 0.7 mm and none"], "{written}");
    }
}

#[test]
fn texts_are_carried_along_and_compared_letter_by_letter() {
    let evaluation = crate::evaluated(
        "dimensions:\n  size: { text: \"6.5\" }\n  screw: shoulder_thread(size)\n  \
         hole: clearance_hole(screw)\n  class: { text: H7 }\n  bore: limit_upper(class, hole)\n  \
         same: if(screw == \"M5\", hole, 1 mm)\n",
    );
    assert_eq!(evaluation.faults(), []);
    assert_eq!(said(&repeat(&evaluation)), [""; 0]);
    let screw = &dimensions(&evaluation)[1];
    let mut alone = screw.clone();
    alone.written = "shoulder_thread(\"6.5\")".into();
    let threads = ["M3", "M4", "M6", "M8", "m5", "M5 ", "M05", "", "M5"];
    let named = named(&alone, threads.map(|thread| Amount::Text(thread.into())));
    assert_eq!(named, [true, true, true, true, true, true, true, true, false]);
    // The first engine's wrong thread does not reach what the second looks up with its own.
    let mut formulas = evaluation.formulas();
    formulas[1].value = Some(Amount::Text("M4".into()));
    let repeat = repeat_formulas(&formulas, &evaluation.moneys());
    assert_eq!(said(&repeat), ["jaw.screw (Dimension): M4 and M5"]);
}
