//! The proof of a bundle.

use std::collections::{BTreeMap, BTreeSet};

use setout_assess::{Work, assess};
use setout_design::{Design, Evaluation};
use setout_export::{export_faults, one_line};

use crate::archive::{Files, pack, unpack};
use crate::assemble::{Assembled, Decided, assemble};
use crate::claim::{Claim, Proved};
use crate::digest::sha256;
use crate::names::{CHANGES, DESIGN, PARTS, RECORD};
use crate::parts::{ReleasedPart, Turn};
use crate::unpacked::Unpacked;
use crate::{BundleFault, Letter, Record, RecordedPart};

/// What was found out about a bundle.
#[derive(Clone, Debug)]
pub struct Proof {
    /// Its record.
    pub record: Record,
    /// What was looked at, and what differs.
    pub claims: Vec<Claim>,
    /// How many files it has.
    pub files: usize,
    /// Whether it bears on the safety of people.
    pub caution: bool,
    text: Vec<u8>,
    /// The design in it, if that could be made a release of anew.
    pub(crate) evaluation: Option<Evaluation>,
}

/// So many differences of a claim are told; the others are counted.
const MOST_TOLD: usize = 10;

/// Proves a bundle against its record. [`Proof::compare_with`] proves that against the one that is
/// kept in the repository.
///
/// That the letters and the change list are right cannot be told from one bundle, unless it is the
/// first: they say how it differs from the one before. [`Proof::follow`] takes that one as well.
///
/// # Errors
/// When it is no bundle that can be read.
pub fn verify(bytes: &[u8]) -> Result<Proof, BundleFault> {
    let files = unpack(bytes)?;
    let text = files.get(RECORD).ok_or(BundleFault::NoRecord)?;
    let record = Record::read(text).map_err(BundleFault::Record)?;
    let mut proof = Proof {
        claims: Vec::new(),
        files: files.len(),
        caution: false,
        record,
        text: text.clone(),
        evaluation: None,
    };
    let differs = hashes(&proof.record, &files);
    proof.claim(Proved::Files, differs);
    let packed = pack(&files, proof.record.date)?;
    let differs = (packed != bytes)
        .then(|| "the files were packed otherwise, or something stands between them".to_owned());
    proof.claim(Proved::Packing, differs);
    proof.evaluate(&files);
    Ok(proof)
}

/// The design in a bundle, evaluated; for who has the bundle of a release, and its commit no more.
/// [`draw_up`](crate::draw_up) sees whether it is the one that was released.
///
/// # Errors
/// When it is no bundle that can be read.
pub fn released_design(bytes: &[u8]) -> Result<Evaluation, BundleFault> {
    let files = unpack(bytes)?;
    let record = Record::read(files.get(RECORD).ok_or(BundleFault::NoRecord)?);
    let folder = record.map_err(BundleFault::Record)?.folder;
    Ok(Design::read(&Unpacked { files: &files, folder: &folder }).evaluate())
}

/// Whether two texts are the same but for line ends, which version control changes.
fn is_same_text(one: &[u8], other: &[u8]) -> bool {
    let plain = |text: &[u8]| String::from_utf8_lossy(text).replace("\r\n", "\n");
    one == other || plain(one) == plain(other)
}

fn hashes(record: &Record, files: &Files) -> Vec<String> {
    let mut differs = Vec::new();
    for listed in &record.files {
        match files.get(&listed.file) {
            None => differs.push(format!("{} is missing", one_line(&listed.file))),
            Some(bytes) if bytes.len() as u64 != listed.bytes || sha256(bytes) != listed.sha256 => {
                differs.push(format!("{} has another hash", one_line(&listed.file)));
            }
            Some(_) => {}
        }
    }
    let listed: BTreeSet<&str> = record.files.iter().map(|file| file.file.as_str()).collect();
    let more = files.keys().filter(|name| *name != RECORD && !listed.contains(name.as_str()));
    differs.extend(more.map(|name| format!("{} is not in the record", one_line(name))));
    differs
}

impl Proof {
    /// Compares the record with the one of the repository, whose line ends are of no account.
    pub fn compare_with(&mut self, kept: &[u8]) {
        let differs = !is_same_text(kept, &self.text);
        self.claim(Proved::Record, differs.then(|| "it is another record".to_owned()));
    }

    /// Whether all of it is true.
    pub fn is_proven(&self) -> bool {
        self.claims.iter().all(|claim| claim.differs.is_empty())
    }

    pub(crate) fn claim(&mut self, what: Proved, differs: impl IntoIterator<Item = String>) {
        let mut differs: Vec<String> = differs.into_iter().collect();
        if let Some(more) = differs.len().checked_sub(MOST_TOLD).filter(|more| *more > 0) {
            differs.truncate(MOST_TOLD);
            differs.push(format!("and {more} more"));
        }
        self.claims.push(Claim { what, differs });
    }

    /// Makes the release anew from the tables in the bundle, and compares.
    fn evaluate(&mut self, files: &Files) {
        let folder = self.record.folder.clone();
        let source = Unpacked { files, folder: &folder };
        let evaluation = Design::read(&source).evaluate();
        let mut faults = evaluation.faults().to_vec();
        faults.extend(export_faults(&evaluation));
        let faults: Vec<String> =
            faults.iter().map(|fault| format!("{}: {}", fault.place, fault.message)).collect();
        if !faults.is_empty() {
            return self.claim(Proved::Design, faults);
        }
        let decided = decided(&self.record, &evaluation);
        match assemble(&source, &assess(&evaluation, &Work::default()), decided) {
            Ok(made) => {
                self.compare(&made, files);
                if self.record.previous.is_none() {
                    self.follows(None, &evaluation);
                }
                self.evaluation = Some(evaluation);
            }
            Err(fault) => self.claim(Proved::Design, [fault.to_string()]),
        }
    }

    fn compare(&mut self, made: &Assembled, files: &Files) {
        self.caution = made.caution;
        let (own, anew) = (self.record.clone(), &made.record);
        let same = |name: &str| made.files.get(name) == files.get(name);
        let other = |name: &str| (!same(name)).then(|| format!("{name} says something else"));

        let mut differs = Vec::new();
        if own.fingerprint != anew.fingerprint {
            differs.push("the fingerprint is another one".to_owned());
        }
        if own.design != anew.design {
            differs.push("the design has another name".to_owned());
        }
        let more = files.keys().filter(|name| !made.files.contains_key(*name));
        differs.extend(more.map(|name| format!("{} is no file of the release", one_line(name))));
        self.claim(Proved::Design, differs);
        self.claim(Proved::Parts, parts_that_differ(&own.parts, &anew.parts));
        let verdicts = |of: &Record| (of.checks, of.limits, of.judged_at_rest_alone);
        let mut differs = Vec::new();
        if verdicts(&own) != verdicts(anew) || own.failing != anew.failing {
            differs.push("the verdicts are others".to_owned());
        }
        if (&own.cost, &own.mass) != (&anew.cost, &anew.mass) {
            differs.push("the cost or the mass is another one".to_owned());
        }
        self.claim(Proved::Verdicts, differs);
        let mut differs: Vec<String> = anew
            .exports
            .iter()
            .filter(|export| !same(&format!("{DESIGN}{}", export.file)))
            .map(|export| format!("{} says something else", one_line(&export.file)))
            .collect();
        if own.exports != anew.exports {
            differs.push("the record lists others".to_owned());
        }
        self.claim(Proved::Exports, differs);
        self.claim(Proved::PartList, other(PARTS));
        self.claim(Proved::ChangeText, other(CHANGES));
    }
}

/// What the record says and the tables do not.
fn decided(record: &Record, evaluation: &Evaluation) -> Decided {
    let parts = record.by_name();
    let part = |part: setout_design::PartResult| {
        let own = parts.get(part.name.as_str());
        ReleasedPart {
            was: own.and_then(|own| own.was.clone()),
            letter: own.map_or(Letter::FIRST, |own| own.letter),
            before: None,
            turn: Turn::Stays,
            name: part.name,
        }
    };
    Decided {
        release: record.release,
        previous: record.previous,
        commit: record.commit.clone(),
        date: record.date,
        made_by: record.made_by.clone(),
        note: record.note.clone(),
        changes: record.changes.clone(),
        parts: evaluation.parts().into_iter().map(part).collect(),
    }
}

fn parts_that_differ(own: &[RecordedPart], anew: &[RecordedPart]) -> Vec<String> {
    let by_name = |parts: &'_ [RecordedPart]| -> BTreeMap<String, RecordedPart> {
        parts.iter().map(|part| (part.name.clone(), part.clone())).collect()
    };
    let (recorded, made) = (by_name(own), by_name(anew));
    let mut differs = Vec::new();
    for part in anew {
        match recorded.get(&part.name) {
            None => differs.push(format!("{} is not in the record", part.name)),
            Some(other) if other != part => {
                differs.push(format!("{} is recorded otherwise", part.name));
            }
            Some(_) => {}
        }
    }
    let gone = own.iter().filter(|part| !made.contains_key(&part.name));
    differs.extend(gone.map(|part| format!("{} is in no table", one_line(&part.name))));
    if differs.is_empty() && own.iter().map(|p| &p.name).ne(anew.iter().map(|p| &p.name)) {
        differs.push("the record has them in another order".to_owned());
    }
    differs
}
