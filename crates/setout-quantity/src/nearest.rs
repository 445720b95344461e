//! What a misspelt word probably meant.

/// The candidate that is most like a misspelt word, if one is like enough to be worth naming: at
/// most one slip in three letters, a swap of neighbours being one.
///
/// ```
/// use setout_quantity::nearest;
/// assert_eq!(nearest("widht", ["depth", "width"]), Some("width".into()));
/// assert_eq!(nearest("width", ["jaw", "lid"]), None);
/// ```
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let letters = word.chars().count();
    let worth = |slips: &usize, candidate: &str| {
        *slips <= (letters.max(candidate.chars().count()) / 3).max(1) && *slips < letters
    };
    candidates
        .into_iter()
        .filter(|candidate| candidate.chars().count().abs_diff(letters) <= letters / 3 + 1)
        .map(|candidate| (strsim::osa_distance(word, candidate), candidate))
        .filter(|(slips, candidate)| worth(slips, candidate))
        .min()
        .map(|(_, candidate)| candidate.to_owned())
}
