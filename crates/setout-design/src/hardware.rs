//! The hardware lookups of the formula language: published tables by name.
//!
//! A new table stands in `setout-standards`; a row here makes it a function.

use setout_formula::{Argument, Found, Function, Gives, NotFound, Parameter};
use setout_quantity::Kind;
use setout_standards as standards;
use setout_standards::StandardFault;

const LENGTH: Gives = Gives::Quantity(Kind::LENGTH);
const SIZE: Parameter = Parameter::Quantity(Kind::LENGTH);
const ONE: &[Parameter] = &[Parameter::Text];
const TWO: &[Parameter] = &[Parameter::Text, Parameter::Text];
const AT_SIZE: &[Parameter] = &[Parameter::Text, SIZE];

fn found(value: Result<f64, StandardFault>) -> Result<Found, NotFound> {
    value.map(Found::Number).map_err(|fault| refused(&fault))
}

fn refused(fault: &StandardFault) -> NotFound {
    NotFound { reason: fault.to_string(), help: fault.help() }
}

/// The text of an argument, or what it is when it was left out.
fn text<'a>(given: &[Argument<'a>], index: usize, otherwise: &'a str) -> &'a str {
    given.get(index).map_or(otherwise, |argument| argument.text())
}

/// A lookup by one text, with an example.
macro_rules! by_name {
    ($name:literal, $find:path, $argument:literal, $says:literal, $example:literal = $result:literal) => {
        Function::given($name, $argument, ONE, 0, LENGTH, $says, $example, $result, |given| {
            found($find(text(given, 0, "")))
        })
    };
}

/// A lookup by a class and a size, with an example.
macro_rules! at_size {
    ($name:literal, $find:expr, $arguments:literal, $says:literal, $example:literal = $result:literal) => {
        Function::given($name, $arguments, AT_SIZE, 0, LENGTH, $says, $example, $result, |given| {
            found($find(text(given, 0, ""), given[1].number()))
        })
        .with_ends(standards::range_ends)
    };
}

/// The threads of shoulder screws.
const THREADS: &[&str] = &["M3", "M4", "M5", "M6", "M8"];

/// All hardware lookups, in the order of the documents.
pub static HARDWARE: &[Function] = &[
    Function::given(
        "clearance_hole",
        "thread, series",
        TWO,
        1,
        LENGTH,
        "the clearance hole of a screw, ISO 273; the series is fine, medium (if left out) or coarse",
        "clearance_hole(\"M4\", \"medium\")",
        "4.5 mm",
        |given| found(standards::clearance_hole(text(given, 0, ""), text(given, 1, "medium"))),
    ),
    by_name!(
        "tap_drill",
        standards::tap_drill,
        "thread",
        "the drill for tapping a coarse thread: diameter less pitch, rounded; common practice",
        "tap_drill(\"M4\")" = "3.3 mm"
    ),
    by_name!(
        "thread_pitch",
        standards::thread_pitch,
        "thread",
        "the pitch of a coarse thread, ISO 261",
        "thread_pitch(\"M4\")" = "0.7 mm"
    ),
    by_name!(
        "thread_major",
        standards::thread_major,
        "thread",
        "the nominal (major) diameter of a thread, ISO 261",
        "thread_major(\"M4\")" = "4 mm"
    ),
    by_name!(
        "thread_minor",
        standards::thread_minor,
        "thread",
        "the basic minor diameter D1 of an internal coarse thread, ISO 724",
        "thread_minor(\"M4\")" = "3.242 mm"
    ),
    by_name!(
        "thread_pitch_diameter",
        standards::thread_pitch_diameter,
        "thread",
        "the basic pitch diameter of a coarse thread, ISO 724",
        "thread_pitch_diameter(\"M4\")" = "3.545 mm"
    ),
    Function::given(
        "head_diameter",
        "thread, head",
        TWO,
        0,
        LENGTH,
        "the largest head diameter of a screw: socket is ISO 4762 with a plain head and knurled with a knurled one, button ISO 7380-1, countersunk ISO 10642",
        "head_diameter(\"M4\", \"socket\")",
        "7 mm",
        |given| found(standards::head_diameter(text(given, 0, ""), text(given, 1, ""))),
    ),
    Function::given(
        "head_height",
        "thread, head",
        TWO,
        0,
        LENGTH,
        "the largest head height of a screw: socket is ISO 4762, button ISO 7380-1, countersunk ISO 10642",
        "head_height(\"M4\", \"button\")",
        "2.2 mm",
        |given| found(standards::head_height(text(given, 0, ""), text(given, 1, ""))),
    ),
    by_name!(
        "washer_outer",
        standards::washer_outer,
        "thread",
        "the nominal outer diameter of a plain washer, ISO 7089",
        "washer_outer(\"M4\")" = "9 mm"
    ),
    by_name!(
        "washer_inner",
        standards::washer_inner,
        "thread",
        "the nominal inner diameter of a plain washer, ISO 7089",
        "washer_inner(\"M4\")" = "4.3 mm"
    ),
    by_name!(
        "washer_thickness",
        standards::washer_thickness,
        "thread",
        "the nominal thickness of a plain washer, ISO 7089",
        "washer_thickness(\"M4\")" = "0.8 mm"
    ),
    by_name!(
        "shoulder_diameter",
        standards::shoulder_diameter,
        "size",
        "the largest shoulder diameter of a shoulder screw: ISO 7379 from size 6.5, trade sizes below",
        "shoulder_diameter(\"6.5\")" = "6.487 mm"
    ),
    Function::given(
        "shoulder_thread",
        "size",
        ONE,
        0,
        Gives::Text(THREADS),
        "the thread of a shoulder screw: ISO 7379 from size 6.5, trade sizes below",
        "shoulder_thread(\"6.5\")",
        "\"M5\"",
        |given| {
            let thread = standards::shoulder_thread(text(given, 0, ""));
            thread.map(Found::Text).map_err(|fault| refused(&fault))
        },
    ),
    by_name!(
        "shoulder_thread_length",
        standards::shoulder_thread_length,
        "size",
        "the length of a shoulder screw's thread: ISO 7379 from size 6.5, trade sizes below",
        "shoulder_thread_length(\"6.5\")" = "9.5 mm"
    ),
    by_name!(
        "shoulder_head_diameter",
        standards::shoulder_head_diameter,
        "size",
        "the head diameter of a shoulder screw: ISO 7379 from size 6.5, trade sizes below",
        "shoulder_head_diameter(\"6.5\")" = "10 mm"
    ),
    by_name!(
        "shoulder_head_height",
        standards::shoulder_head_height,
        "size",
        "the head height of a shoulder screw: ISO 7379 from size 6.5; not known of every trade size",
        "shoulder_head_height(\"6.5\")" = "4.5 mm"
    ),
    by_name!(
        "insert_hole",
        standards::insert_hole,
        "thread",
        "the printed hole for a brass heat-set insert; common practice, no source",
        "insert_hole(\"M3\")" = "4 mm"
    ),
    by_name!(
        "insert_length",
        standards::insert_length,
        "thread",
        "the length of a brass heat-set insert; common practice, no source",
        "insert_length(\"M3\")" = "5.8 mm"
    ),
    by_name!(
        "insert_boss",
        standards::insert_boss,
        "thread",
        "the least outer diameter of the boss round a heat-set insert; common practice, no source",
        "insert_boss(\"M3\")" = "9.2 mm"
    ),
    at_size!(
        "it_grade",
        standards::it_grade,
        "grade, size",
        "the standard tolerance of a grade at a nominal size, ISO 286-1",
        "it_grade(\"IT7\", 25 mm)" = "0.021 mm"
    ),
    at_size!(
        "limit_upper",
        standards::limit_upper,
        "class, size",
        "the upper limit deviation of a tolerance class at a nominal size, ISO 286-2",
        "limit_upper(\"H7\", 25 mm)" = "0.021 mm"
    ),
    at_size!(
        "limit_lower",
        standards::limit_lower,
        "class, size",
        "the lower limit deviation of a tolerance class at a nominal size, ISO 286-2",
        "limit_lower(\"g6\", 25 mm)" = "-0.02 mm"
    ),
    at_size!(
        "clearance_max",
        |fit: &str, size| standards::fit(fit, size).map(|fit| fit.max_clearance),
        "fit, size",
        "the largest clearance of a fit at a nominal size, ISO 286-2; negative for an interference",
        "clearance_max(\"H7/g6\", 25 mm)" = "0.041 mm"
    ),
    at_size!(
        "clearance_min",
        |fit: &str, size| standards::fit(fit, size).map(|fit| fit.min_clearance),
        "fit, size",
        "the smallest clearance of a fit at a nominal size, ISO 286-2; negative for an interference",
        "clearance_min(\"H7/g6\", 25 mm)" = "0.007 mm"
    ),
];
