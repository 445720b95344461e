//! The proof that a release follows from the one before.

use setout_design::{Comparison, Evaluation};

use crate::changes::{Since, changes};
use crate::parts::{Turn, letters};
use crate::verify::verify;
use crate::{BundleFault, Proof, Proved};

impl Proof {
    /// Whether the letters and the change list have been proven or refuted.
    pub fn is_followed(&self) -> bool {
        self.claims.iter().any(|claim| claim.what == Proved::Changes)
    }

    /// Proves the letters and the change list against the bundle of the release before.
    ///
    /// # Errors
    /// When that is no bundle that can be read.
    pub fn follow(&mut self, before: &[u8]) -> Result<(), BundleFault> {
        let last = verify(before)?;
        let Some(evaluation) = self.evaluation.clone() else { return Ok(()) };
        match (last.is_proven(), &last.evaluation, self.record.previous) {
            (_, _, previous) if previous != Some(last.record.release) => {
                let named = format!("the other bundle is of release {}", last.record.release);
                self.claim(Proved::Changes, [named]);
            }
            (true, Some(before), _) => {
                let found = Comparison::of(before, &evaluation);
                self.follows(Some(&Since { record: &last.record, before, found }), &evaluation);
            }
            _ => {
                let differs = "the bundle of the release before is not proven itself".to_owned();
                self.claim(Proved::Changes, [differs]);
            }
        }
        Ok(())
    }

    pub(crate) fn follows(&mut self, since: Option<&Since<'_>>, after: &Evaluation) {
        let records = since.map_or(&[][..], |since| std::slice::from_ref(since.record));
        let own = self.record.by_name();
        let mut differs = Vec::new();
        let mut parts = letters(&after.parts(), records, since.map(|since| &since.found));
        for part in parts.iter_mut().flatten() {
            let Some(recorded) = own.get(part.name.as_str()) else { continue };
            // A part can have come to higher letters before the release before.
            let may_be_higher = since.is_some() && part.turn != Turn::Stays;
            let fits =
                recorded.letter == part.letter || may_be_higher && recorded.letter > part.letter;
            if !fits || recorded.was != part.was {
                differs.push(format!("{} should have the letter {}", part.name, part.letter));
            }
            part.letter = recorded.letter;
        }
        if parts.is_none_or(|parts| changes(since, after, &parts) != self.record.changes) {
            differs.push("the change list says something else".to_owned());
        }
        self.claim(Proved::Changes, differs);
    }
}
