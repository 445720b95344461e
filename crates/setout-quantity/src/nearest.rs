//! What a misspelt word probably meant.

/// The candidate that is most like a misspelt word, if one is like enough to be worth naming: at
/// most one slip in three letters, a swap of neighbours being one. Capitals alone are no slip, and
/// of two that are equally like, one with the same first letter is the better guess.
///
/// ```
/// use setout_quantity::nearest;
/// assert_eq!(nearest("widht", ["depth", "width"]), Some("width".into()));
/// assert_eq!(nearest("MAX", ["atan", "max"]), Some("max".into()));
/// assert_eq!(nearest("width", ["jaw", "lid"]), None);
/// ```
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let letters = word.chars().count();
    let worth = |slips: usize, candidate: &str| {
        slips <= (letters.max(candidate.chars().count()) / 3).max(1) && slips < letters
    };
    // A single letter means something else as a capital.
    let same = |candidate: &str| letters > 1 && candidate.eq_ignore_ascii_case(word);
    let slips =
        |candidate: &str| if same(candidate) { 0 } else { strsim::osa_distance(word, candidate) };
    let begins_otherwise = |candidate: &str| candidate.chars().next() != word.chars().next();
    candidates
        .into_iter()
        .filter(|candidate| candidate.chars().count().abs_diff(letters) <= letters / 3 + 1)
        .map(|candidate| (slips(candidate), begins_otherwise(candidate), candidate))
        .filter(|(slips, _, candidate)| worth(*slips, candidate))
        .min()
        .map(|(.., candidate)| candidate.to_owned())
}
