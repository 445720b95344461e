//! Looking up a size by its name.

use setout_quantity::nearest;

use crate::StandardFault;
use crate::table::{TableInfo, table};

/// The number that a table holds for a size in a column.
pub(crate) fn number(id: &str, size: &str, column: &str) -> Result<f64, StandardFault> {
    let table = table(id);
    cell(table, size, column)?.parse().map_err(|_| no_value(table, size, column))
}

/// The text that a table holds for a size in a column. Never empty.
pub(crate) fn cell(
    table: &'static TableInfo,
    size: &str,
    column: &str,
) -> Result<&'static str, StandardFault> {
    let row = table.row(size).ok_or_else(|| unknown_size(table, size))?;
    let found = table.column(column).map_or("", |at| row[at]);
    if found.is_empty() { Err(no_value(table, size, column)) } else { Ok(found) }
}

/// A word out of a few, such as a series of holes.
pub(crate) fn unknown_word(
    what: &'static str,
    table: &'static str,
    word: &str,
    known: &[&'static str],
) -> StandardFault {
    let near = nearest(word, known.iter().copied());
    StandardFault::UnknownWord { what, table, word: word.into(), near, known: known.to_vec() }
}

fn no_value(table: &TableInfo, size: &str, column: &str) -> StandardFault {
    let at = table.column(column);
    let has = |row: &&Vec<&str>| at.is_some_and(|at| !row[at].is_empty());
    StandardFault::NoValue {
        table: table.standard,
        size: size.into(),
        what: column.replace('_', " "),
        known: table.rows.iter().filter(has).map(|row| row[0]).collect(),
    }
}

fn unknown_size(table: &TableInfo, size: &str) -> StandardFault {
    let known = table.keys();
    let diameter = diameter(size);
    let at = |key: &&&'static str| diameter.is_some() && self::diameter(key) == diameter;
    let meant = known.iter().find(at).copied();
    let near = diameter.map_or_else(Vec::new, |diameter| neighbours(&known, diameter));
    StandardFault::UnknownSize { table: table.standard, size: size.into(), meant, near, known }
}

/// The sizes below and above, of tables that go from small to large.
fn neighbours(known: &[&'static str], diameter: f64) -> Vec<&'static str> {
    let below = known.iter().rfind(|key| self::diameter(key).is_some_and(|d| d < diameter));
    let above = known.iter().find(|key| self::diameter(key).is_some_and(|d| d > diameter));
    below.into_iter().chain(above).copied().collect()
}

/// The number in the name of a size, read kindly, for the help: `m 2,5` and `2.5 mm` are 2.5.
fn diameter(size: &str) -> Option<f64> {
    let text = size.trim().trim_start_matches(['M', 'm']);
    let text = text.trim_end_matches("mm").trim().replace(',', ".");
    text.parse().ok().filter(|number: &f64| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_written_otherwise_is_named() {
        for size in ["m4", "M 4", "4", "4 mm", " M4", "M4.0"] {
            let fault = number("clearance", size, "fine").unwrap_err();
            assert_eq!(fault.help(), "write M4", "{size}");
        }
        assert_eq!(number("clearance", "m2,5", "fine").unwrap_err().help(), "write M2.5");
    }

    #[test]
    fn a_size_that_is_missing_has_neighbours() {
        let help = |size| number("button_heads", size, "key").unwrap_err().help();
        let known = "it has M3, M4, M5, M6, M8, M10";
        assert_eq!(help("M7"), format!("next to it are M6 and M8; {known}"));
        assert_eq!(help("M2.5"), format!("next to it is M3; {known}"));
        assert_eq!(help("M12"), format!("next to it is M10; {known}"));
        assert_eq!(help("big"), known);
        assert_eq!(help(""), known);
        assert_eq!(help("NaN"), known);
    }
}
