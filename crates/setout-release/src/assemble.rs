//! The record and the files of a release, from the design and what was decided about it. Used
//! twice: to make a bundle, and to prove one.

use std::collections::btree_map::Entry;

use setout_design::{
    CheckResult, Evaluation, LimitResult, PartResult, Source, Verdict, bears_on_safety,
    speaks_of_danger,
};
use setout_export::{format_named, sheet};

use crate::archive::Files;
use crate::change_text::change_text;
use crate::digest::sha256;
use crate::names::{CHANGES, DESIGN, PARTS, RECORD};
use crate::part_list::part_list;
use crate::parts::ReleasedPart;
use crate::record::VERSION;
use crate::{
    Letter, Moment, Number, Record, RecordedExport, RecordedFile, RecordedMeasure, RecordedPart,
    ReleaseFault, Verdicts,
};

/// What a design does not say of its release.
#[derive(Clone, Debug)]
pub(crate) struct Decided {
    pub(crate) release: Letter,
    pub(crate) previous: Option<Letter>,
    pub(crate) commit: String,
    pub(crate) date: Moment,
    pub(crate) made_by: String,
    pub(crate) note: Vec<String>,
    pub(crate) changes: Vec<String>,
    /// A letter a part, in the order of the design.
    pub(crate) parts: Vec<ReleasedPart>,
}

/// A record and all files of its bundle, the record's own text among them.
#[derive(Clone, Debug)]
pub(crate) struct Assembled {
    pub(crate) record: Record,
    pub(crate) files: Files,
    /// Whether it bears on the safety of people.
    pub(crate) caution: bool,
}

/// Puts a release together. It is a function of the design's texts and of what was decided.
pub(crate) fn assemble(
    source: &dyn Source,
    evaluation: &Evaluation,
    decided: Decided,
) -> Result<Assembled, ReleaseFault> {
    let mut files = texts(source, evaluation)?;
    let exports = add_exports(evaluation, &mut files)?;
    let mut record = record(evaluation, decided, exports);
    let list = part_list(&record);
    let list =
        list.map_err(|fault| ReleaseFault::Export { file: PARTS.to_owned(), faults: vec![fault] })?;
    let caution = is_dangerous(evaluation);
    files.insert(PARTS.to_owned(), list.into_bytes());
    files.insert(CHANGES.to_owned(), change_text(&record, caution).into_bytes());
    record.files = files.iter().map(listed).collect();
    files.insert(RECORD.to_owned(), record.to_text().into_bytes());
    Ok(Assembled { record, files, caution })
}

/// The tables, and the models with what they include.
fn texts(source: &dyn Source, evaluation: &Evaluation) -> Result<Files, ReleaseFault> {
    let mut files = Files::new();
    for path in evaluation.files().into_iter().chain(evaluation.models()) {
        // A part's model may be a table.
        if let Entry::Vacant(place) = files.entry(format!("{DESIGN}{path}")) {
            place.insert(source.read(path)?);
        }
    }
    Ok(files)
}

/// The exports, drawn anew.
fn add_exports(
    evaluation: &Evaluation,
    files: &mut Files,
) -> Result<Vec<RecordedExport>, ReleaseFault> {
    let sheet = sheet(evaluation);
    let mut recorded = Vec::new();
    for export in evaluation.exports() {
        // Those without a format or a path have a fault, and nothing with a fault is released.
        let (Some(format), Some(path)) = (format_named(&export.format), &export.path) else {
            continue;
        };
        let text = format.write(&sheet);
        let text = text.map_err(|faults| ReleaseFault::Export { file: path.clone(), faults })?;
        recorded.push(RecordedExport {
            file: path.clone(),
            format: format.name().to_owned(),
            fingerprint: format.fingerprint_of(&text).unwrap_or_default(),
        });
        let bytes = text.into_bytes();
        let model = files.insert(format!("{DESIGN}{path}"), bytes.clone());
        if model.is_some_and(|model| model != bytes) {
            return Err(ReleaseFault::TwoTexts { path: path.clone() });
        }
    }
    Ok(recorded)
}

fn record(evaluation: &Evaluation, decided: Decided, exports: Vec<RecordedExport>) -> Record {
    let (checks, limits) = (evaluation.checks(), evaluation.limits());
    let alone = |check: &&CheckResult| check.travel.is_none() || check.worst.is_none();
    let parts = evaluation.parts().into_iter().zip(decided.parts).map(recorded).collect();
    Record {
        setout_release: VERSION,
        release: decided.release,
        previous: decided.previous,
        design: evaluation.design().name().to_owned(),
        folder: evaluation.design().folder().to_owned(),
        commit: decided.commit,
        date: decided.date,
        fingerprint: evaluation.fingerprint(),
        made_by: decided.made_by,
        note: decided.note,
        checks: Verdicts::of(checks.iter().map(|check| check.verdict)),
        limits: Verdicts::of(limits.iter().map(|limit| limit.verdict)),
        judged_at_rest_alone: checks.iter().filter(alone).count(),
        failing: failing(checks, limits),
        cost: RecordedMeasure::of(evaluation.cost()),
        mass: RecordedMeasure::of(evaluation.mass()),
        parts,
        exports,
        changes: decided.changes,
        files: Vec::new(),
    }
}

fn recorded((part, released): (PartResult, ReleasedPart)) -> RecordedPart {
    RecordedPart {
        name: part.name,
        was: released.was,
        letter: released.letter,
        fingerprint: part.fingerprint,
        quantity: part.quantity.and_then(|quantity| quantity.number()).map(Number),
        made: part.made,
        material: part.material,
        cost: RecordedMeasure::of(part.cost),
        mass: RecordedMeasure::of(part.mass),
    }
}

impl Verdicts {
    fn of(verdicts: impl Iterator<Item = Verdict>) -> Self {
        let mut counted = Self::default();
        for verdict in verdicts {
            *match verdict {
                Verdict::Holds => &mut counted.holds,
                Verdict::Tight => &mut counted.tight,
                Verdict::Unknown => &mut counted.unknown,
                Verdict::Fails => &mut counted.fails,
            } += 1;
        }
        counted
    }
}

/// The names of what fails or is unknown. A limit has the name of its dimension.
fn failing(checks: &[CheckResult], limits: &[LimitResult]) -> Vec<String> {
    let is_bad = |verdict: Verdict| verdict >= Verdict::Unknown;
    let checks = checks.iter().filter(|check| is_bad(check.verdict));
    let limits = limits.iter().filter(|limit| is_bad(limit.verdict));
    let mut names: Vec<String> = checks.map(|check| check.name.clone()).collect();
    names.extend(limits.map(|limit| limit.name.clone()));
    // A dimension can be outside of its limits and of its travel.
    names.dedup();
    names
}

/// Whether a part, a check or a limit bears on the safety of people.
fn is_dangerous(evaluation: &Evaluation) -> bool {
    let check = |check: &CheckResult| {
        let why = check.why.as_deref().unwrap_or_default();
        bears_on_safety(&check.unit, [&*check.name, &*check.requirement, why])
    };
    let limit = |limit: &LimitResult| bears_on_safety(&limit.unit, [&*limit.name]);
    let part = |part: &PartResult| {
        let texts = [part.material.as_deref(), part.note.as_deref(), part.made.as_deref()];
        speaks_of_danger(&part.name) || texts.into_iter().flatten().any(speaks_of_danger)
    };
    evaluation.checks().iter().any(check)
        || evaluation.limits().iter().any(limit)
        || evaluation.parts().iter().any(part)
}

fn listed((name, bytes): (&String, &Vec<u8>)) -> RecordedFile {
    RecordedFile { file: name.clone(), bytes: bytes.len() as u64, sha256: sha256(bytes) }
}
