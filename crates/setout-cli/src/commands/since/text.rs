//! The answer for people.

use setout::{Amount, Edited, Held, Since, Turn, Turned, Verdict};

use super::Told;
use crate::commands::history::{judged, other_names, short_date, state, surroundings};
use crate::draw::{Ink, Line, Page, count, list};

/// So many edits of a turn are written out.
const MOST_EDITS: usize = 10;

pub(super) fn draw(told: &Told<'_>, page: &mut Page) {
    let since = told.since;
    page.heading(&since.name);
    page.entry(0, "at HEAD", &now(since));
    page.gap();
    page.say(0, &sentence(since));
    for turn in &since.turns {
        page.gap();
        one(turn, page);
    }
    state(&since.standing, page);
    other_names(since.unfollowed.iter(), page);
    surroundings(&since.skipped, &since.ends, told.walk, page);
    if let Some(caution) = told.caution() {
        page.gap();
        page.say(0, caution);
    }
}

fn now(since: &Since) -> String {
    match (&since.now, &since.standing) {
        (Some((verdict, margin)), _) => judged(*verdict, margin.as_ref()),
        (None, Held::Faulty(_)) => "cannot be evaluated".to_owned(),
        (None, Held::Value(_)) => "has no limits".to_owned(),
        (None, _) => "not there".to_owned(),
    }
}

fn sentence(since: &Since) -> String {
    let looked = count(since.looked_at, "revision");
    let fails = since.now.as_ref().is_some_and(|(verdict, _)| !verdict.is_met());
    let began: Vec<String> =
        since.began.iter().map(|turn| since.turns[*turn].revision.short().to_owned()).collect();
    let verdict = match since.now {
        Some((Verdict::Unknown, _)) => "It is unknown or fails",
        _ => "It fails",
    };
    let before = match since.before_ends {
        true => ", and on another line of work before",
        false => "",
    };
    let longer = match since.by_another_name {
        true => ", or longer under another name",
        false => "",
    };
    match (fails, &began[..]) {
        (false, _) if since.turns.is_empty() => format!("It never failed in {looked}."),
        (false, _) => format!("It turned {} in {looked}.", times(since.turns.len())),
        (true, []) => format!("{verdict} as far back as can be told, in {looked}."),
        (true, began) => format!("{verdict} since {}{before}{longer}.", list(began)),
    }
}

fn times(number: usize) -> String {
    match number {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        number => format!("{number} times"),
    }
}

fn one(turn: &Turn, page: &mut Page) {
    let revision = &turn.revision;
    let start = Line::default().put(Ink::Place, revision.short()).put(Ink::Plain, "  ");
    let hang = start.width();
    let start = start.put(Ink::Faint, &short_date(revision.date())).put(Ink::Plain, "  ");
    page.wrap(&start, start.width(), Ink::Plain, &step(turn));
    let said = format!("{}: {}", revision.author_name(), revision.summary());
    page.wrap(&Line::indented(hang), hang, Ink::Faint, &said);
    if turn.because.is_empty() && turn.before.is_none() {
        page.say(hang, "new with this revision");
    }
    if turn.any_of {
        page.say(hang, "no edit alone did it:");
    }
    for edit in turn.because.iter().take(MOST_EDITS) {
        page.wrap(&Line::indented(hang), hang + 2, Ink::Plain, &edited(edit));
    }
    if turn.because.len() > MOST_EDITS {
        page.say(hang, &format!("and {} more edits", turn.because.len() - MOST_EDITS));
    }
    if turn.across_skipped {
        page.say(hang, "here, or in revisions before it that cannot be evaluated");
    }
}

fn step(turn: &Turn) -> String {
    let side = |side: &Option<(Verdict, Option<Amount>)>| match side {
        Some((verdict, margin)) => judged(*verdict, margin.as_ref()),
        None => "not there".to_owned(),
    };
    match (turn.turned, &turn.before) {
        (Turned::Failed, None) => side(&turn.after),
        _ => format!("{} → {}", side(&turn.before), side(&turn.after)),
    }
}

fn edited(edit: &Edited) -> String {
    let said = match (&edit.before, &edit.after) {
        (Some(before), Some(after)) => format!("{before} → {after}"),
        (None, Some(after)) => format!("added, {after}"),
        (Some(before), None) => format!("removed, was {before}"),
        (None, None) => String::new(),
    };
    match edit.what {
        setout::What::Value | setout::What::Added | setout::What::Removed => {
            format!("{}: {said}", edit.name)
        }
        what => format!("{}: {what} {said}", edit.name),
    }
}
