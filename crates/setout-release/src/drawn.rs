//! A release, drawn up from a design and all releases before it.

use setout_assess::{Work, assess};
use setout_design::{Comparison, Evaluation, Source};
use setout_export::one_line;

use crate::archive::{Files, pack};
use crate::assemble::{Assembled, Decided, assemble};
use crate::change_text::verdicts;
use crate::changes::{Since, although, changes};
use crate::names::RECORD;
use crate::parts::{ReleasedPart, letters};
use crate::{BundleFault, Letter, Moment, Record, ReleaseFault};

/// What was released before.
#[derive(Clone, Copy, Debug)]
pub struct Past<'a> {
    /// All records, the oldest first.
    pub records: &'a [Record],
    /// The design as it was in the last of them.
    pub last: Option<&'a Evaluation>,
}

/// The commit that is released.
#[derive(Clone, Copy, Debug)]
pub struct Commit<'a> {
    /// Its full name.
    pub id: &'a str,
    /// When its author made it.
    pub date: Moment,
}

/// What whoever releases wants.
#[derive(Clone, Debug, Default)]
pub struct Wishes {
    /// What they have to say, a paragraph each.
    pub note: Vec<String>,
    /// Release what was released before, if another release followed that.
    pub again: bool,
}

/// A release that was drawn up. Nothing of it has been written anywhere.
#[derive(Clone, Debug)]
pub struct Release {
    /// What is kept of it in the repository.
    pub record: Record,
    /// How its parts stand to the release before, in the order of the design.
    pub parts: Vec<ReleasedPart>,
    /// Whether it bears on the safety of people.
    pub caution: bool,
    /// The design in all states.
    pub judged: Evaluation,
    files: Files,
}

/// Draws up the next release of a design without faults.
///
/// # Errors
/// When it was released already, the past does not fit together, a file cannot be had, or the work
/// was stopped.
pub fn draw_up(
    source: &dyn Source,
    evaluation: &Evaluation,
    past: &Past<'_>,
    commit: &Commit<'_>,
    wishes: &Wishes,
    work: &Work<'_>,
) -> Result<Release, ReleaseFault> {
    check_chain(past.records)?;
    // What is compared with the release before is compared at rest; verdicts are of all states.
    let judged = assess(evaluation, work);
    if (work.stop)() {
        return Err(ReleaseFault::Stopped);
    }
    check_new(past.records, &judged, wishes)?;
    let since = since(past, evaluation)?;
    let found = since.as_ref().map(|since| &since.found);
    let parts = letters(&evaluation.parts(), past.records, found);
    let parts = parts.ok_or(ReleaseFault::NoLetterLeft)?;
    let previous = past.records.last().map(|last| last.release);
    let release = previous.map_or(Some(Letter::FIRST), Letter::next);
    let decided = Decided {
        release: release.ok_or(ReleaseFault::NoLetterLeft)?,
        previous,
        commit: commit.id.to_owned(),
        date: commit.date,
        made_by: concat!("setout ", env!("CARGO_PKG_VERSION")).to_owned(),
        note: wishes.note.iter().map(|note| one_line(note)).filter(|n| !n.is_empty()).collect(),
        changes: changes(since.as_ref(), evaluation, &parts),
        parts: parts.clone(),
    };
    let Assembled { record, files, caution } = assemble(source, &judged, decided)?;
    Ok(Release { record, parts, caution, judged, files })
}

/// Each record names the one before it.
fn check_chain(records: &[Record]) -> Result<(), ReleaseFault> {
    let mut before = None;
    for record in records {
        if record.previous != before {
            return Err(ReleaseFault::Gap { letter: record.release, named: record.previous });
        }
        before = Some(record.release);
    }
    Ok(())
}

fn check_new(
    records: &[Record],
    evaluation: &Evaluation,
    wishes: &Wishes,
) -> Result<(), ReleaseFault> {
    let Some(same) = records.iter().rfind(|record| record.is_of(evaluation)) else { return Ok(()) };
    let followed = records.last() != Some(same);
    if followed && wishes.again {
        return Ok(());
    }
    Err(ReleaseFault::Already { letter: same.release, followed })
}

fn since<'a>(past: &Past<'a>, evaluation: &Evaluation) -> Result<Option<Since<'a>>, ReleaseFault> {
    let (Some(record), Some(before)) = (past.records.last(), past.last) else { return Ok(None) };
    if !record.is_of(before) {
        return Err(ReleaseFault::OtherDesign { letter: record.release });
    }
    Ok(Some(Since { record, before, found: Comparison::of(before, evaluation) }))
}

impl Record {
    /// Whether this is the record of a design: of its values and of every part's. A model can
    /// change without any value.
    pub fn is_of(&self, evaluation: &Evaluation) -> bool {
        let (own, parts) = (self.by_name(), evaluation.parts());
        let is_there = |part: &setout_design::PartResult| {
            own.get(part.name.as_str()).is_some_and(|own| own.fingerprint == part.fingerprint)
        };
        self.fingerprint == evaluation.fingerprint()
            && self.parts.len() == parts.len()
            && parts.iter().all(is_there)
    }

    /// What failed in spite of the release, in a sentence; none if nothing did.
    pub fn although(&self) -> Option<String> {
        although(self)
    }

    /// What became of its checks and limits, in sentences.
    pub fn verdicts(&self) -> Vec<String> {
        verdicts(self)
    }
}

impl Release {
    /// The text of the record.
    pub fn record_text(&self) -> &[u8] {
        self.files.get(RECORD).map_or(&[], Vec::as_slice)
    }

    /// The files of the bundle by name.
    pub fn files(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice()))
    }

    /// The bytes of the bundle: the same for the same commit, past and note.
    ///
    /// # Errors
    /// When it would be larger than a bundle may be.
    pub fn bundle(&self) -> Result<Vec<u8>, BundleFault> {
        pack(&self.files, self.record.date)
    }
}
