//! One thing in full.

use setout::{DimensionResult, LimitResult, PartResult, Reach, rounded};

use super::amounts::{amount, count, limits, list, measure};
use super::ink::Ink;
use super::listing::travel;
use super::page::{Line, Page};

/// How far in the entries of a thing stand, below its name.
const INDENT: usize = 2;

fn name(name: &str, what: &str, page: &mut Page) {
    let line = Line::default().put(Ink::Heading, name).put(Ink::Plain, &format!(", {what}"));
    page.line(&line);
}

fn entry(label: &str, text: Option<&str>, page: &mut Page) {
    if let Some(text) = text {
        page.entry(INDENT, label, text);
    }
}

/// Draws a dimension or a cell, with what became of its limits and what depends on it.
pub(crate) fn dimension(
    dimension: &DimensionResult,
    kept: &[LimitResult],
    reach: Option<&Reach>,
    page: &mut Page,
) {
    name(&dimension.name, if dimension.chosen { "chosen" } else { "derived" }, page);
    entry("value", Some(&amount(dimension.value.as_ref())), page);
    if !dimension.chosen {
        entry("formula", Some(&dimension.written), page);
    }
    for limit in kept {
        bounds(limit, page);
    }
    if dimension.chosen {
        entry("travel", travel(dimension).as_deref(), page);
    }
    entry("tolerance", tolerance(dimension).as_deref(), page);
    entry("note", dimension.note.as_deref(), page);
    if let Some(reach) = reach {
        reached(reach, page);
    }
    entry("at", Some(&dimension.place.to_string()), page);
}

/// A tolerance as written, with what it comes to where that is not what was written.
fn tolerance(dimension: &DimensionResult) -> Option<String> {
    let written = dimension.tolerance.as_ref()?;
    let Some([lower, upper]) = dimension.deviations.filter(|_| is_named(written)) else {
        return Some(written.clone());
    };
    let signed =
        |number: f64| if number > 0.0 { format!("+{}", rounded(number)) } else { rounded(number) };
    let unit = dimension.unit.symbol();
    Some(match lower == -upper {
        true => format!("{written}, ±{}", measure(upper, unit)),
        false => format!("{written}, {} {} {unit}", signed(upper), signed(lower)),
    })
}

/// Whether a tolerance is a process or a class rather than numbers.
fn is_named(tolerance: &str) -> bool {
    tolerance.starts_with(|c: char| c.is_ascii_alphabetic())
}

/// What depends on a thing: at first hand by name, and how much there is in all.
fn reached(reach: &Reach, page: &mut Page) {
    let direct = reach.values.iter().filter(|value| value.path.len() == 2);
    let direct: Vec<&str> = direct.map(|value| &*value.name).collect();
    let counted =
        [(reach.values.len(), "value"), (reach.checks.len(), "check"), (reach.parts.len(), "part")];
    let counted = counted.iter().filter(|(number, _)| *number > 0);
    let counted: Vec<String> = counted.map(|(number, thing)| count(*number, thing)).collect();
    entry("used by", Some(direct.join(", ").as_str()).filter(|names| !names.is_empty()), page);
    entry("reaches", Some(list(&counted).as_str()).filter(|counts| !counts.is_empty()), page);
}

fn bounds(limit: &LimitResult, page: &mut Page) {
    let label = if limit.of_travel { "travel" } else { "limits" };
    let between = limits(limit.min, limit.max, limit.unit.symbol());
    let between = between.unwrap_or_else(|| "not computed".to_owned());
    entry(label, Some(&format!("{between}, {}", limit.verdict)), page);
}

/// Draws a part.
pub(crate) fn part(part: &PartResult, page: &mut Page) {
    name(&part.name, part.made.as_deref().unwrap_or("part"), page);
    let value = |value: &Option<setout::Amount>| value.as_ref().map(|value| amount(Some(value)));
    entry("material", part.material.as_deref(), page);
    entry("quantity", value(&part.quantity).as_deref(), page);
    entry("cost", value(&part.cost).as_deref(), page);
    entry("mass", value(&part.mass).as_deref(), page);
    entry("model", part.cad.as_deref(), page);
    entry("uses", Some(part.uses.join(", ").as_str()).filter(|uses| !uses.is_empty()), page);
    entry("note", part.note.as_deref(), page);
    entry("fingerprint", Some(&part.fingerprint), page);
    entry("at", Some(&part.place.to_string()), page);
}
