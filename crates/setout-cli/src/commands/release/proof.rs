//! `setout release --verify`: a bundle, proven.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use serde::Serialize;
use setout::{
    BundleFault, CAUTION, Claim, FindError, Folder, LARGEST_BUNDLE, Letter, Proof, Record, Slug,
    Source, record_path, verify,
};

use crate::call::{Call, Outcome};
use crate::draw::{Answer, Ink, Line, Page, count};
use crate::status::Status;
use crate::trouble::Trouble;

/// Proves a bundle, also against the record that is kept here if there is one, and against the
/// bundle of the release before if that is named.
pub(super) fn prove(call: &mut Call<'_, '_>, bundle: &Path, before: Option<&Path>) -> Outcome {
    let bytes = read(&call.here.join(bundle), bundle)?;
    let mut proof = verify(&bytes).map_err(|fault| unreadable(bundle, &fault))?;
    if let Some(before) = before {
        let bytes = read(&call.here.join(before), before)?;
        proof.follow(&bytes).map_err(|fault| unreadable(before, &fault))?;
    }
    let kept = kept(call, &proof.record)?;
    if let Some((_, record)) = &kept {
        proof.compare_with(record);
    }
    let proven = proof.is_proven();
    let proved = Proved { proof: &proof, kept: kept.map(|(path, _)| path) };
    call.show(&proved, &[], Status::failing_if(!proven))
}

/// More than this is no bundle, however it is packed.
const MOST_BYTES: u64 = LARGEST_BUNDLE + (64 << 20);

pub(super) fn read(place: &Path, typed: &Path) -> Result<Vec<u8>, Trouble> {
    let shown = typed.display();
    let failed = |error: &io::Error| {
        let absent = error.kind() == io::ErrorKind::NotFound;
        let slug = if absent { Slug::NotFound } else { Slug::Io };
        let message = format!("{shown} cannot be read: {error}");
        Trouble::of_call(slug.as_str(), message, "name a bundle: a .zip that setout release wrote")
    };
    // A pipe would be waited for, a folder cannot be read.
    let meta = place.metadata().map_err(|error| failed(&error))?;
    if !meta.is_file() {
        return Err(Trouble::of_call(Slug::Io.as_str(), format!("{shown} is no file"), ""));
    }
    let mut bytes = Vec::new();
    let file = File::open(place).map_err(|error| failed(&error))?;
    file.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| failed(&error))?;
    Ok(bytes)
}

pub(super) fn unreadable(bundle: &Path, fault: &BundleFault) -> Trouble {
    let slug = match fault {
        BundleFault::TooLarge { .. } => Slug::TooLarge,
        BundleFault::Entry { .. } => Slug::UnsafePath,
        _ => Slug::BadValue,
    };
    let message = format!("{} is not proven: {fault}", bundle.display());
    Trouble::of_call(slug.as_str(), message, fault.help())
}

/// The record of the same letter in the repository that the call stands in.
fn kept(call: &Call<'_, '_>, record: &Record) -> Result<Option<(String, Vec<u8>)>, Trouble> {
    let folder = match Folder::find(&call.here) {
        Ok(folder) => folder,
        Err(FindError::NoDesign { .. } | FindError::Bare { .. }) => return Ok(None),
        Err(error) => return Err(error.into()),
    };
    let path = record_path(folder.folder(), record.release);
    match folder.read(&path) {
        Ok(bytes) => Ok(Some((path, bytes))),
        Err(setout::SourceError::NotFound { .. }) => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// What is known of a bundle.
struct Proved<'a> {
    proof: &'a Proof,
    /// The path of the record that its own was compared with.
    kept: Option<String>,
}

const ALONE: &str = "Compared with its own record alone: whoever changed the bundle could have \
changed that as well. Run this in the design's repository to compare it with the record there.";
const FROM_ONE: &str = "That the letters and the change list are right cannot be told from one \
bundle: they say what changed since the one before. Name that with --since.";

impl Answer for Proved<'_> {
    fn text(&self, page: &mut Page) {
        let record = &self.proof.record;
        page.heading(&record.design);
        page.entry(0, "release", &format!("{} of {}", record.release, record.date));
        page.entry(0, "revision", &record.commit);
        page.gap();
        for claim in &self.proof.claims {
            draw(claim, page);
        }
        page.gap();
        if let Some(although) = record.although() {
            page.wrap(&Line::default(), 0, Ink::Fails, &although);
        }
        page.say(0, &self.sentence());
        match &self.kept {
            Some(path) => page.say(0, &format!("Compared with {path}.")),
            None => page.say(0, ALONE),
        }
        if !self.proof.is_followed() {
            page.say(0, FROM_ONE);
        }
        if self.proof.caution {
            page.gap();
            page.say(0, CAUTION);
        }
    }

    fn json(&self) -> impl Serialize {
        let record = &self.proof.record;
        Keys {
            proven: self.proof.is_proven(),
            release: record.release,
            previous: record.previous,
            design: &record.design,
            revision: &record.commit,
            date: record.date.to_string(),
            fingerprint: &record.fingerprint,
            failing: &record.failing,
            files: self.proof.files,
            claims: self.proof.claims.iter().map(JsonClaim::of).collect(),
            compared_with: self.kept.as_deref(),
            caution: self.proof.caution.then_some(CAUTION),
        }
    }
}

impl Proved<'_> {
    fn sentence(&self) -> String {
        let differing = self.proof.claims.iter().filter(|claim| !claim.differs.is_empty()).count();
        if differing == 0 {
            return format!("Proven, with {}.", count(self.proof.files, "file"));
        }
        "NOT PROVEN: the bundle is not what its record says. Get it anew.".to_owned()
    }
}

fn draw(claim: &Claim, page: &mut Page) {
    let holds = claim.differs.is_empty();
    let (ink, word) = if holds { (Ink::Holds, "proven") } else { (Ink::Fails, "differs") };
    let start = Line::default().put(ink, word).to(9);
    page.wrap(&start, 9, Ink::Plain, claim.what.claim());
    for differs in &claim.differs {
        page.wrap(&Line::indented(9).put(Ink::Faint, "- "), 11, Ink::Plain, differs);
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    proven: bool,
    release: Letter,
    previous: Option<Letter>,
    design: &'a str,
    revision: &'a str,
    date: String,
    fingerprint: &'a str,
    failing: &'a [String],
    files: usize,
    claims: Vec<JsonClaim<'a>>,
    compared_with: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}

#[derive(Serialize)]
struct JsonClaim<'a> {
    claim: &'a str,
    holds: bool,
    differs: &'a [String],
}

impl<'a> JsonClaim<'a> {
    fn of(claim: &'a Claim) -> Self {
        let holds = claim.differs.is_empty();
        Self { claim: claim.what.as_str(), holds, differs: &claim.differs }
    }
}
