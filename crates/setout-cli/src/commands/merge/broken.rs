//! What a merge breaks: faults, and checks and limits that do not hold, that neither side has.

use std::collections::BTreeMap;

use serde::Serialize;
use setout::{CheckResult, Design, Evaluation, Fault, LimitResult, Source, SourceError, Verdict};

use crate::draw::{self, CAUTION, Page, count, json, list};
use crate::trouble::Trouble;

/// What a merged design has, and neither side by itself.
#[derive(Default)]
pub(super) struct Broken {
    pub(super) troubles: Vec<Trouble>,
    checks: Vec<CheckResult>,
    limits: Vec<LimitResult>,
}

impl Broken {
    /// What `merged` has that none of `sides` has.
    pub(super) fn by_both(sides: [&dyn Source; 2], merged: &dyn Source) -> Self {
        let sides = sides.map(|side| Design::read(side).evaluate());
        let both = Design::read(merged).evaluate();
        let is_old = |fault: &Fault| sides.iter().any(|side| has_fault(side, fault));
        let faults: Vec<Fault> =
            both.faults().iter().filter(|fault| !is_old(fault)).cloned().collect();
        let checks = both.checks().iter().filter(|check| {
            check.verdict >= Verdict::Unknown && !sides.iter().any(|side| is_bad(side, check))
        });
        let limits = both.limits().iter().filter(|limit| {
            limit.verdict >= Verdict::Unknown && !sides.iter().any(|side| is_out(side, limit))
        });
        Self {
            troubles: Trouble::of_design(&faults, merged),
            checks: checks.cloned().collect(),
            limits: limits.cloned().collect(),
        }
    }

    pub(super) fn is_nothing(&self) -> bool {
        self.troubles.is_empty() && self.checks.is_empty() && self.limits.is_empty()
    }

    /// All of it as the end of a sentence, as in `1 fault and 2 checks that do not hold`.
    pub(super) fn told(&self) -> String {
        let mut told = Vec::new();
        if !self.troubles.is_empty() {
            told.push(count(self.troubles.len(), "fault"));
        }
        for (number, thing) in [(self.checks.len(), "check"), (self.limits.len(), "limit")] {
            match number {
                0 => {}
                1 => told.push(format!("1 {thing} that does not hold")),
                _ => told.push(format!("{} that do not hold", count(number, thing))),
            }
        }
        list(&told)
    }

    /// The checks and limits with their numbers; faults are drawn as those of any command.
    pub(super) fn text(&self, page: &mut Page) {
        for check in &self.checks {
            page.gap();
            draw::check(check, page);
        }
        for limit in &self.limits {
            page.gap();
            draw::limit(limit, page);
        }
        if let Some(caution) = self.caution() {
            page.gap();
            page.say(0, caution);
        }
    }

    /// The usual caution, if something that can hurt does not hold.
    fn caution(&self) -> Option<&'static str> {
        let check = |check: &CheckResult| {
            let why = check.why.as_deref().unwrap_or_default();
            draw::bears_on_safety(&check.unit, [&*check.name, &*check.requirement, why])
        };
        let limit = |limit: &LimitResult| draw::bears_on_safety(&limit.unit, [&*limit.name]);
        let found = self.checks.iter().any(check) || self.limits.iter().any(limit);
        found.then_some(CAUTION)
    }

    pub(super) fn json(&self) -> Keys<'_> {
        Keys {
            checks: self.checks.iter().map(Into::into).collect(),
            limits: self.limits.iter().map(Into::into).collect(),
            caution: self.caution(),
        }
    }
}

#[derive(Serialize)]
pub(super) struct Keys<'a> {
    checks: Vec<json::Check<'a>>,
    limits: Vec<json::Limit<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'static str>,
}

/// The same fault, wherever it stands: lines move when tables are merged.
fn has_fault(side: &Evaluation, fault: &Fault) -> bool {
    side.faults().iter().any(|old| (old.slug, &old.message) == (fault.slug, &fault.message))
}

fn is_bad(side: &Evaluation, check: &CheckResult) -> bool {
    let mut checks = side.checks().iter();
    checks.any(|own| own.name == check.name && own.verdict >= Verdict::Unknown)
}

fn is_out(side: &Evaluation, limit: &LimitResult) -> bool {
    side.limits().iter().any(|own| {
        let is_same = own.name == limit.name && own.of_travel == limit.of_travel;
        is_same && own.verdict >= Verdict::Unknown
    })
}

/// A design with other tables, and all else as it was.
pub(super) struct Retold<'a> {
    pub(super) of: &'a dyn Source,
    /// New texts by path; nothing for a file that is gone.
    pub(super) tables: BTreeMap<String, Option<String>>,
}

impl Source for Retold<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        let mut paths = self.of.list()?;
        paths.retain(|path| !self.tables.contains_key(path));
        let told = self.tables.iter().filter(|(_, text)| text.is_some());
        paths.extend(told.map(|(path, _)| path.clone()));
        paths.sort_unstable();
        Ok(paths)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        match self.tables.get(path) {
            Some(Some(text)) => Ok(text.clone().into_bytes()),
            Some(None) => Err(SourceError::NotFound { path: path.to_owned() }),
            None => self.of.read(path),
        }
    }
}

/// Files that are no tables, as a merge takes them: what one side alone changed is taken from it.
/// Where both did it is ours, as git would leave the rest of the file to a person.
pub(super) struct Files<'a> {
    pub(super) base: &'a dyn Source,
    pub(super) ours: &'a dyn Source,
    pub(super) theirs: &'a dyn Source,
}

impl Source for Files<'_> {
    fn list(&self) -> Result<Vec<String>, SourceError> {
        self.ours.list()
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, SourceError> {
        let ours = self.ours.read(path);
        if ours.as_ref().ok() == self.base.read(path).as_ref().ok() {
            return self.theirs.read(path);
        }
        ours
    }
}
