//! What other values would do, drawn for people.

use super::Tried;
use crate::draw::changes::{self as draw, Tense};
use crate::draw::{Page, amount, verbed};

pub(super) fn draw(tried: &Tried<'_>, page: &mut Page) {
    let changes = tried.changes;
    let found = &changes.found;
    let several = found.edits.len() > 1;
    if !found.edits.is_empty() {
        page.say(0, "With these values:");
        draw::tried(changes.edits(), page);
    }
    for name in tried.already() {
        let value = changes.after.value(name);
        page.say(0, &format!("{name} is already {}.", amount(value.as_ref())));
    }
    if found.edits.is_empty() {
        page.say(0, "Nothing would change.");
        return;
    }
    if !found.changed.is_empty() {
        let change = verbed(found.changed.len(), "dimension", "changes", "change");
        page.gap();
        page.say(0, &format!("{change}:"));
        draw::consequences(&found.changed, several, page);
    }
    if !found.unchanged.is_empty() {
        page.gap();
        draw::unchanged(&found.unchanged, page);
    }
    draw::parts(&found.parts, page);
    for check in draw::turned(&found.checks) {
        page.gap();
        draw::check_turned(check, several, page);
    }
    draw::margins(&found.checks, page);
    draw::limits_turned(&found.limits, page);
    page.gap();
    draw::around(found, page);
    draw::totals(found, page);
    page.gap();
    page.say(0, &format!("{} Nothing has been written.", draw::sentence(found, Tense::Would)));
    if let Some(caution) = draw::caution(changes) {
        page.gap();
        page.say(0, caution);
    }
}
