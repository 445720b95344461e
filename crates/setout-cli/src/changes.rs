//! Two states of a design and all that differs between them: what `impact`, `set` and `diff`
//! draw from.

use setout::{Amount, Both, Comparison, Edited, Evaluation, What};

/// Two evaluations, set side by side.
pub(crate) struct Changes {
    pub(crate) after: Evaluation,
    pub(crate) found: Comparison,
    /// What each edited value came to; nothing where something else was edited.
    values: Vec<Both<Option<Amount>>>,
}

impl Changes {
    /// Compares two evaluations.
    pub(crate) fn of(before: &Evaluation, after: Evaluation) -> Self {
        let found = Comparison::of(before, &after);
        let value = |edit: &Edited| match edit.what {
            What::Value | What::Unit | What::Added | What::Removed => Both {
                before: before.value(&found.name_before(&edit.name)),
                after: after.value(&edit.name),
            },
            _ => Both { before: None, after: None },
        };
        let values = found.edits.iter().map(value).collect();
        Self { after, found, values }
    }

    /// Whether nothing differs that a design means.
    pub(crate) fn is_nothing(&self) -> bool {
        self.found.is_empty()
    }

    /// The edits, each with what its value came to.
    pub(crate) fn edits(&self) -> impl Iterator<Item = (&Edited, &Both<Option<Amount>>)> {
        self.found.edits.iter().zip(&self.values)
    }
}
