//! Checks and limits as text.

use setout::{CheckResult, LimitResult, Place, State, Verdict};

use super::amounts::{amount, limits, measure};
use super::ink::Ink;
use super::page::{Line, Page};

/// Where a name begins, behind its verdict.
const NAME: usize = 9;

/// Draws a check with its numbers and its reason.
pub(crate) fn check(check: &CheckResult, page: &mut Page) {
    let margin = margin(check.verdict, check.margin, check.unit.symbol());
    let asked = check.tight.filter(|_| check.verdict == Verdict::Tight);
    let asked =
        asked.map(|asked| format!(" of the {} asked for", measure(asked, check.unit.symbol())));
    head(check.verdict, &check.name, &format!("{margin}{}", asked.unwrap_or_default()), page);
    states(check, page);
    page.entry(NAME, "requires", &check.requirement);
    if check.filled_in != check.requirement && !check.filled_in.is_empty() {
        page.entry(NAME, "that is", &check.filled_in);
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
    let said = match (limit.verdict, limit.margin) {
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

/// The states apart, where they are not all the same.
fn states(check: &CheckResult, page: &mut Page) {
    let others = [("moving", check.travel), ("at worst", check.worst)];
    if others.iter().all(|(_, state)| state.is_none_or(|state| state == check.rest)) {
        return;
    }
    let all = [("at rest", Some(check.rest))].into_iter().chain(others);
    for (label, state) in all {
        if let Some(State { verdict, margin: left, how }) = state {
            let left = margin(verdict, left, check.unit.symbol());
            page.entry(NAME, label, &format!("{verdict}, {left}, {}", how.as_str()));
        }
    }
}

fn at(place: &Place, page: &mut Page) {
    page.entry(NAME, "at", &place.to_string());
}
