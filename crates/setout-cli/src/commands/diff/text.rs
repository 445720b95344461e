//! What differs between two states of a design, drawn for people.

use super::Compared;
use crate::draw::changes as draw;
use crate::draw::{Page, count, verbed};

pub(super) fn draw(compared: &Compared<'_>, page: &mut Page) {
    let (sides, changes) = (compared.sides, compared.changes);
    let found = &changes.found;
    page.heading(changes.after.design().name());
    page.entry(0, "before", &sides.before.title());
    page.entry(0, "after", &sides.after.title());
    let several = found.edits.len() > 1;
    for check in draw::turned(&found.checks) {
        page.gap();
        draw::check_turned(check, several, page);
    }
    if !found.edits.is_empty() {
        page.gap();
        page.say(0, &format!("{} by hand:", count(found.edits.len(), "edit")));
        draw::edits(changes, page);
    }
    if !found.changed.is_empty() {
        page.gap();
        page.say(0, &format!("{}:", verbed(found.changed.len(), "dimension", "follows", "follow")));
        draw::consequences(&found.changed, several, page);
    }
    draw::parts(&found.parts, page);
    draw::margins(&found.checks, page);
    draw::limits_turned(&found.limits, page);
    if !changes.is_nothing() {
        page.gap();
        draw::around(found, page);
        draw::totals(found, page);
    }
    page.gap();
    page.say(0, &compared.sentence());
    if let Some(caution) = draw::caution(changes) {
        page.gap();
        page.say(0, caution);
    }
}
