//! Tolerance classes and fits, by the rules of ISO 286-1 where the first engine looks up a cell.
//!
//! A class is a letter and a grade. The letter says where the zone lies: its *fundamental
//! deviation* is that of the limits which is nearer to zero. The grade says how wide it is. So of a
//! shaft one limit is taken from the table of limits (of any class of the letter), and the other
//! follows from the table of grades. A hole has no row of its own here: it is turned round from the
//! shaft of the same letter.

use crate::tables::{Sheet, sheet};

/// The tables' numbers are whole µm or short decimals of one: they add without rounding. Sizes and
/// results are m.
const MICROMETRE: f64 = 1e-6;

/// What a size may be over the end of a range and still be meant as the end.
const ROUNDING: f64 = 1e-12;

/// The lower and the upper limit deviation of a class at a size, all in m; none where the tables
/// do not give them.
pub(crate) fn deviations(class: &str, size: f64) -> Option<[f64; 2]> {
    Some(zone(class, size)?.map(|deviation| deviation * MICROMETRE))
}

/// The deviations in µm.
fn zone(class: &str, size: f64) -> Option<[f64; 2]> {
    let (letter, grade) = parsed(class)?;
    let width = tolerance(grade, size)?;
    let small = letter.to_ascii_lowercase();
    let is_hole = letter != small;
    if is_hole && letter != letter.to_ascii_uppercase() {
        return None;
    }
    if small == "js" {
        return Some([-width / 2.0, width / 2.0]);
    }
    let shaft = fundamental(&small, size)?;
    // Clearance up to h, interference or transition from j on.
    let is_clear = small.as_str() <= "h";
    Some(match (is_hole, is_clear) {
        (false, true) => [shaft - width, shaft],
        // k has its deviation from grade 4 to 7 alone.
        (false, false) if small == "k" && !(4..=7).contains(&grade) => [0.0, width],
        (false, false) => [shaft, shaft + width],
        (true, true) => [-shaft, width - shaft],
        (true, false) => {
            let upper = delta(&small, grade, size)? - shaft;
            [upper - width, upper]
        }
    })
}

/// The smallest and the largest clearance of a fit, in m: the hole first.
pub(crate) fn clearances(fit: &str, size: f64) -> Option<[f64; 2]> {
    let mut classes = fit.split('/');
    let (hole, shaft) = (classes.next()?, classes.next()?);
    let is_fit = hole.starts_with(char::is_uppercase) && shaft.starts_with(char::is_lowercase);
    if !is_fit || classes.next().is_some() {
        return None;
    }
    let (hole, shaft) = (zone(hole, size)?, zone(shaft, size)?);
    Some([hole[0] - shaft[1], hole[1] - shaft[0]].map(|clearance| clearance * MICROMETRE))
}

/// The standard tolerance of a grade named like `IT7`, in m.
pub(crate) fn grade(name: &str, size: f64) -> Option<f64> {
    let grades = sheet("grades")?;
    grades.length(name, range(grades, size)?)
}

/// The width of a grade in µm.
fn tolerance(grade: u32, size: f64) -> Option<f64> {
    let grades = sheet("grades")?;
    grades.text(&format!("IT{grade}"), range(grades, size)?)?.parse().ok()
}

/// `H7` is H and 7.
fn parsed(class: &str) -> Option<(&str, u32)> {
    let digits = class.find(|c: char| c.is_ascii_digit())?;
    let (letter, grade) = class.split_at(digits);
    let is_letter =
        matches!(letter.len(), 1 | 2) && letter.bytes().all(|b| b.is_ascii_alphabetic());
    let grade = grade.parse().ok().filter(|_| !grade.starts_with('0'))?;
    is_letter.then_some((letter, grade))
}

/// The fundamental deviation of a shaft's letter in µm: the upper limit up to h, the lower one from
/// j on. All grades of a letter share it, but for k.
fn fundamental(letter: &str, size: f64) -> Option<f64> {
    if letter == "h" {
        return Some(0.0);
    }
    let limits = sheet("limits")?;
    let of_letter = |name: &&str| parsed(name).is_some_and(|(found, _)| found == letter);
    let class = limits.names().find(of_letter)?;
    let (upper, lower) = limits.text(class, range(limits, size)?)?.split_once('/')?;
    if letter < "h" { upper } else { lower }.parse().ok()
}

/// By how many µm the holes of K to ZC lie above the reversed shaft, over 3 mm: the grade less the
/// next finer one, for K, M and N up to grade 8 and for P to ZC up to grade 7. So a hole that is
/// made one grade coarser than its shaft gives the same fit as the other way round. Coarser N is 0;
/// coarser K is not defined over 3 mm, and J follows no rule.
fn delta(letter: &str, grade: u32, size: f64) -> Option<f64> {
    let most = if matches!(letter, "k" | "m" | "n") { 8 } else { 7 };
    match letter {
        "j" => None,
        _ if size * 1e3 <= 3.0 * (1.0 + ROUNDING) => Some(0.0),
        "k" if grade > most => None,
        "n" if grade > most => fundamental(letter, size),
        _ if grade > most => Some(0.0),
        _ => Some(tolerance(grade, size)? - tolerance(grade.checked_sub(1)?, size)?),
    }
}

/// The head of the column that holds a size: of the ranges that do not end below it the first, as
/// `3-6` is over 3 mm up to and including 6 mm.
fn range(sheet: &'static Sheet, size: f64) -> Option<&'static str> {
    let millimetres = size * 1e3;
    if millimetres <= 0.0 {
        return None;
    }
    let end = |head: &str| head.split_once('-')?.1.parse::<f64>().ok();
    let ends = sheet.heads().filter_map(|head| Some((end(head)?, head)));
    let holds = ends.filter(|(end, _)| millimetres <= end * (1.0 + ROUNDING));
    holds.min_by(|(a, _), (b, _)| a.total_cmp(b)).map(|(_, head)| head)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn in_micrometres(class: &str, millimetres: f64) -> Option<[f64; 2]> {
        let both = deviations(class, millimetres * 1e-3)?;
        Some(both.map(|metres| (metres * 1e7).round() / 10.0 + 0.0))
    }

    /// Values of ISO 286-2 from memory, beyond what the tables hold.
    #[test]
    fn classes_by_rule() {
        for (class, size, expected) in [
            ("H7", 25.0, [0.0, 21.0]),
            ("g6", 25.0, [-20.0, -7.0]),
            ("K7", 8.0, [-10.0, 5.0]),
            ("K6", 8.0, [-7.0, 2.0]),
            ("N9", 8.0, [-36.0, 0.0]),
            ("N9", 2.0, [-29.0, -4.0]),
            ("P9", 8.0, [-51.0, -15.0]),
            ("P7", 3.0, [-16.0, -6.0]),
            ("P7", 3.000_001, [-20.0, -8.0]),
            ("js9", 25.0, [-26.0, 26.0]),
            ("h12", 25.0, [-210.0, 0.0]),
            ("k7", 25.0, [2.0, 23.0]),
            ("k8", 25.0, [0.0, 33.0]),
            ("S7", 65.0, [-72.0, -42.0]),
            ("S7", 66.0, [-78.0, -48.0]),
        ] {
            assert_eq!(in_micrometres(class, size), Some(expected), "{class} {size}");
        }
    }

    #[test]
    fn what_has_no_rule_or_no_size_has_no_value() {
        for class in ["", "7", "H", "hH7", "Js7", "H07", "H7x", "K9", "u6", "J7", "H19", "H77"] {
            assert_eq!(in_micrometres(class, 25.0), None, "{class}");
        }
        for (name, size, expected) in [
            ("IT14", 0.001, None),
            ("IT14", 0.001_001, Some(0.000_25)),
            ("IT7", 0.0005, Some(1e-5)),
        ] {
            let micrometres = |metres: f64| (metres * 1e6).round();
            assert_eq!(
                grade(name, size).map(micrometres),
                expected.map(micrometres),
                "{name} {size}"
            );
        }
        for size in [0.0, -3.0, 120.001, f64::NAN] {
            assert_eq!(in_micrometres("H7", size), None, "{size}");
        }
        for fit in ["H7", "g6/H7", "H7/H7", "h7/g6", "H7/g6/f7", "/"] {
            assert_eq!(clearances(fit, 0.025), None, "{fit}");
        }
    }
}
