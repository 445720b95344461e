//! What differs between two states of a design, drawn for people.

use super::sides::Sides;
use crate::changes::Changes;
use crate::draw::changes::{self as draw, Tense};
use crate::draw::{Page, count, verbed};

pub(super) fn draw(sides: &Sides, changes: &Changes, page: &mut Page) {
    let found = &changes.found;
    page.heading(changes.after.design().name());
    page.entry(0, "before", &sides.before.title());
    page.entry(0, "after", &sides.after.title());
    let several = found.edits.len() > 1;
    for check in draw::turned(&found.checks) {
        page.gap();
        draw::check_turned(check, several, page);
    }
    draw::edits(changes, page);
    if !found.changed.is_empty() {
        page.gap();
        page.say(0, &format!("{}:", verbed(found.changed.len(), "dimension", "follows", "follow")));
        draw::consequences(&found.changed, several, page);
    }
    draw::parts(&found.parts, &changes.after.parts(), page);
    draw::margins(&found.checks, page);
    draw::limits_turned(&found.limits, page);
    page.gap();
    draw::around(found, page);
    draw::totals(found, page);
    page.gap();
    let edits = count(found.edits.len(), "edit");
    page.say(0, &format!("{edits}: {}.", draw::sentence(found, Tense::Made)));
    if let Some(caution) = draw::caution(changes) {
        page.gap();
        page.say(0, caution);
    }
}
