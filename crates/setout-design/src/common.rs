//! What two rows of lines or items have in common.

use std::hash::Hash;

use similar::{Algorithm, DiffOp, DiffTag, capture_diff_slices};

/// The longest row of things that both hold in the same order, as pairs of places.
///
/// Time and room grow with the product of both lengths where nothing is alike: callers bound it.
pub(crate) fn common<T: Eq + Hash>(old: &[T], new: &[T]) -> Vec<(usize, usize)> {
    kept(&capture_diff_slices(Algorithm::Lcs, old, new))
}

/// Rows of lines that both hold in the same order, as pairs of places; not always the longest, but
/// in room that grows with the lengths alone.
pub(crate) fn common_lines<T: Eq + Hash>(old: &[T], new: &[T]) -> Vec<(usize, usize)> {
    kept(&capture_diff_slices(Algorithm::Myers, old, new))
}

fn kept(parts: &[DiffOp]) -> Vec<(usize, usize)> {
    let equal = parts.iter().filter(|part| part.tag() == DiffTag::Equal);
    equal.flat_map(|part| part.old_range().zip(part.new_range())).collect()
}

/// The things that both hold at the same place.
pub(crate) fn in_order<T: Eq>(old: &[T], new: &[T]) -> Vec<(usize, usize)> {
    let pairs = old.iter().zip(new).enumerate();
    pairs.filter(|(_, (a, b))| a == b).map(|(at, _)| (at, at)).collect()
}

#[cfg(test)]
mod tests {
    use super::{common, in_order};

    #[test]
    fn the_longest_row_is_kept_in_its_order() {
        let row = |text: &str| text.chars().collect::<Vec<_>>();
        for (old, new, kept) in [
            ("abc", "abc", "abc"),
            ("abcd", "bd", "bd"),
            ("ab", "xaybz", "ab"),
            ("abcbdab", "bdcaba", "4"),
            ("abc", "", ""),
            ("ab", "ba", "1"),
        ] {
            let (old, new) = (row(old), row(new));
            let pairs = common(&old, &new);
            assert!(pairs.iter().all(|(a, b)| old[*a] == new[*b]));
            assert!(pairs.windows(2).all(|two| two[0].0 < two[1].0 && two[0].1 < two[1].1));
            match kept.parse::<usize>() {
                // Several rows are as long.
                Ok(length) => assert_eq!(pairs.len(), length),
                Err(_) => assert_eq!(pairs.iter().map(|(a, _)| old[*a]).collect::<String>(), kept),
            }
        }
        assert_eq!(in_order(&row("abcd"), &row("axcde")), [(0, 0), (2, 2), (3, 3)]);
    }
}
