//! Tables whose columns are ranges of sizes: `3-6` is over 3 mm up to and including 6 mm.

use crate::StandardFault;
use crate::table::{TableInfo, table};

/// What a computed size may be over the end of a range and still be meant as the end: 6 mm that
/// came out of a formula as 6.000000000000001 is 6 mm.
const NOISE: f64 = 1e-12;

/// The column that a size in mm falls into.
pub(crate) fn column_of(table: &TableInfo, size_mm: f64) -> Result<usize, StandardFault> {
    let ranges = || (1..table.columns.len()).filter_map(|at| Some((at, range(table.columns[at])?)));
    let holds =
        |(_, (over, to)): &(usize, (f64, f64))| *over < size_mm && size_mm <= *to * (1.0 + NOISE);
    ranges().find(holds).map(|(at, _)| at).ok_or_else(|| StandardFault::OutOfRange {
        table: table.standard,
        size_mm,
        over_mm: ranges().next().map_or(f64::NAN, |(_, (over, _))| over),
        to_mm: ranges().next_back().map_or(f64::NAN, |(_, (_, to))| to),
    })
}

/// Over which size in mm a column goes, and up to and including which.
pub(crate) fn range(column: &str) -> Option<(f64, f64)> {
    let (over, to) = column.split_once('-')?;
    Some((over.parse().ok()?, to.parse().ok()?))
}

/// The sizes in mm at which a range of the tables of grades or classes ends: between two of them
/// what [`it_grade`](crate::it_grade), [`limit_upper`](crate::limit_upper) and their like give does
/// not change. From the smallest, without 0.
pub fn range_ends() -> Vec<f64> {
    let tables = [table("grades"), table("limits")];
    let columns = tables.iter().flat_map(|table| &table.columns[1..]);
    let mut ends: Vec<f64> = columns.filter_map(|column| Some(range(column)?.1)).collect();
    ends.sort_by(f64::total_cmp);
    ends.dedup();
    ends
}

#[cfg(test)]
mod tests {

    use super::*;

    #[test]
    fn ranges_follow_upon_each_other_from_zero() {
        for table in [table("grades"), table("limits")] {
            let ranges: Vec<_> = table.columns[1..].iter().map(|column| range(column)).collect();
            let mut end = Some(0.0);
            for range in ranges {
                assert_eq!(range.map(|(over, _)| over), end);
                end = range.map(|(_, to)| to);
            }
            assert_eq!(end, Some(120.0));
        }
    }
}
