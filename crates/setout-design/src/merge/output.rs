//! The merged text as it comes about: settled lines, and conflicts between them.

use std::collections::BTreeMap;

use super::settle::Side;
use super::{Labels, MergedTable};

/// What a person has to settle.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct MergeConflict {
    /// What it is about, without the table's name: `width`, `width.min`,
    /// `servo.jaw_left.stall_current`; empty for lines that belong to nothing.
    pub name: String,
    /// The line of the first mark, from 1.
    pub line: usize,
    /// How it came about.
    pub what: ConflictKind,
    /// The lines of ours; absent where they are gone.
    pub ours: Option<String>,
    /// Those of theirs.
    pub theirs: Option<String>,
    /// Those of the base; absent where there were none.
    pub base: Option<String>,
}

/// How a conflict came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum ConflictKind {
    /// Both sides changed it, each its own way.
    Changed,
    /// Both sides added it, each its own way.
    Added,
    /// One side deleted what the other changed.
    Deleted,
    /// Both sides gave it another name, or one did and the other deleted it.
    Renamed,
    /// Both sides changed a comment.
    Comment,
    /// Both sides changed lines that are not understood as a table.
    Lines,
}

impl ConflictKind {
    /// The word by which programs know it.
    pub fn slug(self) -> &'static str {
        match self {
            Self::Changed => "changed",
            Self::Added => "added",
            Self::Deleted => "deleted",
            Self::Renamed => "renamed",
            Self::Comment => "comment",
            Self::Lines => "lines",
        }
    }

    /// What happened, as half a sentence.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Changed => "changed on both sides",
            Self::Added => "added on both sides",
            Self::Deleted => "deleted on one side and changed on the other",
            Self::Renamed => "renamed on both sides, or renamed on one and deleted on the other",
            Self::Comment => "has another comment on each side",
            Self::Lines => "changed on both sides",
        }
    }
}

/// A conflict with its lines.
#[derive(Clone, Debug)]
pub(super) struct Marked {
    /// What it is about: one name, or those of the fields.
    pub(super) names: Vec<String>,
    pub(super) what: ConflictKind,
    pub(super) base: Option<String>,
    pub(super) ours: Option<String>,
    pub(super) theirs: Option<String>,
}

#[derive(Clone, Debug)]
enum Part {
    Lines(String),
    Conflict(Marked),
}

/// The text so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Output {
    parts: Vec<Part>,
    /// What stands before the first line and what ends one, if not LF.
    pub(super) mark: bool,
    pub(super) crlf: bool,
    /// Whether the last line has no end.
    pub(super) open: bool,
}

impl Output {
    /// A text as it is.
    pub(super) fn of_text(text: &str) -> Self {
        let mut output = Self::default();
        output.push(text);
        output
    }

    /// A conflict of a whole file. `about` has the names that it is about; without any it is about
    /// the file.
    pub(super) fn of_file(
        states: [Option<&str>; 3],
        what: ConflictKind,
        about: &BTreeMap<String, String>,
    ) -> Self {
        let mut names: Vec<String> = about.values().cloned().collect();
        if names.is_empty() {
            names.push(String::new());
        }
        let [base, ours, theirs] =
            states.map(|text| text.filter(|text| !text.is_empty()).map(str::to_owned));
        let mut output = Self::default();
        output.conflict(Marked { names, what, base, ours, theirs });
        output
    }

    pub(super) fn push(&mut self, lines: &str) {
        match self.parts.last_mut() {
            Some(Part::Lines(text)) => text.push_str(lines),
            _ => self.parts.push(Part::Lines(lines.to_owned())),
        }
    }

    pub(super) fn conflict(&mut self, marked: Marked) {
        self.parts.push(Part::Conflict(marked));
    }

    pub(super) fn append(&mut self, other: Self) {
        self.parts.extend(other.parts);
    }

    pub(super) fn has_conflicts(&self) -> bool {
        self.parts.iter().any(|part| matches!(part, Part::Conflict(_)))
    }

    /// What is in conflict, in the order of the names.
    pub(super) fn names(&self) -> Vec<(&str, ConflictKind)> {
        let mut names: Vec<_> = self
            .parts
            .iter()
            .filter_map(|part| if let Part::Conflict(marked) = part { Some(marked) } else { None })
            .flat_map(|marked| marked.names.iter().map(|name| (name.as_str(), marked.what)))
            .collect();
        names.sort_unstable();
        names
    }

    /// The text with one side's lines at every conflict.
    pub(super) fn side(&self, side: Side) -> String {
        let lines = |part: &Part| match (part, side) {
            (Part::Lines(text), _) => text.clone(),
            (Part::Conflict(marked), Side::Ours) => marked.ours.clone().unwrap_or_default(),
            (Part::Conflict(marked), Side::Theirs) => marked.theirs.clone().unwrap_or_default(),
        };
        self.parts.iter().map(lines).collect()
    }

    /// The text with marks, and the list of conflicts.
    pub(super) fn table(&self, labels: &Labels, by_lines: Option<String>) -> MergedTable {
        let (mut text, mut conflicts) = (String::new(), Vec::new());
        let mut line = 1;
        for part in &self.parts {
            let lines = match part {
                Part::Lines(lines) => lines.clone(),
                Part::Conflict(marked) => {
                    conflicts.extend(marked.told(line));
                    marked.lines(labels)
                }
            };
            line += lines.matches('\n').count();
            text.push_str(&lines);
        }
        if self.open && text.ends_with('\n') {
            text.pop();
        }
        if self.crlf {
            text = text.replace('\n', "\r\n");
        }
        if self.mark {
            text.insert(0, '\u{feff}');
        }
        MergedTable { text, conflicts, by_lines }
    }
}

impl Marked {
    fn told(&self, line: usize) -> Vec<MergeConflict> {
        let trimmed = |lines: &Option<String>| lines.as_ref().map(|lines| lines.trim().to_owned());
        let one = |name: &String| MergeConflict {
            name: name.clone(),
            line,
            what: self.what,
            ours: trimmed(&self.ours),
            theirs: trimmed(&self.theirs),
            base: trimmed(&self.base),
        };
        self.names.iter().map(one).collect()
    }

    /// With git's marks, the base between the sides.
    fn lines(&self, labels: &Labels) -> String {
        // Lines that were not taken apart have their own ends still.
        let sides = [&self.base, &self.ours, &self.theirs];
        let pairs = sides.into_iter().flatten().any(|lines| lines.contains("\r\n"));
        let end = if pairs { "\r\n" } else { "\n" };
        let ended = |lines: &Option<String>| match lines {
            Some(lines) if !lines.is_empty() && !lines.ends_with('\n') => format!("{lines}{end}"),
            lines => lines.clone().unwrap_or_default(),
        };
        let mark = |sign: &str, label: &str| {
            let label = label.split(|c: char| c.is_control()).collect::<Vec<_>>().join(" ");
            format!("{} {label}", sign.repeat(labels.marks)).trim_end().to_owned() + end
        };
        [
            mark("<", &labels.ours),
            ended(&self.ours),
            mark("|", &labels.base),
            ended(&self.base),
            mark("=", ""),
            ended(&self.theirs),
            mark(">", &labels.theirs),
        ]
        .concat()
    }
}
