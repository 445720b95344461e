//! Parts that have to be made again, and parts with another price.

use setout::{Amount, Both, PartChange};

use super::figures::{Figures, coarse, set};
use super::rows::{self, Remark, Row};
use crate::draw::amounts::{count, verbed};
use crate::draw::ink::Ink;
use crate::draw::page::Page;

/// Draws the parts that change.
pub(crate) fn parts(changes: &[PartChange], page: &mut Page) {
    let (again, priced): (Vec<_>, Vec<_>) = changes.iter().partition(|part| part.remake);
    let priced: Vec<_> = priced.into_iter().filter(|part| has_other_figures(part)).collect();
    if !again.is_empty() {
        let have = verbed(again.len(), "part", "has", "have");
        let bought = again.iter().filter(|part| part.made.as_deref() == Some("bought")).count();
        let bought = match bought {
            0 => String::new(),
            bought if bought == again.len() => " (bought)".to_owned(),
            bought => format!(" ({bought} of them bought)"),
        };
        page.gap();
        page.say(0, &format!("{have} to be made again{bought}:"));
        draw(&again, page);
    }
    if !priced.is_empty() {
        page.gap();
        page.say(0, &format!("{} with another cost or mass:", count(priced.len(), "part")));
        draw(&priced, page);
    }
}

fn has_other_figures(part: &PartChange) -> bool {
    part.cost.before != part.cost.after || part.mass.before != part.mass.after
}

fn draw(parts: &[&PartChange], page: &mut Page) {
    let column = |of: fn(&PartChange) -> &Both<Option<Amount>>| {
        set(&parts.iter().map(|part| figures(of(part))).collect::<Vec<_>>())
    };
    let (costs, masses) = (column(|part| &part.cost), column(|part| &part.mass));
    let row = |(part, (cost, mass)): (&&PartChange, (String, String))| Row {
        cells: vec![
            (Ink::Plain, part.name.clone()),
            (Ink::Faint, part.made.clone().unwrap_or_default()),
            (Ink::Plain, cost),
            (Ink::Plain, mass),
        ],
        remark: remark(part),
    };
    let rows: Vec<Row> = parts.iter().zip(costs.into_iter().zip(masses)).map(row).collect();
    rows::draw(&rows, page);
}

/// What of all that it uses has changed, or what else has.
fn remark(part: &PartChange) -> Remark {
    let own = |name: &String| name.starts_with(&*part.name);
    match part.uses.as_slice() {
        [] if !part.remake => Remark::Nothing,
        [] if part.because.iter().any(own) => Remark::Below(vec!["edited itself".to_owned()]),
        [] => Remark::Below(vec!["its model has changed".to_owned()]),
        uses => Remark::Below(uses.to_vec()),
    }
}

/// What stays the same stands where that after does.
fn figures(both: &Both<Option<Amount>>) -> Figures {
    let (before, after) = (both.before.as_ref(), both.after.as_ref());
    match coarse(before, after) {
        _ if before.is_none() && after.is_none() => Figures::default(),
        figures if before == after => Figures { before: String::new(), ..figures },
        figures => figures,
    }
}
