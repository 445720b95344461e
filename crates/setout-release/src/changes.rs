//! What changed since the release before, for those who follow: in the order in which they need
//! it, a short sentence each.

use std::collections::{BTreeMap, BTreeSet};

use setout_design::{Amount, Both, Comparison, Edited, Evaluation, Verdict, What};

use crate::edited::edited;
use crate::parts::{ReleasedPart, Turn};
use crate::told::{amount, bounded, list, now_and_before};
use crate::{Record, RecordedPart};

/// Two evaluations, and how they differ.
pub(crate) struct Since<'a> {
    pub(crate) record: &'a Record,
    pub(crate) before: &'a Evaluation,
    pub(crate) found: Comparison,
}

/// All sentences. `since` is none for a first release.
pub(crate) fn changes(
    since: Option<&Since<'_>>,
    after: &Evaluation,
    parts: &[ReleasedPart],
) -> Vec<String> {
    let Some(since) = since else { return first(after, parts) };
    let (found, before) = (&since.found, since.before);
    // What fails bears on whether anything should be made at all.
    let mut told = bounded(turned(found), "verdicts that turned");
    told.extend(making(after, parts, found));
    told.extend(gone(since.record, parts));
    told.extend(quantities(before, after, parts));
    told.extend(staying(parts));
    let known = parts.iter().map(|part| &*part.name);
    let known: BTreeSet<&str> =
        known.chain(since.record.parts.iter().map(|part| &*part.name)).collect();
    let is_told = |edit: &Edited| is_told(edit, &known);
    told.extend(bounded(edited(found, before, after, &is_told), "edits by hand"));
    told.extend(bounded(following(found), "dimensions that follow"));
    told.extend(totals(found));
    told
}

/// Whether an edit has been told already: a part that came, went, or is wanted in other numbers.
fn is_told(edit: &Edited, parts: &BTreeSet<&str>) -> bool {
    let is_part = |name: &str| parts.contains(name);
    match edit.what {
        What::Added | What::Removed => is_part(&edit.name),
        What::Value => edit.name.strip_suffix(".quantity").is_some_and(is_part),
        _ => false,
    }
}

fn first(after: &Evaluation, parts: &[ReleasedPart]) -> Vec<String> {
    let mut told = vec!["This is the first release.".to_owned()];
    let listed = after.parts().into_iter().zip(parts).map(|(part, released)| {
        let verb = if part.made.as_deref() == Some("bought") { "Buy" } else { "Make" };
        let quantity = amount(part.quantity.as_ref());
        format!("{verb} {quantity} of {}: letter {}.", part.name, released.letter)
    });
    let listed: Vec<String> = listed.collect();
    let more = listed.len().saturating_sub(MOST_PARTS);
    told.extend(listed.into_iter().take(MOST_PARTS));
    if more > 0 {
        told.push(format!("And {}; parts.csv lists all of them.", more_parts(more)));
    }
    let total = |what: &str, total: Option<Amount>| {
        Some(format!("All parts together {what} {}.", amount(Some(&total?))))
    };
    if !parts.is_empty() {
        told.extend(total("cost", after.cost()));
        told.extend(total("weigh", after.mass()));
    }
    told
}

/// Parts are what a follower acts on, so more of them are told than of anything else.
const MOST_PARTS: usize = 200;

fn more_parts(number: usize) -> String {
    if number == 1 { "1 more part".to_owned() } else { format!("{number} more parts") }
}

/// What has to be made, and why.
fn making(after: &Evaluation, parts: &[ReleasedPart], found: &Comparison) -> Vec<String> {
    let bought = after.parts().into_iter().filter(|part| part.made.as_deref() == Some("bought"));
    let bought: BTreeSet<String> = bought.map(|part| part.name).collect();
    let because: BTreeMap<&str, &[String]> =
        found.parts.iter().map(|part| (part.name.as_str(), &part.because[..])).collect();
    let sentence = |part: &ReleasedPart| {
        let (name, letter) = (&part.name, part.letter);
        let verb = if bought.contains(name) { "Buy" } else { "Make" };
        match (part.turn, part.before) {
            (Turn::Again, Some(before)) => {
                let because = match because.get(name.as_str()) {
                    Some(because @ [_, ..]) => format!("{} changed", list(because)),
                    _ => "its model changed".to_owned(),
                };
                format!("{verb} {name} again: it is {letter} now, was {before}; {because}.")
            }
            _ if letter == crate::Letter::FIRST => format!("{name} is new: letter {letter}."),
            _ => format!("{name} is back, or another of its name: letter {letter}."),
        }
    };
    let wanted = parts.iter().filter(|part| part.turn != Turn::Stays);
    let told: Vec<String> = wanted.map(sentence).collect();
    let more = told.len().saturating_sub(MOST_PARTS);
    let mut told: Vec<String> = told.into_iter().take(MOST_PARTS).collect();
    if more > 0 {
        told.push(format!("And {} to make; parts.csv has their letters.", more_parts(more)));
    }
    told
}

/// What is needed no more.
fn gone(last: &Record, parts: &[ReleasedPart]) -> Vec<String> {
    let here = parts.iter().filter(|part| part.before.is_some());
    let here: BTreeSet<&str> = here.map(|part| part.was.as_deref().unwrap_or(&part.name)).collect();
    let is_here = |old: &&RecordedPart| here.contains(old.name.as_str());
    let gone = last.parts.iter().filter(|old| !is_here(old));
    let gone: Vec<String> = gone.map(|old| format!("{} {}", old.name, old.letter)).collect();
    match &gone[..] {
        [] => Vec::new(),
        [one] => vec![format!("{one} is not used any more.")],
        _ => vec![format!("These parts are not used any more: {}.", list(&gone))],
    }
}

fn quantities(before: &Evaluation, after: &Evaluation, parts: &[ReleasedPart]) -> Vec<String> {
    let sentence = |part: &ReleasedPart| {
        let was = part.was.as_deref().unwrap_or(&part.name);
        let of =
            |evaluation: &Evaluation, name: &str| evaluation.value(&format!("{name}.quantity"));
        let both = Both { before: of(before, was), after: of(after, &part.name) };
        let differs = part.turn != Turn::New && both.before != both.after;
        differs.then(|| format!("Of {} there are {}.", part.name, now_and_before(&both)))
    };
    bounded(parts.iter().filter_map(sentence).collect(), "parts in other numbers")
}

/// What need not be touched.
fn staying(parts: &[ReleasedPart]) -> Vec<String> {
    let staying = parts.iter().filter(|part| part.turn == Turn::Stays);
    let staying = staying.map(|part| match &part.was {
        Some(was) => format!("{} {} (was called {was})", part.name, part.letter),
        None => format!("{} {}", part.name, part.letter),
    });
    match &staying.collect::<Vec<_>>()[..] {
        [] => Vec::new(),
        [one] => vec![format!("{one} stays as it is.")],
        all if all.len() == parts.len() => vec![format!("All parts stay: {}.", list(all))],
        all => vec![format!("These parts stay as they are: {}.", list(all))],
    }
}

/// The verdicts that are others now, those that got worse first.
fn turned(found: &Comparison) -> Vec<String> {
    let checks = found.checks.iter().map(|check| {
        let verdict = |side: &Option<setout_design::CheckResult>| side.as_ref().map(|c| c.verdict);
        let (before, after) = (verdict(&check.result.before), verdict(&check.result.after));
        (check.name.clone(), before, after)
    });
    let limits = found.limits.iter().map(|limit| {
        let verdict = |side: &Option<setout_design::LimitResult>| side.as_ref().map(|l| l.verdict);
        let (before, after) = (verdict(&limit.result.before), verdict(&limit.result.after));
        (format!("The limit of {}", limit.name), before, after)
    });
    let mut turned: Vec<_> = checks.chain(limits).filter(|(_, from, to)| from != to).collect();
    turned.sort_by_key(|(_, _, to)| std::cmp::Reverse(*to));
    let sentence = |(name, from, to): &(String, Option<Verdict>, Option<Verdict>)| {
        let to = (*to)?;
        let now = match to {
            Verdict::Holds => "holds",
            Verdict::Tight => "is tight",
            Verdict::Unknown => "cannot be computed",
            Verdict::Fails => "FAILS",
        };
        Some(match from {
            None if to == Verdict::Holds => return None,
            None => format!("{name} is new, and {now}."),
            Some(Verdict::Holds) => format!("{name} {now} now; it held before."),
            Some(Verdict::Tight) => format!("{name} {now} now; it was tight before."),
            Some(Verdict::Unknown) => format!("{name} {now} now; it could not be computed before."),
            Some(Verdict::Fails) => format!("{name} {now} now; it failed before."),
        })
    };
    turned.iter().filter_map(sentence).collect()
}

/// Values that nobody edited, and that differ.
fn following(found: &Comparison) -> Vec<String> {
    let sentence = |changed: &setout_design::Changed| {
        let both = Both { before: changed.before.clone(), after: changed.after.clone() };
        let because = match &changed.because[..] {
            [] => String::new(),
            because => format!(", because of {}", list(because)),
        };
        format!("{} follows: {}{because}.", changed.name, now_and_before(&both))
    };
    found.changed.iter().map(sentence).collect()
}

fn totals(found: &Comparison) -> Vec<String> {
    let total = |verb: &str, both: &Both<Option<Amount>>| match (&both.before, &both.after) {
        (None, None) => None,
        (before, after) if before == after => {
            Some(format!("All parts together {verb} {} as before.", amount(after.as_ref())))
        }
        _ => Some(format!("All parts together {verb} {}.", now_and_before(both))),
    };
    [total("cost", &found.cost), total("weigh", &found.mass)].into_iter().flatten().collect()
}

/// What failed in spite of the release, in a sentence; none if nothing did.
pub(crate) fn although(record: &Record) -> Option<String> {
    let (what, are) = match record.failing.len() {
        0 => return None,
        1 => ("1 REQUIREMENT".to_owned(), "IS"),
        failing => (format!("{failing} REQUIREMENTS"), "ARE"),
    };
    Some(format!("RELEASED ALTHOUGH {what} {are} NOT MET: {}.", list(&record.failing)))
}
