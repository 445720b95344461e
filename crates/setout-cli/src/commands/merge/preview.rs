//! What would come of merging a revision into the last commit.

use std::collections::BTreeSet;

use serde::Serialize;
use setout::merge::{Labels, MergedDesign, merge_designs};
use setout::{Design, Evaluation, Folder, Revision, Revisions, Verdict};

use super::files::{Conflict, draw};
use crate::call::{Call, Outcome};
use crate::draw::{Answer, Page, count};
use crate::status::Status;
use crate::trouble::Trouble;

pub(super) fn run(call: &mut Call<'_, '_>, revision: &str) -> Outcome {
    let folder = Folder::find(&call.here)?;
    let revisions = Revisions::of(&folder)?;
    let (ours, theirs) = (revisions.at("HEAD")?, revisions.at(revision)?);
    let base = revisions.merge_base("HEAD", revision)?;
    let labels =
        Labels { base: base.short().to_owned(), ours: "HEAD".into(), theirs: revision.to_owned() };
    let merged = merge_designs(&base, &ours, &theirs, &labels)?;
    let found = Found::of(&ours, &theirs, revision, merged);
    let status = Status::failing_if(!found.is_good());
    let troubles = found.troubles.clone();
    call.show(&found, &troubles, status)
}

/// What the merge comes to.
struct Found<'a> {
    revision: &'a str,
    merged: MergedDesign,
    /// Faults that neither side has.
    troubles: Vec<Trouble>,
    /// Checks and limits that hold on both sides, or are new, and do not hold any more.
    failing: Vec<(String, Verdict)>,
}

impl<'a> Found<'a> {
    fn of(ours: &Revision, theirs: &Revision, revision: &'a str, merged: MergedDesign) -> Self {
        let texts = merged.texts();
        let [ours, theirs] = [ours, theirs].map(|side| Design::read(side).evaluate());
        let both = Design::read(&texts).evaluate();
        // Models are read from our side: what is in conflict is told of, and nothing else.
        let known = |slug, message: &str| {
            [&ours, &theirs].iter().any(|side| {
                side.faults().iter().any(|fault| fault.slug == slug && fault.message == message)
            })
        };
        let new = both.faults().iter().filter(|fault| {
            fault.slug != setout::Slug::NotFound && !known(fault.slug, &fault.message)
        });
        let new: Vec<_> = new.cloned().collect();
        let is_marked = !merged.conflicts.is_empty();
        let troubles = if is_marked { Vec::new() } else { Trouble::of_design(&new, &texts) };
        let bad = [&ours, &theirs].map(not_holding);
        let failing = if is_marked { Vec::new() } else { not_holding(&both).into_iter().collect() };
        let failing = failing.into_iter().filter(|(name, _)| {
            !bad.iter().any(|side| side.iter().any(|(other, _)| other == name))
        });
        Self { revision, failing: failing.collect(), troubles, merged }
    }

    fn is_good(&self) -> bool {
        self.merged.conflicts.is_empty() && self.failing.is_empty() && self.troubles.is_empty()
    }
}

/// The checks and limits of a design that fail or are unknown.
fn not_holding(of: &Evaluation) -> BTreeSet<(String, Verdict)> {
    let checks = of.checks().iter().map(|check| (check.name.clone(), check.verdict));
    let limits =
        of.limits().iter().map(|limit| (format!("limits of {}", limit.name), limit.verdict));
    checks.chain(limits).filter(|(_, verdict)| *verdict >= Verdict::Unknown).collect()
}

impl Answer for Found<'_> {
    fn text(&self, page: &mut Page) {
        let MergedDesign { conflicts, by_lines, .. } = &self.merged;
        for (file, why) in by_lines {
            page.say(0, &format!("{file}: its lines would be merged, since {why}."));
        }
        let mut last = "";
        for (file, conflict) in conflicts {
            if last != file {
                page.say(0, file);
                last = file;
            }
            draw(conflict, page);
        }
        for (name, verdict) in &self.failing {
            page.say(0, &format!("{verdict}    {name}, which no side breaks by itself"));
        }
        if !conflicts.is_empty() || !self.failing.is_empty() {
            page.gap();
        }
        page.say(0, &self.sentence());
    }

    fn json(&self) -> impl Serialize {
        Keys {
            revision: self.revision,
            conflicts: self
                .merged
                .conflicts
                .iter()
                .map(|(file, of)| Conflict::of(Some(file), of))
                .collect(),
            failing: self
                .failing
                .iter()
                .map(|(name, verdict)| Failing { name, verdict: verdict.as_str() })
                .collect(),
        }
    }
}

impl Found<'_> {
    fn sentence(&self) -> String {
        let revision = self.revision;
        match (self.merged.conflicts.len(), self.failing.len(), self.troubles.len()) {
            (0, 0, 0) => format!("{revision} merges cleanly, and all that held still holds."),
            (0, 0, faults) => {
                format!(
                    "{revision} merges without a conflict, and then has {}.",
                    count(faults, "fault")
                )
            }
            (0, failing, _) => format!(
                "{revision} merges without a conflict, and then {} would fail.",
                count(failing, "check")
            ),
            (conflicts, ..) => format!(
                "{revision} would leave {} to settle. Nothing has been written.",
                count(conflicts, "conflict")
            ),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    revision: &'a str,
    conflicts: Vec<Conflict<'a>>,
    failing: Vec<Failing<'a>>,
}

#[derive(Serialize)]
struct Failing<'a> {
    name: &'a str,
    verdict: &'a str,
}
