//! Letters of parts.

use std::collections::{BTreeMap, BTreeSet};

use setout_design::{Comparison, PartResult};

use crate::{Letter, Record, RecordedPart};

/// How a part stands to the release before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// It was not in that release.
    New,
    /// It has to be made again.
    Again,
    /// The one that was made is still right.
    Stays,
}

impl Turn {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Again => "again",
            Self::Stays => "stays",
        }
    }
}

/// A part with its letter, and how that came about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReleasedPart {
    /// The full name.
    pub name: String,
    /// What it was called in the release before, if that is another name.
    pub was: Option<String>,
    /// The letter of its revision.
    pub letter: Letter,
    /// The letter that it had in the release before.
    pub before: Option<Letter>,
    /// How it stands to that.
    pub turn: Turn,
}

/// The letters of all parts: a part that need not be made again keeps its own, any other gets the
/// next after the highest that it, or another of its name, ever had. So no two things on a bench
/// that differ ever bear the same name and letter. None when there are no more letters.
pub(crate) fn letters(
    parts: &[PartResult],
    records: &[Record],
    since: Option<&Comparison>,
) -> Option<Vec<ReleasedPart>> {
    let last = records.last().map(Record::by_name).unwrap_or_default();
    let both = since.map_or(&[][..], |since| &since.parts_in_both);
    let both: BTreeMap<&str, &str> =
        both.iter().map(|both| (both.after.as_str(), both.before.as_str())).collect();
    let again = since.map_or(&[][..], |since| &since.parts).iter().filter(|part| part.remake);
    let again: BTreeSet<&str> = again.map(|part| part.name.as_str()).collect();
    let history = History::of(records);
    let released = |part: &PartResult| {
        let last = both.get(part.name.as_str()).and_then(|before| last.get(before)).copied();
        // A dimension that was only renamed gives another fingerprint, and the same part.
        let stays = !again.contains(part.name.as_str());
        released(part, last.map(|last| (last, stays)), &history)
    };
    parts.iter().map(released).collect()
}

fn released(
    part: &PartResult,
    last: Option<(&RecordedPart, bool)>,
    history: &History<'_>,
) -> Option<ReleasedPart> {
    let name = part.name.clone();
    let was = last.map(|(last, _)| last.name.clone()).filter(|was| *was != name);
    let before = last.map(|(last, _)| last.letter);
    if let Some((last, true)) = last {
        let letter = last.letter;
        return Some(ReleasedPart { name, was, letter, before, turn: Turn::Stays });
    }
    let letter = match history.highest(&name).max(was.as_deref().and_then(|w| history.highest(w))) {
        Some(highest) => highest.next()?,
        None => Letter::FIRST,
    };
    let turn = if before.is_some() { Turn::Again } else { Turn::New };
    Some(ReleasedPart { name, was, letter, before, turn })
}

/// The highest letter that each name came to, that of what its bearer was called before counted.
struct History<'a>(BTreeMap<&'a str, Letter>);

impl<'a> History<'a> {
    fn of(records: &'a [Record]) -> Self {
        let mut highest: BTreeMap<&str, Letter> = BTreeMap::new();
        for record in records {
            let before = highest.clone();
            for part in &record.parts {
                let own = before.get(part.name.as_str());
                let was = part.was.as_deref().and_then(|was| before.get(was));
                let letter = [own, was].into_iter().flatten().copied().max().max(Some(part.letter));
                highest.extend(letter.map(|letter| (part.name.as_str(), letter)));
            }
        }
        Self(highest)
    }

    fn highest(&self, name: &str) -> Option<Letter> {
        self.0.get(name).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::tests::record;

    fn letter(text: &str) -> Letter {
        text.parse().expect("a letter")
    }

    /// `name=B` or `name<was=B`.
    fn history(records: &[&[&str]]) -> Vec<Record> {
        let part = |text: &&str| {
            let (names, at) = text.split_once('=').expect("a letter");
            let (name, was) = names.split_once('<').map_or((names, None), |(n, w)| (n, Some(w)));
            (name.to_owned(), was.map(str::to_owned), letter(at))
        };
        records.iter().map(|parts| record(parts.iter().map(part))).collect()
    }

    #[test]
    fn letters_only_go_up_whatever_a_part_is_called() {
        let records = history(&[
            &["jaw.lid=C", "jaw.pin=A"],
            &["mouth.lid<jaw.lid=D"],
            // Another part takes the old name.
            &["mouth.cap<mouth.lid=D", "jaw.lid=D"],
        ]);
        let history = History::of(&records);
        let highest = |name: &str| history.highest(name).map(|letter| letter.to_string());
        assert_eq!(highest("mouth.cap").as_deref(), Some("D"));
        assert_eq!(highest("mouth.lid").as_deref(), Some("D"));
        assert_eq!(highest("jaw.lid").as_deref(), Some("D"));
        assert_eq!(highest("jaw.pin").as_deref(), Some("A"));
        assert_eq!(highest("jaw.new"), None);
    }
}
