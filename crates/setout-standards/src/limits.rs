//! Limits and fits by ISO 286.

use setout_quantity::nearest;

use crate::StandardFault;
use crate::ranges::{column_of, range};
use crate::table::{TableInfo, table};

/// The tables hold µm; all that goes out is mm.
const UM_IN_MM: f64 = 1000.0;

/// The standard tolerance of a grade, `IT1` to `IT18`, at a size: both in mm, by ISO 286-1.
///
/// # Errors
/// When there is no such grade, or the size is not over 0 up to and including 120 mm, or the
/// standard does not use the grade for it.
///
/// ```
/// use setout_standards::it_grade;
/// assert_eq!(it_grade("IT7", 6.0)?, 0.012);
/// let fault = it_grade("IT14", 0.8).unwrap_err();
/// assert_eq!(fault.to_string(), "ISO 286-1 does not use IT14 for a size of 0.8 mm");
/// let fault = it_grade("7", 6.0).unwrap_err();
/// assert!(fault.help().starts_with("did you mean IT7? It can be IT1, IT2"));
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn it_grade(grade: &str, size_mm: f64) -> Result<f64, StandardFault> {
    let table = table("grades");
    let row = table.row(grade).ok_or_else(|| unknown_grade(table, grade))?;
    let cell = &row[column_of(table, size_mm)?];
    let used = row.iter().zip(&table.columns).skip(1).find(|(cell, _)| !cell.is_empty());
    if cell.is_empty() {
        return Err(StandardFault::NotUsed {
            table: table.standard,
            grade: grade.to_owned(),
            size_mm,
            over_mm: used.and_then(|(_, column)| range(column)).map_or(f64::NAN, |(over, _)| over),
        });
    }
    let um: f64 = cell.parse().unwrap_or(f64::NAN);
    Ok(um / UM_IN_MM)
}

/// The upper limit deviation of a tolerance class, such as `H7` (a hole) or `g6` (a shaft), at a
/// size: both in mm, by ISO 286-2.
///
/// # Errors
/// When the class is not held, or the size is not over 0 up to and including 120 mm.
///
/// ```
/// use setout_standards::limit_upper;
/// assert_eq!(limit_upper("g6", 5.0)?, -0.004);
/// assert_eq!(limit_upper("h12", 5.0).unwrap_err().help(), "it can be h5, h6, h7, h8, h9, h11");
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn limit_upper(class: &str, size_mm: f64) -> Result<f64, StandardFault> {
    Ok(deviations_um(class, size_mm)?.0 / UM_IN_MM)
}

/// The lower limit deviation of a tolerance class at a size: both in mm, by ISO 286-2.
///
/// # Errors
/// As for [`limit_upper`].
///
/// ```
/// assert_eq!(setout_standards::limit_lower("g6", 5.0)?, -0.012);
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn limit_lower(class: &str, size_mm: f64) -> Result<f64, StandardFault> {
    Ok(deviations_um(class, size_mm)?.1 / UM_IN_MM)
}

/// What a hole leaves a shaft, in mm. Below zero it is interference.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Fit {
    /// The largest hole less the smallest shaft.
    pub max_clearance: f64,
    /// The smallest hole less the largest shaft.
    pub min_clearance: f64,
}

/// The clearance of a fit, such as `H7/g6`, at a size in mm: by ISO 286-2, the hole first.
///
/// # Errors
/// When the text is no fit, and as for [`limit_upper`].
///
/// ```
/// use setout_standards::fit;
/// let sliding = fit("H7/g6", 25.0)?;
/// assert_eq!((sliding.min_clearance, sliding.max_clearance), (0.007, 0.041));
/// assert_eq!(fit("g6/H7", 25.0).unwrap_err().help(), "write H7/g6: the hole comes first");
/// # Ok::<(), setout_standards::StandardFault>(())
/// ```
pub fn fit(fit: &str, size_mm: f64) -> Result<Fit, StandardFault> {
    let (hole, shaft) = fit.split_once('/').ok_or_else(|| no_fit(fit, None))?;
    let meant = || format!("{shaft}/{hole}");
    match (is_hole(hole), is_hole(shaft)) {
        (true, false) => {}
        (false, true) => return Err(no_fit(fit, Some(meant()))),
        _ => return Err(no_fit(fit, None)),
    }
    let (hole_upper, hole_lower) = deviations_um(hole, size_mm)?;
    let (shaft_upper, shaft_lower) = deviations_um(shaft, size_mm)?;
    Ok(Fit {
        max_clearance: (hole_upper - shaft_lower) / UM_IN_MM,
        min_clearance: (hole_lower - shaft_upper) / UM_IN_MM,
    })
}

/// Upper and lower. They are kept in µm until the end, where whole numbers add without rounding.
fn deviations_um(class: &str, size_mm: f64) -> Result<(f64, f64), StandardFault> {
    let table = table("limits");
    let row = table.row(class).ok_or_else(|| unknown_class(table, class))?;
    let (upper, lower) = row[column_of(table, size_mm)?].split_once('/').unwrap_or_default();
    let number = |text: &str| text.parse().unwrap_or(f64::NAN);
    Ok((number(upper), number(lower)))
}

fn is_hole(class: &str) -> bool {
    class.starts_with(|c: char| c.is_ascii_uppercase())
}

fn no_fit(fit: &str, meant: Option<String>) -> StandardFault {
    StandardFault::NoFit { fit: fit.into(), meant }
}

/// A bare number is the likeliest slip.
fn unknown_grade(table: &TableInfo, grade: &str) -> StandardFault {
    let known = table.keys();
    let near = spelt_otherwise(&known, grade)
        .or_else(|| spelt_otherwise(&known, &format!("IT{grade}")))
        .or_else(|| nearest(grade, known.iter().copied()));
    unknown("grade", table, grade, near, known)
}

/// Of a class with another grade, those of its letter are named; otherwise all of its side. A class
/// that is merely like it is not: one letter off is another fit.
fn unknown_class(table: &TableInfo, class: &str) -> StandardFault {
    let letter = |class: &str| class.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
    let side: Vec<&'static str> =
        table.keys().into_iter().filter(|known| is_hole(known) == is_hole(class.trim())).collect();
    let siblings: Vec<&'static str> =
        side.iter().copied().filter(|known| letter(known) == letter(class)).collect();
    let near = spelt_otherwise(&side, class);
    unknown("class", table, class, near, if siblings.is_empty() { side } else { siblings })
}

/// The word that was meant, when only spaces and capitals are amiss.
fn spelt_otherwise(known: &[&str], word: &str) -> Option<String> {
    let word: String = word.split_whitespace().collect();
    known.iter().find(|known| known.eq_ignore_ascii_case(&word)).map(|known| (*known).to_owned())
}

fn unknown(
    what: &'static str,
    table: &TableInfo,
    word: &str,
    near: Option<String>,
    known: Vec<&'static str>,
) -> StandardFault {
    StandardFault::UnknownWord { what, table: table.standard, word: word.into(), near, known }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cell_is_a_number() {
        for class in table("limits").keys() {
            for size in table("limits").columns[1..].iter().map(|range| end(range)) {
                let (upper, lower) = deviations_um(class, size).unwrap();
                assert!(lower < upper && upper.abs() < 1000.0, "{class} {size}");
            }
        }
        for grade in table("grades").keys() {
            for size in table("grades").columns[1..].iter().map(|range| end(range)) {
                let number: u32 = grade.trim_start_matches("IT").parse().unwrap();
                // ISO 286-1 uses IT14 to IT18 over 1 mm alone.
                let used = number < 14 || size > 1.0;
                assert_eq!(it_grade(grade, size).is_ok_and(|it| it > 0.0), used, "{grade} {size}");
            }
        }
    }

    #[test]
    fn a_grade_that_is_not_used_says_from_where_it_is() {
        let fault = it_grade("IT18", 1.0).unwrap_err();
        assert_eq!(fault.help(), "IT18 is for sizes over 1 mm; write the tolerance itself");
        assert_eq!(it_grade("IT18", 1.000_001), Ok(1.4));
        assert_eq!(it_grade("IT13", 0.5), Ok(0.14));
    }

    #[test]
    fn help_for_classes_keeps_to_their_side() {
        let help = |class| limit_lower(class, 5.0).unwrap_err().help();
        assert_eq!(help("K6"), "it can be K7");
        assert!(help("H 7").starts_with("did you mean H7? It can be "));
        assert!(help("jS6").starts_with("did you mean js6? "));
        assert!(help("u6").starts_with("it can be a12, c11, d9"));
        assert!(!help("u6").contains('H'));
        assert!(help("").starts_with("it can be a12"));
    }

    fn end(range: &str) -> f64 {
        range.split_once('-').unwrap().1.parse().unwrap()
    }
}
