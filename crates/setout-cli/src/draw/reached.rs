//! What depends on something.

use serde::Serialize;
use setout::{Evaluation, Reach};

use super::page::Page;
use super::{Answer, json};

/// All that depends on some values.
pub(crate) struct Reached<'a> {
    pub(crate) reach: &'a Reach,
    pub(crate) evaluation: &'a Evaluation,
}

impl Answer for Reached<'_> {
    fn text(&self, page: &mut Page) {
        let _ = (page, self.evaluation);
    }

    fn json(&self) -> impl Serialize {
        json::Reach::from(self.reach)
    }
}
