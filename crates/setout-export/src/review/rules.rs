//! The rules by which a design is judged, under names that never change.

/// A rule: its name, and what it asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rule {
    /// The name, by which services tell whether a finding is new.
    pub id: &'static str,
    /// What was broken when it is named.
    pub about: &'static str,
}

const fn rule(id: &'static str, about: &'static str) -> Rule {
    Rule { id, about }
}

/// All rules, by name. Those of faults are the words of `--format json`.
pub const RULES: [Rule; 31] = [
    rule("ambiguous-name", "A name could mean two things."),
    rule("bad-call", "The call makes no sense."),
    rule("bad-choice", "A text is not one of those allowed."),
    rule("bad-formula", "A formula cannot be read."),
    rule("bad-limits", "Nothing can satisfy the limits or the travel."),
    rule("bad-name", "A name breaks the rules for names."),
    rule("bad-value", "A value has the wrong form."),
    rule("check-fails", "A check of the design fails."),
    rule("check-unknown", "A check of the design could not be computed."),
    rule("constant-check", "A check compares written numbers, so nothing can turn it."),
    rule("cycle", "Dimensions depend on each other in a circle."),
    rule("domain", "A function has no value for its numbers."),
    rule("duplicate-name", "A name stands twice, or two would meet in an export."),
    rule("engines-differ", "Two engines compute different values."),
    rule("io", "The system, or git, refused."),
    rule("limit-fails", "A dimension lies outside its limits or its permitted travel."),
    rule("limit-unknown", "Limits or a permitted travel could not be judged."),
    rule("not-found", "A file or a name is not there."),
    rule("tight", "A check holds with less margin than it asks for."),
    rule("too-large", "There is more than a design may hold."),
    rule("unit-mismatch", "Kinds of quantity do not go together."),
    rule("unknown-function", "A function is not known."),
    rule("unknown-key", "Nothing reads a key."),
    rule("unknown-name", "A name stands for nothing."),
    rule("unknown-unit", "A unit is not known."),
    rule("unmeetable-limits", "Nothing within the limits of one dimension suits another's."),
    rule("unsafe-path", "A path leaves the root, or names what it must not."),
    rule("untoleranced", "A result under tolerances rests on dimensions that have none."),
    rule("unused", "Nothing uses a dimension."),
    rule("wide-tolerance", "A tolerance spans more than the limits."),
    rule("yaml", "The text is no YAML, or uses a part of it that tables do not."),
];

/// The place of a rule in [`RULES`].
pub(super) fn index(id: &str) -> Option<usize> {
    RULES.binary_search_by_key(&id, |rule| rule.id).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_is_found() {
        for (at, rule) in RULES.iter().enumerate() {
            assert_eq!(index(rule.id), Some(at), "{}", rule.id);
        }
        assert_eq!(index("another"), None);
    }
}
