//! Three texts merged line by line, where they cannot be merged as tables: comments, and what is no
//! table at all.

use crate::common::{common_lines, in_order};

/// Texts of more lines are not compared line by line, but whole.
const MOST_LINES: usize = 10_000;

/// A stretch of the merged text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Stretch {
    /// Settled lines.
    Settled(String),
    /// Both sides changed the same lines, each its own way.
    Conflict { base: String, ours: String, theirs: String },
}

/// Merges lines. Two changes that touch or overlap are one conflict, unless they are the same.
pub(super) fn merged(base: &str, ours: &str, theirs: &str) -> Vec<Stretch> {
    if ours == theirs || base == theirs {
        return vec![Stretch::Settled(ours.to_owned())];
    }
    if base == ours {
        return vec![Stretch::Settled(theirs.to_owned())];
    }
    let [b, o, t] = [base, ours, theirs].map(|text| text.split_inclusive('\n').collect::<Vec<_>>());
    let (with_ours, with_theirs) = (kept(&b, &o), kept(&b, &t));
    let mut found = Vec::new();
    let mut from = [0_usize; 3];
    for line in 0..=b.len() {
        let at = if line < b.len() {
            // Only a line that all three keep parts what stands before it from what follows.
            match (with_ours[line], with_theirs[line]) {
                (Some(ours), Some(theirs)) => [line, ours, theirs],
                _ => continue,
            }
        } else {
            [b.len(), o.len(), t.len()]
        };
        let part = |lines: &[&str], side: usize| lines[from[side]..at[side]].concat();
        push(&mut found, stretch(part(&b, 0), part(&o, 1), part(&t, 2)));
        if line < b.len() {
            push(&mut found, Stretch::Settled(b[line].to_owned()));
        }
        from = at.map(|at| at + 1);
    }
    found
}

/// For every line of the base the line of a side that it is kept as.
fn kept(base: &[&str], side: &[&str]) -> Vec<Option<usize>> {
    let long = base.len().max(side.len()) > MOST_LINES;
    let pairs = if long { in_order(base, side) } else { common_lines(base, side) };
    let mut kept = vec![None; base.len()];
    let mut last = None;
    for (line, at) in pairs {
        if last.is_none_or(|last| at > last) {
            kept[line] = Some(at);
            last = Some(at);
        }
    }
    kept
}

fn stretch(base: String, ours: String, theirs: String) -> Stretch {
    match () {
        () if ours == theirs || base == theirs => Stretch::Settled(ours),
        () if base == ours => Stretch::Settled(theirs),
        () => Stretch::Conflict { base, ours, theirs },
    }
}

fn push(found: &mut Vec<Stretch>, new: Stretch) {
    match (found.last_mut(), new) {
        (Some(Stretch::Settled(text)), Stretch::Settled(more)) => text.push_str(&more),
        (_, Stretch::Settled(text)) if text.is_empty() => {}
        (_, new) => found.push(new),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The one text that three come to, if nothing in them is in conflict.
    fn settled(base: &str, ours: &str, theirs: &str) -> Option<String> {
        match &merged(base, ours, theirs)[..] {
            [] => Some(String::new()),
            [Stretch::Settled(text)] => Some(text.clone()),
            _ => None,
        }
    }

    #[test]
    fn changes_of_other_lines_are_both_there() {
        let base = "a\nb\nc\nd\ne\n";
        assert_eq!(settled(base, "A\nb\nc\nd\ne\n", "a\nb\nc\nd\nE\n").unwrap(), "A\nb\nc\nd\nE\n");
        assert_eq!(settled(base, "a\nc\nd\ne\n", "a\nb\nc\nd\ne\nf\n").unwrap(), "a\nc\nd\ne\nf\n");
        assert_eq!(settled(base, "x\n", "x\n").unwrap(), "x\n");
        assert_eq!(settled("", "", "").unwrap(), "");
    }

    #[test]
    fn changes_of_one_line_are_a_conflict() {
        let found = merged("a\nb\nc\n", "a\nB\nc\n", "a\nbb\nc\n");
        let conflict =
            Stretch::Conflict { base: "b\n".into(), ours: "B\n".into(), theirs: "bb\n".into() };
        let lines = |text: &str| Stretch::Settled(text.into());
        assert_eq!(found, [lines("a\n"), conflict, lines("c\n")]);
        assert_eq!(settled("a\n", "a\nx\n", "a\ny\n"), None);
    }
}
