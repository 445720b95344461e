//! The answer for programs.

use serde::Serialize;
use setout::{Amount, Turn, Unit, Verdict};

use super::Told;
use crate::commands::history::{Ended, Left, Made, Untied, judged_to};

#[derive(Serialize)]
pub(super) struct Keys<'a> {
    name: &'a str,
    unit: &'a str,
    #[serde(flatten)]
    now: Judged,
    since: Vec<Turned<'a>>,
    maybe_earlier: bool,
    turns: Vec<Turned<'a>>,
    skipped: Vec<Left<'a>>,
    unfollowed: Vec<Untied<'a>>,
    ends: Vec<Ended<'a>>,
    looked_at: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    judged_to: Option<&'a str>,
    replacements: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}

impl<'a> Keys<'a> {
    pub(super) fn of(told: &'a Told<'_>) -> Self {
        let since = told.since;
        let unit = unit(told);
        let turned = |turn: &'a Turn| Turned::of(turn, unit);
        Self {
            name: &since.name,
            unit: unit.map_or("", Unit::symbol),
            now: Judged::of(since.now.as_ref(), unit),
            since: since.began.iter().map(|turn| turned(&since.turns[*turn])).collect(),
            maybe_earlier: since.before_ends || since.by_another_name,
            turns: since.turns.iter().map(turned).collect(),
            skipped: since.skipped.iter().map(Left::of).collect(),
            unfollowed: since.unfollowed.iter().map(Untied::of).collect(),
            ends: since.ends.iter().map(|end| Ended::of(end, unit, told.walk)).collect(),
            looked_at: since.looked_at,
            judged_to: judged_to(&since.standing),
            replacements: told.walk.has_replacements(),
            caution: told.caution(),
        }
    }
}

/// The unit of the newest margin that is known.
fn unit<'a>(told: &'a Told<'_>) -> Option<&'a Unit> {
    let since = told.since;
    let of_turns = since.turns.iter().flat_map(|turn| [&turn.after, &turn.before]);
    let all = std::iter::once(&since.now).chain(of_turns);
    all.flatten().find_map(|(_, margin)| match margin {
        Some(Amount::Number { unit, .. }) => Some(unit),
        _ => None,
    })
}

#[derive(Serialize)]
struct Judged {
    verdict: Option<&'static str>,
    margin: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    margin_unit: Option<String>,
}

impl Judged {
    fn of(judged: Option<&(Verdict, Option<Amount>)>, unit: Option<&Unit>) -> Self {
        let margin = judged.and_then(|(_, margin)| margin.as_ref());
        let told = margin.and_then(|margin| crate::commands::history::number(margin, unit));
        let own = margin.filter(|_| told.is_none());
        Self {
            verdict: judged.map(|(verdict, _)| verdict.as_str()),
            margin: told.or(margin.and_then(Amount::number)),
            margin_unit: own.map(|margin| margin.unit().to_owned()),
        }
    }
}

#[derive(Serialize)]
struct Turned<'a> {
    #[serde(flatten)]
    made: Made<'a>,
    name: &'a str,
    turn: &'a str,
    before: Judged,
    after: Judged,
    because: Vec<&'a str>,
    edits: Vec<Edit<'a>>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    any_of: bool,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    across_skipped: bool,
}

#[derive(Serialize)]
struct Edit<'a> {
    name: &'a str,
    what: &'a str,
    before: Option<&'a str>,
    after: Option<&'a str>,
}

impl<'a> Turned<'a> {
    fn of(turn: &'a Turn, unit: Option<&Unit>) -> Self {
        let mut because: Vec<&str> = turn.because.iter().map(|edit| edit.name.as_str()).collect();
        because.sort_unstable();
        because.dedup();
        let edits = turn.because.iter().map(|edit| Edit {
            name: &edit.name,
            what: edit.what.as_str(),
            before: edit.before.as_deref(),
            after: edit.after.as_deref(),
        });
        Self {
            made: Made::of(&turn.revision),
            name: &turn.name,
            turn: turn.turned.as_str(),
            before: Judged::of(turn.before.as_ref(), unit),
            after: Judged::of(turn.after.as_ref(), unit),
            because,
            edits: edits.collect(),
            any_of: turn.any_of,
            across_skipped: turn.across_skipped,
        }
    }
}
