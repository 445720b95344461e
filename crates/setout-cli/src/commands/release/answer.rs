//! What was released, or would be.

use serde::Serialize;
use setout::{
    CAUTION, CheckResult, Evaluation, Letter, LimitResult, Number, RecordedMeasure, RecordedPart,
    Release, ReleasedPart, ReleasedTurn, Revision, Verdict, sha256,
};

use super::bundle::Files;
use crate::draw::{self, Answer, Cell, Columns, Ink, Line, Page, count};

/// A release with all that is told of it.
pub(super) struct Released<'a> {
    pub(super) release: &'a Release,
    pub(super) revision: &'a Revision,
    pub(super) evaluation: &'a Evaluation,
    pub(super) files: &'a Files,
    /// Whether something fails, and nobody said to release it all the same.
    pub(super) fails: bool,
}

const NOT_RELEASED: &str = "Not released: what fails stands above. Mend it, or release it all the \
same with --although-failing; the record and the change list then say so.";
const NOTHING_WRITTEN: &str = "Nothing has been written.";

impl Answer for Released<'_> {
    fn text(&self, page: &mut Page) {
        self.head(page);
        self.parts(page);
        self.changes(page);
        self.failing(page);
        page.gap();
        for sentence in self.release.record.verdicts() {
            page.say(0, &sentence);
        }
        if let Some(although) = self.release.record.although().filter(|_| !self.fails) {
            page.wrap(&Line::default(), 0, Ink::Fails, &although);
        }
        page.gap();
        self.ending(page);
        if self.release.caution {
            page.gap();
            page.say(0, CAUTION);
        }
    }

    fn json(&self) -> impl Serialize {
        let record = &self.release.record;
        let parts = record.parts.iter().zip(&self.release.parts);
        Keys {
            release: record.release,
            previous: record.previous,
            design: &record.design,
            revision: &record.commit,
            date: record.date.to_string(),
            fingerprint: &record.fingerprint,
            written: self.files.written,
            failing: &record.failing,
            parts: parts.map(Part::of).collect(),
            changes: &record.changes,
            record: &self.files.record,
            bundle: Bundle {
                file: &self.files.bundle,
                files: self.release.files().count(),
                bytes: self.files.bytes.len(),
                sha256: sha256(&self.files.bytes),
            },
            caution: self.release.caution.then_some(CAUTION),
        }
    }
}

impl Released<'_> {
    fn head(&self, page: &mut Page) {
        let record = &self.release.record;
        page.heading(&record.design);
        let after = record.previous.map(|before| format!(", after {before}")).unwrap_or_default();
        page.entry(0, "release", &format!("{}{after}", record.release));
        let revision = format!("{} {}", self.revision.short(), self.revision.summary());
        page.entry(0, "revision", &revision);
        page.entry(0, "date", &record.date.to_string());
    }

    fn parts(&self, page: &mut Page) {
        // A first release has all of them among its changes.
        if self.release.parts.is_empty() || self.release.record.previous.is_none() {
            return;
        }
        page.gap();
        page.say(0, "Letters of the parts:");
        let mut columns = Columns::whole();
        for part in &self.release.parts {
            let ink = if part.turn == ReleasedTurn::Again { Ink::Heading } else { Ink::Plain };
            let cells = [&part.letter.to_string(), &part.name, &how(part)];
            columns.row(cells.map(|text| Cell::text(ink, text)));
        }
        columns.draw(2, page);
    }

    fn changes(&self, page: &mut Page) {
        page.gap();
        page.say(0, "For those who follow:");
        let record = &self.release.record;
        for sentence in record.note.iter().chain(&record.changes) {
            page.wrap(&Line::indented(2).put(Ink::Faint, "- "), 4, Ink::Plain, sentence);
        }
    }

    /// What fails or is unknown, at length.
    fn failing(&self, page: &mut Page) {
        let is_bad = |verdict: Verdict| verdict >= Verdict::Unknown;
        let checks = self.evaluation.checks().iter();
        for check in checks.filter(|check: &&CheckResult| is_bad(check.verdict)) {
            page.gap();
            draw::check(check, page);
        }
        let limits = self.evaluation.limits().iter();
        for limit in limits.filter(|limit: &&LimitResult| is_bad(limit.verdict)) {
            page.gap();
            draw::limit(limit, page);
        }
    }

    fn ending(&self, page: &mut Page) {
        if self.fails {
            page.say(0, NOT_RELEASED);
        }
        if !self.files.written {
            return page.say(0, NOTHING_WRITTEN);
        }
        let size = format!(
            "{}, {}: to be published, not committed",
            count(self.release.files().count(), "file"),
            size(self.files.bytes.len())
        );
        let (letter, record) = (self.release.record.release, &self.files.record);
        page.entry(0, "bundle", &self.files.bundle);
        page.entry(0, "", &size);
        page.entry(0, "record", &format!("{record}: to be committed"));
        page.entry(0, "next", &format!("git add {record} && git commit -m \"Release {letter}\""));
    }
}

/// How a part stands to the release before, in words.
fn how(part: &ReleasedPart) -> String {
    let was = part.was.as_ref().map(|was| format!(", was called {was}")).unwrap_or_default();
    match (part.turn, part.before) {
        (ReleasedTurn::Again, Some(before)) => format!("to be made again, was {before}{was}"),
        (ReleasedTurn::Stays, _) => format!("stays{was}"),
        _ => "new".to_owned(),
    }
}

/// A number of bytes for people.
fn size(bytes: usize) -> String {
    match bytes {
        0..10_000 => format!("{bytes} bytes"),
        10_000..10_000_000 => format!("{} kB", bytes / 1_000),
        _ => format!("{} MB", bytes / 1_000_000),
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    release: Letter,
    previous: Option<Letter>,
    design: &'a str,
    revision: &'a str,
    date: String,
    fingerprint: &'a str,
    written: bool,
    failing: &'a [String],
    parts: Vec<Part<'a>>,
    changes: &'a [String],
    record: &'a str,
    bundle: Bundle<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}

#[derive(Serialize)]
struct Part<'a> {
    name: &'a str,
    was: Option<&'a str>,
    letter: Letter,
    before: Option<Letter>,
    turn: &'a str,
    fingerprint: &'a str,
    quantity: Option<Number>,
    made: Option<&'a str>,
    material: Option<&'a str>,
    cost: Option<&'a RecordedMeasure>,
    mass: Option<&'a RecordedMeasure>,
}

impl<'a> Part<'a> {
    fn of((part, released): (&'a RecordedPart, &'a ReleasedPart)) -> Self {
        Self {
            name: &part.name,
            was: part.was.as_deref(),
            letter: part.letter,
            before: released.before,
            turn: released.turn.as_str(),
            fingerprint: &part.fingerprint,
            quantity: part.quantity,
            made: part.made.as_deref(),
            material: part.material.as_deref(),
            cost: part.cost.as_ref(),
            mass: part.mass.as_ref(),
        }
    }
}

#[derive(Serialize)]
struct Bundle<'a> {
    file: &'a str,
    files: usize,
    bytes: usize,
    sha256: String,
}
