//! The record of a release, and its reading back.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use serde::{Deserialize, Serialize};
use setout_design::{Amount, LARGEST_FILE};

use crate::digest::sha256;
use crate::written::{is_written_line, written};
use crate::{Letter, Moment, Number};

/// What was released: the document that is kept in the repository, and that a bundle holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// The version of this form of record.
    pub setout_release: u32,
    /// The letter of the release.
    pub release: Letter,
    /// The release before, if there was one.
    pub previous: Option<Letter>,
    /// The design's name.
    pub design: String,
    /// The root-relative folder of `design.yaml`.
    pub folder: String,
    /// The full name of the commit.
    pub commit: String,
    /// When its author made the commit.
    pub date: Moment,
    /// Of the design's values.
    pub fingerprint: String,
    /// The program that made the release.
    pub made_by: String,
    /// What whoever released it has to say.
    pub note: Vec<String>,
    /// What became of the checks.
    pub checks: Verdicts,
    /// What became of the limits.
    pub limits: Verdicts,
    /// How many checks depend on motion or a tolerance and were judged at rest and nominal size
    /// alone.
    pub judged_at_rest_alone: usize,
    /// The checks and limits that fail or are unknown, and in spite of which it was released.
    pub failing: Vec<String>,
    /// What all parts cost together.
    pub cost: Option<RecordedMeasure>,
    /// What all parts weigh together.
    pub mass: Option<RecordedMeasure>,
    /// The parts, in the order of the tables.
    pub parts: Vec<RecordedPart>,
    /// The files that other programs read.
    pub exports: Vec<RecordedExport>,
    /// What changed since the release before, in sentences.
    pub changes: Vec<String>,
    /// All files of the bundle but the record itself, by name.
    pub files: Vec<RecordedFile>,
}

/// How many checks or limits came to each verdict.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Verdicts {
    /// Those that hold.
    pub holds: usize,
    /// Those that hold with less margin than was asked for.
    pub tight: usize,
    /// Those that could not be computed.
    pub unknown: usize,
    /// Those that fail.
    pub fails: usize,
}

/// A part as it was released.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordedPart {
    /// The full name.
    pub name: String,
    /// What it was called in the release before, if that is another name.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub was: Option<String>,
    /// The letter of its revision.
    pub letter: Letter,
    /// Of all that governs it.
    pub fingerprint: String,
    /// How many.
    pub quantity: Option<Number>,
    /// How it is made.
    pub made: Option<String>,
    /// What of.
    pub material: Option<String>,
    /// What one costs.
    pub cost: Option<RecordedMeasure>,
    /// What one weighs.
    pub mass: Option<RecordedMeasure>,
}

/// A number with its unit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordedMeasure {
    /// The number, in the unit.
    pub value: Number,
    /// The unit's symbol.
    pub unit: String,
}

/// A file that another program reads.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordedExport {
    /// The root-relative path.
    pub file: String,
    /// The format.
    pub format: String,
    /// The fingerprint that the file states.
    pub fingerprint: String,
}

/// A file of a bundle.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecordedFile {
    /// Its name in the bundle.
    pub file: String,
    /// How many bytes it has.
    pub bytes: u64,
    /// The SHA-256 of its bytes.
    pub sha256: String,
}

/// Why a text is no record.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum RecordFault {
    /// It is larger than a record may be, or not UTF-8.
    NoText,
    /// It has no seal at its end.
    NoSeal,
    /// Its seal is that of another text: it was edited or damaged.
    SealBroken,
    /// It is of a later form.
    Later {
        /// The version that it states.
        version: u32,
    },
    /// It says something that a record does not.
    Malformed {
        /// What is wrong, as a clause.
        reason: String,
    },
}

/// The version that is written.
pub(crate) const VERSION: u32 = 1;

const HEAD: &str = "# A release, as setout release wrote it. Its seal tells when it is edited.\n";
const SEAL: &str = "seal: ";

impl Record {
    /// The text of the record. Its last line is a seal: the SHA-256 of all that stands above. It
    /// shows damage and careless edits; it is no signature.
    pub fn to_text(&self) -> String {
        let value = match serde_yaml::to_value(self) {
            Ok(value) => value,
            // Structs, lists, texts and finite numbers always are values.
            Err(error) => unreachable!("a record that is no value: {error}"),
        };
        let text = format!("{HEAD}{}", written(&value));
        let seal = sha256(text.as_bytes());
        format!("{text}{SEAL}{seal}\n")
    }

    /// Reads a record back.
    ///
    /// # Errors
    /// What keeps it from being one, its broken seal first.
    pub fn read(bytes: &[u8]) -> Result<Self, RecordFault> {
        if bytes.len() as u64 > LARGEST_FILE {
            return Err(RecordFault::NoText);
        }
        let text = std::str::from_utf8(bytes).map_err(|_| RecordFault::NoText)?;
        let sealed = text.strip_suffix('\n').and_then(|text| text.rsplit_once('\n'));
        let (_, last) = sealed.ok_or(RecordFault::NoSeal)?;
        let seal = last.strip_prefix(SEAL).ok_or(RecordFault::NoSeal)?;
        let body = &text[..text.len() - last.len() - 1];
        if sha256(body.as_bytes()) != seal {
            return Err(RecordFault::SealBroken);
        }
        if let Some(at) = body.lines().position(|line| !is_written_line(line)) {
            let reason = format!("line {} is none that a record has", at + 1);
            return Err(RecordFault::Malformed { reason });
        }
        let malformed = |error: serde_yaml::Error| RecordFault::Malformed {
            reason: error.to_string().chars().take(LONGEST_REASON).collect(),
        };
        let Version { setout_release: version } = serde_yaml::from_str(body).map_err(malformed)?;
        if version > VERSION {
            return Err(RecordFault::Later { version });
        }
        let record: Self = serde_yaml::from_str(body).map_err(malformed)?;
        record.check().map_err(|reason| RecordFault::Malformed { reason })?;
        Ok(record)
    }

    /// What the form alone does not tell.
    fn check(&self) -> Result<(), String> {
        let hex = |text: &str, lengths: &[usize]| {
            lengths.contains(&text.len())
                && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
        };
        if self.setout_release != VERSION {
            return Err(format!("there is no form {} of a record", self.setout_release));
        }
        if !hex(&self.commit, &[40, 64]) {
            return Err("its commit is not the full name of one".to_owned());
        }
        if self.previous.is_some_and(|previous| previous >= self.release) {
            return Err("the release before it does not come before it".to_owned());
        }
        if !self.files.iter().all(|file| hex(&file.sha256, &[64])) {
            return Err("a file has no SHA-256".to_owned());
        }
        let parts = || self.parts.iter().map(|part| part.name.as_str());
        let files = || self.files.iter().map(|file| file.file.as_str());
        once("part", parts())?;
        once("part", self.parts.iter().filter_map(|part| part.was.as_deref()))?;
        once("file", files())
    }

    /// The parts by name.
    pub(crate) fn by_name(&self) -> BTreeMap<&str, &RecordedPart> {
        self.parts.iter().map(|part| (part.name.as_str(), part)).collect()
    }
}

/// A longer reason is cut: it may repeat what a stranger wrote.
const LONGEST_REASON: usize = 300;

/// Read before the rest: a later form may have other keys.
#[derive(Deserialize)]
struct Version {
    setout_release: u32,
}

fn once<'a>(what: &str, names: impl Iterator<Item = &'a str>) -> Result<(), String> {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name) {
            return Err(format!("a {what} stands in it twice"));
        }
    }
    Ok(())
}

impl RecordedMeasure {
    /// The same as recorded; none for what is no number.
    pub(crate) fn of(amount: Option<Amount>) -> Option<Self> {
        let amount = amount?;
        Some(Self { value: Number(amount.number()?), unit: amount.unit().to_owned() })
    }
}

impl fmt::Display for RecordFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoText => f.write_str("it is no text, or larger than a record may be"),
            Self::NoSeal => f.write_str("it does not end with its seal"),
            Self::SealBroken => {
                f.write_str("its seal is broken: it is not as setout release wrote it")
            }
            Self::Later { version } => {
                write!(f, "it is of the form {version}, which a later setout reads")
            }
            Self::Malformed { reason } => write!(f, "it is not what a record is: {reason}"),
        }
    }
}

impl std::error::Error for RecordFault {}

impl RecordFault {
    /// What would mend it, as a sentence without its full stop.
    pub fn help(&self) -> &'static str {
        match self {
            Self::Later { .. } => "use the setout that made the newest release, or a later one",
            _ => "git log tells who changed it; git checkout brings the released one back",
        }
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A record of parts: name, former name, letter.
    pub(crate) fn record(parts: impl Iterator<Item = (String, Option<String>, Letter)>) -> Record {
        let part = |(name, was, letter)| RecordedPart {
            name,
            was,
            letter,
            fingerprint: "0".repeat(32),
            quantity: Some(Number(1.0)),
            made: Some("printed".into()),
            material: None,
            cost: Some(RecordedMeasure { value: Number(1.2), unit: "GBP".into() }),
            mass: None,
        };
        Record {
            setout_release: VERSION,
            release: Letter::FIRST,
            previous: None,
            design: "A lid: # no 'comment'\nbut two lines".into(),
            folder: "params".into(),
            commit: "8dcc611d9a4f6e0a2f0b7f3f35a1c9b1d7f7a0aa".into(),
            date: Moment::new(1_700_000_000, 90),
            fingerprint: "1".repeat(32),
            made_by: "setout 0.1.0".into(),
            note: vec!["seal: 12".into(), "---".into(), "\u{202e}".into()],
            checks: Verdicts { holds: 3, ..Verdicts::default() },
            limits: Verdicts::default(),
            judged_at_rest_alone: 1,
            failing: Vec::new(),
            cost: None,
            mass: None,
            parts: parts.map(part).collect(),
            exports: Vec::new(),
            changes: vec!["lid.lid is new: letter A.".into(), "no".into(), "1e3".into()],
            files: Vec::new(),
        }
    }

    fn lid() -> Record {
        record([("lid.lid".into(), None, "Y".parse().expect("a letter"))].into_iter())
    }

    #[test]
    fn a_record_is_read_back() {
        let text = lid().to_text();
        assert_eq!(Record::read(text.as_bytes()), Ok(lid()));
        assert!(text.contains("\n    letter: \"Y\"\n"), "no truth for other readers: {text}");
        assert!(text.contains("\n    quantity: 1\n"), "{text}");
    }

    #[test]
    fn any_other_byte_breaks_the_seal() {
        let text = lid().to_text();
        for at in 0..text.len() {
            let mut bytes = text.clone().into_bytes();
            bytes[at] ^= 1;
            assert!(Record::read(&bytes).is_err(), "byte {at}");
        }
        for end in 0..text.len() {
            assert!(Record::read(&text.as_bytes()[..end]).is_err(), "{end} bytes");
        }
        let crlf = text.replace('\n', "\r\n");
        assert!(Record::read(crlf.as_bytes()).is_err());
    }

    /// The same with a seal that is right.
    fn sealed(record: &Record, from: &str, to: &str) -> Result<Record, RecordFault> {
        let text = record.to_text();
        let body = text.rsplit_once("seal: ").expect("a seal").0;
        assert!(body.contains(from), "{from} in {body}");
        let body = body.replacen(from, to, 1);
        let seal = sha256(body.as_bytes());
        Record::read(format!("{body}seal: {seal}\n").as_bytes())
    }

    #[test]
    fn what_is_no_record_is_refused_with_its_reason() {
        let said =
            |from: &str, to: &str| sealed(&lid(), from, to).expect_err("refused").to_string();
        assert_eq!(sealed(&lid(), "holds: 3", "holds: 4").map(|r| r.checks.holds), Ok(4));
        assert!(said("setout_release: 1", "setout_release: 2").contains("later setout"));
        assert!(said("setout_release: 1", "setout_release: 0").contains("no form 0"));
        assert!(said("holds: 3", "holds: -3").contains("checks"));
        assert!(said("holds: 3", "hold: 3").contains("unknown field"));
        assert!(said("release: \"A\"", "release: \"I\"").contains("no letter"));
        assert!(said("previous: null", "previous: \"A\"").contains("does not come before"));
        assert!(said("8dcc611d", "8DCC611D").contains("commit"));
        assert!(said("2023-11-14T", "2023-11-31T").contains("date"));
        let twice = record([1, 2].map(|_| ("a.b".into(), None, Letter::FIRST)).into_iter());
        let twice = Record::read(twice.to_text().as_bytes());
        assert!(matches!(twice, Err(RecordFault::Malformed { .. })), "{twice:?}");
        let deep = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
        assert!(sealed(&lid(), "previous: null", &format!("previous: {deep}")).is_err());
    }

    proptest::proptest! {
        #[test]
        fn any_text_survives(text in ".{0,40}", number in proptest::num::f64::NORMAL) {
            let mut record = lid();
            record.design.clone_from(&text);
            record.note = vec![text.clone()];
            record.parts[0].material = Some(text);
            record.parts[0].quantity = Some(Number(number));
            proptest::prop_assert_eq!(Record::read(record.to_text().as_bytes()), Ok(record));
        }
    }
}
