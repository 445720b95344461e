//! Checks and limits as text.

use setout::{Assessment, CheckResult, LimitResult, Place, Setting, State, Verdict};

use super::amounts::{amount, limits, measure};
use super::ink::Ink;
use super::page::{Line, Page};

/// Where a name begins, behind its verdict.
const NAME: usize = 9;

/// What a check requires with its numbers, where that says more than the requirement.
pub(crate) fn numbers(check: &CheckResult) -> Option<String> {
    let numbers = check.filled_in.to_string();
    (numbers != check.requirement && !numbers.is_empty()).then_some(numbers)
}

/// Draws a check with its numbers and its reason.
pub(crate) fn check(check: &CheckResult, page: &mut Page) {
    let margin = margin_of(check);
    let asked = check.tight.filter(|_| check.verdict == Verdict::Tight);
    let asked =
        asked.map(|asked| format!(" of the {} asked for", measure(asked, check.unit.symbol())));
    head(check.verdict, &check.name, &format!("{margin}{}", asked.unwrap_or_default()), page);
    states(check, page);
    page.entry(NAME, "requires", &check.requirement);
    if let Some(numbers) = numbers(check) {
        // The numbers are those at rest, which need not be the state that is shown.
        let at_rest = check.rest.verdict == check.verdict && check.rest.margin == check.margin;
        let said = if at_rest { "" } else { ", at rest" };
        page.entry(NAME, "that is", &format!("{numbers}{said}"));
    }
    if let Some(why) = &check.why {
        page.entry(NAME, "because", why);
    }
    at(&check.place, page);
}

/// Draws the limits of a dimension.
pub(crate) fn limit(limit: &LimitResult, page: &mut Page) {
    let unit = limit.unit.symbol();
    let what = if limit.of_travel { "permitted travel" } else { "limits" };
    let travel = limit.travel.as_ref().map(|travel| (travel.verdict, travel.margin));
    let said = match (limit.verdict, limit.margin) {
        (Verdict::Fails, Some(margin)) if margin >= 0.0 => match travel {
            Some((Verdict::Fails, Some(margin))) => {
                format!("outside its {what} by {} when it moves", measure(-margin, unit))
            }
            _ => format!("outside its {what} when it moves"),
        },
        (Verdict::Unknown, Some(_)) => format!("its {what} could not be judged when it moves"),
        (Verdict::Fails, Some(margin)) => {
            format!("outside its {what} by {}", measure(-margin, unit))
        }
        (Verdict::Holds | Verdict::Tight, _) => format!("within its {what}"),
        _ => format!("its {what} could not be judged"),
    };
    head(limit.verdict, &limit.name, &said, page);
    page.entry(NAME, "value", &amount(limit.value.as_ref()));
    let between = limits(limit.min, limit.max, unit);
    page.entry(NAME, what, &between.unwrap_or_else(|| "not computed".to_owned()));
    if let Some(travel) = &limit.travel {
        state("moving", travel, unit, page);
    }
    at(&limit.place, page);
}

fn head(verdict: Verdict, name: &str, said: &str, page: &mut Page) {
    let line = Line::default().put(Ink::of(verdict), verdict.as_str()).put(Ink::Plain, " ");
    let line = line.to(NAME).put(Ink::Heading, name).put(Ink::Plain, ", ");
    page.wrap(&line, NAME, Ink::Plain, said);
}

/// How far a check is from failing, in words.
pub(crate) fn margin(verdict: Verdict, margin: Option<f64>, unit: &str) -> String {
    match (verdict, margin) {
        (_, Some(margin)) => format!("margin {}", measure(margin, unit)),
        (Verdict::Unknown, None) => "could not be computed".to_owned(),
        (_, None) => "a yes or no without a margin".to_owned(),
    }
}

/// The same of a check, which may also not have been judged.
pub(crate) fn margin_of(check: &CheckResult) -> String {
    let states = [check.travel.as_ref(), check.worst.as_ref()];
    match check.verdict {
        Verdict::Unknown if states.into_iter().flatten().any(is_not_begun) => NOT_JUDGED.to_owned(),
        verdict => margin(verdict, check.margin, check.unit.symbol()),
    }
}

const NOT_JUDGED: &str = "not judged to its end";

/// Whether the work was stopped before anything was found out.
fn is_not_begun(state: &State) -> bool {
    state.margin.is_none() && state.proof.as_ref().is_some_and(|proof| proof.boxes == 0)
}

/// A verdict with what it rests on.
fn summed_up(state: &State, unit: &str) -> String {
    if is_not_begun(state) {
        return "not judged".to_owned();
    }
    format!("{}, {}", margin(state.verdict, state.margin, unit), state.how.as_str())
}

/// The states apart, where they are not all the same.
fn states(check: &CheckResult, page: &mut Page) {
    let unit = check.unit.symbol();
    let states = [("at rest", Some(&check.rest)), ("moving", check.travel.as_ref())];
    let all: Vec<(&str, &State)> = states
        .into_iter()
        .chain([("at worst", check.worst.as_ref())])
        .filter_map(|(label, state)| Some((label, state?)))
        .collect();
    if all.iter().all(|(_, state)| *state == &check.rest) {
        return;
    }
    for (index, (label, own)) in all.iter().enumerate() {
        // What varies with nothing more is as it was before.
        if index == 0 || all[index - 1].1 != *own {
            state(label, own, unit, page);
        }
    }
}

/// One state, with the pose in which it was found.
pub(crate) fn state(label: &str, state: &State, unit: &str, page: &mut Page) {
    page.entry(NAME, label, &format!("{}, {}", state.verdict, summed_up(state, unit)));
    for said in found(state, unit) {
        page.entry(NAME, "", &said);
    }
}

/// The state that a sweep found.
pub(crate) fn state_of_sweep(state: &State, unit: &str, page: &mut Page) {
    let line = Line::default().put(Ink::of(state.verdict), state.verdict.as_str());
    page.wrap(&line, 0, Ink::Plain, &format!(", {}", summed_up(state, unit)));
    for said in found(state, unit) {
        page.say(2, &said);
    }
    let Some(of) = &state.proof else { return };
    if let (Some(least), None) = (of.at_least, &of.why) {
        page.say(2, &format!("no pose has less than {}", measure(rounded_for_people(least), unit)));
    }
    let boxes = if of.boxes == 1 { "box" } else { "boxes" };
    page.say(2, &format!("{} {boxes} looked at", of.boxes));
}

/// Where a margin was found, what cannot be reached, and why nothing is known.
fn found(state: &State, unit: &str) -> Vec<String> {
    let Some(of) = &state.proof else { return Vec::new() };
    let mut said = Vec::new();
    if !of.at.is_empty() {
        said.push(format!("found with {}", pose(of)));
    }
    if let Some(why) = &of.why {
        let least = of.at_least.map_or_else(
            || "no least margin is known".to_owned(),
            |least| format!("no pose has less than {}", measure(least, unit)),
        );
        said.push(format!("unknown since {why}; {least}"));
    }
    said.extend(of.unreachable.iter().map(|span| {
        let (low, high) = (rounded_for_people(span.low), rounded_for_people(span.high));
        format!(
            "a linkage does not close in poses with {} between {low} and {}; what cannot be \
             reached is not judged",
            span.name,
            measure(high, span.unit.symbol())
        )
    }));
    said
}

/// So many settings of a pose are told; those nearest to the ends of what they may be, which is all
/// of them as a rule.
const MOST_SETTINGS: usize = 12;

/// Where axes stand, and by how much dimensions deviate.
fn pose(proof: &Assessment) -> String {
    let told = |setting: &Setting| {
        let value = measure(rounded_for_people(setting.value), setting.unit.symbol());
        match setting.is_deviation {
            true if setting.value > 0.0 => format!("{} +{value} off", setting.name),
            true => format!("{} {value} off", setting.name),
            false => format!("{} at {value}", setting.name),
        }
    };
    let off = |setting: &&Setting| !setting.is_deviation || setting.value != 0.0;
    let settings: Vec<&Setting> = proof.at.iter().filter(off).collect();
    let shown: Vec<String> =
        settings.iter().take(MOST_SETTINGS).map(|setting| told(setting)).collect();
    match settings.len() {
        0 => "everything as wanted".to_owned(),
        all if all > MOST_SETTINGS => {
            format!("{} and {} more", shown.join(", "), all - MOST_SETTINGS)
        }
        _ => shown.join(", "),
    }
}

/// A setting to six digits: where a worst pose lies to more is of no use to anybody.
fn rounded_for_people(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

fn at(place: &Place, page: &mut Page) {
    page.entry(NAME, "at", &place.to_string());
}
