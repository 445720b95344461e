//! Faults and warnings as text: the place, the line, a mark below it, and the mend.

use setout::Warning;

use super::amounts::count;
use super::ink::Ink;
use super::page::{Line, Page};
use super::safe::{shortened, visible, width};
use crate::trouble::{MOST_SHOWN, Trouble};

/// The line of a design stands so far in.
const QUOTED: usize = 4;

/// Draws faults, the first of them at length and of the others how many there are.
pub(crate) fn faults(troubles: &[Trouble], page: &mut Page) {
    for trouble in troubles.iter().take(MOST_SHOWN) {
        fault(trouble, page);
    }
    if let Some(more) = troubles.len().checked_sub(MOST_SHOWN).filter(|more| *more > 0) {
        page.say(0, &format!("and {}; --format json lists all", count(more, "more fault")));
    }
}

fn fault(trouble: &Trouble, page: &mut Page) {
    let start = match &trouble.place {
        Some(place) => Line::default().put(Ink::Place, &place.to_string()),
        None => Line::default().put(Ink::Place, "setout"),
    };
    headline(start, &trouble.message, trouble.slug, page);
    if let (Some(line), Some(place)) = (&trouble.line, &trouble.place) {
        quoted(line, place.column, page);
    }
    help(&trouble.help, page);
}

/// Draws a warning, without what helps against it.
pub(crate) fn warning(warning: &Warning, page: &mut Page) {
    let start = Line::default().put(Ink::Place, &warning.place.to_string());
    headline(start, &warning.message, warning.slug, page);
}

fn headline(start: Line, message: &str, slug: &str, page: &mut Page) {
    let start = start.put(Ink::Plain, ": ");
    page.wrap(&start, QUOTED, Ink::Plain, &format!("{message} [{slug}]"));
}

/// Draws what would mend something.
pub(crate) fn help(text: &str, page: &mut Page) {
    if !text.is_empty() {
        let start = Line::default().put(Ink::Faint, "  help:").put(Ink::Plain, " ");
        page.wrap(&start, QUOTED, Ink::Plain, text);
    }
}

/// Of a line that is too long, at least so much is shown from the column on.
const MARGIN: usize = 20;

/// The line with a mark below the column. Of a long one, the part round the column.
fn quoted(line: &str, column: usize, page: &mut Page) {
    if line.trim().is_empty() {
        return;
    }
    let room = page.width.saturating_sub(QUOTED).max(2 * MARGIN);
    let split = line.char_indices().nth(column - 1).map_or(line.len(), |(at, _)| at);
    let (before, after) = line.split_at(split);
    let mut before = visible(before).into_owned();
    if width(&before) + MARGIN > room {
        before = last_of(&before, room - MARGIN);
    }
    let at = QUOTED + width(&before);
    let text = shortened(&format!("{before}{}", visible(after.trim_end())), room);
    page.line(&Line::indented(QUOTED).put(Ink::Plain, &text));
    page.line(&Line::indented(at).put(Ink::Fails, "^"));
}

fn last_of(text: &str, columns: usize) -> String {
    let mut kept = text;
    while width(kept) + 1 > columns {
        let mut chars = kept.chars();
        chars.next();
        kept = chars.as_str();
    }
    format!("…{kept}")
}
