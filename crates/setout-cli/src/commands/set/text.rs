//! What was set and what followed, drawn for people.

use super::written::Written;
use crate::changes::Changes;
use crate::draw::changes::{self as draw, Tense};
use crate::draw::{Page, amount, list};

pub(super) fn draw(written: &Written, changes: &Changes, page: &mut Page) {
    let found = &changes.found;
    if written.lines.is_empty() {
        page.say(0, "All of it is so already.");
    }
    for line in &written.lines {
        if line.already {
            let value = changes.after.value(&line.name);
            page.say(0, &format!("{} is already {}.", line.name, amount(value.as_ref())));
        } else {
            page.say(0, &format!("{}:{}", line.file, line.line));
            draw::was_and_is(line.before.as_deref(), line.after.as_deref(), 2, page);
        }
    }
    let written: Vec<String> = written.paths().map(str::to_owned).collect();
    if written.is_empty() {
        page.say(0, "Nothing has been written.");
        return;
    }
    let several = found.edits.len() > 1;
    for check in draw::turned(&found.checks) {
        page.gap();
        draw::check_turned(check, several, page);
    }
    draw::limits_turned(&found.limits, page);
    draw::parts(&found.parts, page);
    page.gap();
    draw::totals(found, page);
    page.say(0, &format!("{} Written to {}.", draw::sentence(found, Tense::Made), list(&written)));
    if !found.exports.is_empty() {
        page.say(0, "The exports are out of date now; setout export writes them.");
    }
    if let Some(caution) = draw::caution(changes) {
        page.gap();
        page.say(0, caution);
    }
}
