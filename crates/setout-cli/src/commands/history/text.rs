//! A history for people.

use setout::{
    Cause, Change, Date, End, Held, History, Skipped, Unfollowed, Verdict, Walk, Why, value_of,
    verdict_of,
};

use super::{Told, plot};
use crate::draw::{Ink, Line, Page, amount, count, list, verbed};

/// So many revisions that cannot be evaluated are named.
const MOST_SKIPPED: usize = 5;
/// So many revisions that may have renamed and changed it at once are named.
const MOST_UNFOLLOWED: usize = 5;
/// So many causes are named.
const MOST_CAUSES: usize = 6;

pub(super) fn draw(told: &Told<'_>, page: &mut Page) {
    let history = told.history;
    page.heading(&history.name);
    page.entry(0, "at HEAD", &shown(&history.now));
    page.gap();
    match told.plot {
        true => plot::draw(history, page),
        false => history.changes.iter().for_each(|change| one(change, page)),
    }
    page.gap();
    page.say(0, &sentence(history));
    state(&history.now, page);
    let is_said = |untied: &&Unfollowed| {
        let of = |change: &&Change| change.revision.id() == untied.revision.id();
        history.changes.iter().filter(of).any(|change| change.renamed_to.is_some())
    };
    other_names(history.unfollowed.iter().filter(|untied| !is_said(untied)), page);
    surroundings(&history.skipped, &history.ends, told.walk, page);
    if let Some(caution) = told.caution() {
        page.gap();
        page.say(0, caution);
    }
}

fn sentence(history: &History) -> String {
    let looked = count(history.looked_at, "revision");
    match history.changes.len() {
        0 => format!("It did not change in {looked}."),
        number => format!("It changed in {number} of {looked}."),
    }
}

/// The value of a standing, in words.
pub(super) fn shown(standing: &Held) -> String {
    match standing {
        Held::Absent => "not there".to_owned(),
        Held::Faulty(_) => "cannot be evaluated".to_owned(),
        _ => match verdict_of(standing) {
            Some(verdict) => judged(verdict, value_of(standing).as_ref()),
            None => amount(value_of(standing).as_ref()),
        },
    }
}

/// A verdict with its margin.
pub(in crate::commands) fn judged(verdict: Verdict, margin: Option<&setout::Amount>) -> String {
    match margin {
        Some(margin) => format!("{verdict}, margin {}", amount(Some(margin))),
        None => verdict.to_string(),
    }
}

/// In which state a check is judged, where that is not the worst.
pub(in crate::commands) fn state(standing: &Held, page: &mut Page) {
    let Held::Check(check) = standing else { return };
    let said = match (&check.travel, &check.worst) {
        (None, _) => "It depends on axes that move, and is judged at rest only.",
        (_, None) => "It depends on tolerances, and is judged at nominal dimensions only.",
        _ => return,
    };
    page.gap();
    page.say(0, said);
}

/// The day on the author's calendar.
pub(in crate::commands) fn short_date(date: Date) -> String {
    let text = date.to_string();
    text.split('T').next().unwrap_or_default().to_owned()
}

fn one(change: &Change, page: &mut Page) {
    let revision = &change.revision;
    let start = Line::default().put(Ink::Place, revision.short()).put(Ink::Plain, "  ");
    let hang = start.width();
    let start = start.put(Ink::Faint, &short_date(revision.date())).put(Ink::Plain, "  ");
    page.wrap(&start, start.width(), Ink::Plain, &step(change));
    page.wrap(&Line::indented(hang), hang, Ink::Plain, &cause(change));
    let said = format!("{}: {}", revision.author_name(), revision.summary());
    page.wrap(&Line::indented(hang), hang, Ink::Faint, &said);
}

fn step(change: &Change) -> String {
    let now = shown(&change.standing);
    let mut was: Vec<String> = change.before.iter().map(shown).collect();
    was.dedup();
    match (&change.standing, &was[..]) {
        (Held::Absent, [was, ..]) => format!("{was} → removed"),
        (_, [] | [_]) if change.cause == Cause::Added => now,
        (_, [was]) if *was == now => now,
        (_, [was]) => format!("{was} → {now}"),
        (_, several) => format!("{} → {now}", several.join(" or ")),
    }
}

fn cause(change: &Change) -> String {
    let mut said = match change.cause {
        Cause::Added => "added".to_owned(),
        Cause::Removed => match &change.renamed_to {
            Some(new) => format!("renamed to {new}; see `setout history {new}`"),
            None => "removed".to_owned(),
        },
        Cause::Edit => {
            let what: Vec<String> = change.what.iter().map(ToString::to_string).collect();
            let also = match &change.because[..] {
                [] => String::new(),
                because => format!("; also from {}", causes(because)),
            };
            format!("edited: {}{also}", list(&what))
        }
        _ => {
            let lead = if change.any_of { "from any of" } else { "from" };
            format!("{lead} {}", causes(&change.because))
        }
    };
    if let Some(old) = &change.renamed_from {
        said.push_str(&format!(", was {old}"));
    }
    if change.across_skipped {
        said.push_str("; here or in revisions before it that cannot be evaluated");
    }
    said
}

fn causes(names: &[String]) -> String {
    let more = names.len().saturating_sub(MOST_CAUSES);
    let mut shown: Vec<String> = names.iter().take(MOST_CAUSES).cloned().collect();
    if more > 0 {
        shown.push(format!("{more} more"));
    }
    if shown.is_empty() { "what cannot be told".to_owned() } else { list(&shown) }
}

/// Where it may go by another name, under which it was not followed.
pub(in crate::commands) fn other_names<'a>(
    unfollowed: impl Iterator<Item = &'a Unfollowed>,
    page: &mut Page,
) {
    let mut more = 0;
    for (number, untied) in unfollowed.enumerate() {
        if number < MOST_UNFOLLOWED {
            page.gap();
            page.say(0, &untied_by(untied));
        } else {
            more += 1;
        }
    }
    if more > 0 {
        page.gap();
        page.say(0, &format!("The same goes for {}.", count(more, "other revision")));
    }
}

fn untied_by(untied: &Unfollowed) -> String {
    let (name, short) = (&untied.name, untied.revision.short());
    let is_new = untied.cause == Cause::Added;
    let [here, there, when] = match is_new {
        true => ["new", "gone", "before"],
        false => ["gone", "new", "since"],
    };
    let Some(first) = untied.maybe.first() else {
        return format!(
            "In {short} {name} is {here}, and a table cannot be read that may have it by another \
             name: what it was {when} is not told."
        );
    };
    format!(
        "In {short} {name} is {here}, and {} {there}. If that is the same under another name, \
         what it was {when} is not told here: see `setout history {first}`.",
        verb_of(&untied.maybe)
    )
}

/// The names, with the verb that follows.
fn verb_of(names: &[String]) -> String {
    let verb = if names.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", causes(names))
}

/// What was passed over, and where what is known ends.
pub(in crate::commands) fn surroundings(
    skipped: &[Skipped],
    ends: &[End],
    walk: &Walk,
    page: &mut Page,
) {
    if !skipped.is_empty() {
        page.gap();
        let number = skipped.len();
        let (one, many) = ("was passed over: it", "were passed over: they");
        let said = verbed(number, "revision", one, many);
        page.say(0, &format!("{said} cannot be evaluated."));
        for left in skipped.iter().take(MOST_SKIPPED) {
            let reason = left.faults.first().map_or(String::new(), |fault| {
                format!("{}:{}: {}", fault.place.file, fault.place.line, fault.message)
            });
            page.entry(2, left.revision.short(), &reason);
        }
        if number > MOST_SKIPPED {
            page.say(2, &format!("and {} more", number - MOST_SKIPPED));
        }
    }
    for end in ends.iter().filter(|end| end.why != Why::Since) {
        page.gap();
        let (short, standing) = (end.revision.short(), shown(&end.standing));
        let said = match (end.why, walk.fetch()) {
            (Why::Shallow, Some(fetch)) => format!(
                "This clone is shallow and ends at {short}, where it is {standing}. For what came \
                 before: {fetch}"
            ),
            _ => format!("No revision before {short}, where it is {standing}, can be evaluated."),
        };
        page.say(0, &said);
    }
    if walk.has_replacements() {
        page.gap();
        page.say(
            0,
            "This repository has replacements (git replace). They are not used: history is told \
             as it was recorded.",
        );
    }
}
