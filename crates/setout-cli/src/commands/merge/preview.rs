//! What would come of merging a revision into the last commit.

use std::collections::BTreeMap;

use serde::Serialize;
use setout::merge::{Labels, MergedDesign, merge_designs};
use setout::{Folder, Revisions};

use super::broken::{self, Broken, Files, Retold};
use super::files::{Conflict, draw};
use crate::call::{Call, Outcome};
use crate::draw::{Answer, Page, count};
use crate::status::Status;

pub(super) fn run(call: &mut Call<'_, '_>, revision: &str) -> Outcome {
    let folder = Folder::find(&call.here)?;
    let revisions = Revisions::of(&folder)?;
    let (ours, theirs) = (revisions.at("HEAD")?, revisions.at(revision)?);
    let base = revisions.merge_base("HEAD", revision)?;
    let labels = Labels {
        base: base.short().to_owned(),
        ours: "HEAD".into(),
        theirs: revision.to_owned(),
        ..Labels::default()
    };
    let merged = merge_designs(&base, &ours, &theirs, &labels)?;
    let mut broken = Broken::default();
    // A design with marks in it is not evaluated.
    if merged.conflicts.is_empty() {
        let files = Files { base: &base, ours: &ours, theirs: &theirs };
        let both = Retold { of: &files, tables: tables(&merged) };
        broken = Broken::by_both([&ours, &theirs], &both);
    }
    let found = Found { revision, merged, broken };
    let status = Status::failing_if(!found.is_good());
    call.show(&found, &found.broken.troubles, status)
}

fn tables(merged: &MergedDesign) -> BTreeMap<String, Option<String>> {
    let gone = merged.gone.iter().map(|path| (path.clone(), None));
    let here = merged.files.iter().map(|(path, text)| (path.clone(), Some(text.clone())));
    gone.chain(here).collect()
}

/// What the merge comes to.
struct Found<'a> {
    revision: &'a str,
    merged: MergedDesign,
    broken: Broken,
}

impl Found<'_> {
    fn is_good(&self) -> bool {
        self.merged.conflicts.is_empty() && self.broken.is_nothing()
    }

    fn sentence(&self) -> String {
        let revision = self.revision;
        match self.merged.conflicts.len() {
            0 if self.broken.is_nothing() => {
                format!("{revision} merges cleanly, and all that held on both sides still holds.")
            }
            0 => format!(
                "{revision} merges without a conflict, but brings {}, which neither side has by \
                 itself.",
                self.broken.told()
            ),
            conflicts => {
                format!("{revision} would leave {} to settle.", count(conflicts, "conflict"))
            }
        }
    }
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
        self.broken.text(page);
        page.gap();
        page.say(0, &format!("{} Nothing has been written.", self.sentence()));
    }

    fn json(&self) -> impl Serialize {
        let MergedDesign { conflicts, by_lines, .. } = &self.merged;
        Keys {
            revision: self.revision,
            conflicts: conflicts.iter().map(|(file, of)| Conflict::of(Some(file), of)).collect(),
            by_lines,
            broken: self.broken.json(),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    revision: &'a str,
    conflicts: Vec<Conflict<'a>>,
    by_lines: &'a BTreeMap<String, String>,
    #[serde(flatten)]
    broken: broken::Keys<'a>,
}
