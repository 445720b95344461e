//! A calculation, so that it can be checked by hand.

use std::collections::{HashMap, HashSet};

use setout::{Evaluation, Step};

use super::amounts::{amount, count, list};
use super::columns::{Cell, Columns};
use super::ink::Ink;
use super::page::{Line, Page};
use super::safe::{one_line, visible, width, wrapped};

/// Names longer than this have a line of their own.
const NAME: usize = 30;
/// Formulas of such names stand so far in.
const BELOW: usize = 4;

/// Draws the steps to a value, which is the last of them: it first, then what it is made of, the
/// nearest first, and at the end the values that somebody chose.
pub(crate) fn steps(steps: &[Step], evaluation: &Evaluation, page: &mut Page) {
    let Some((thing, needed)) = steps.split_last() else { return };
    let notes = notes(evaluation);
    step(thing, page);
    if let Some(note) = notes.get(&thing.name) {
        page.say(BELOW, note);
    }
    let (chosen, derived): (Vec<&Step>, Vec<&Step>) =
        nearest_first(thing, needed).into_iter().partition(|of| of.chosen);
    if !needed.is_empty() {
        page.gap();
        page.say(0, &made_of(derived.len(), chosen.len()));
    }
    for of in &derived {
        page.gap();
        step(of, page);
    }
    if !chosen.is_empty() {
        page.gap();
        choices(&chosen, &notes, page);
    }
}

fn notes(evaluation: &Evaluation) -> HashMap<String, String> {
    let dimensions = evaluation.dimensions().into_iter();
    dimensions.filter_map(|of| Some((of.name, of.note?))).collect()
}

/// The values that something needs: those in its formula, those in theirs, and so on.
fn nearest_first<'a>(thing: &Step, needed: &'a [Step]) -> Vec<&'a Step> {
    let by_name: HashMap<&str, &Step> = needed.iter().map(|of| (&*of.name, of)).collect();
    let mut seen = HashSet::new();
    let mut found: Vec<&Step> = Vec::new();
    let mut next = 0;
    let mut needs = Some(&thing.needs);
    while let Some(names) = needs {
        let steps = names.iter().filter_map(|name| by_name.get(&**name));
        found.extend(steps.filter(|of| seen.insert(&*of.name)));
        needs = found.get(next).map(|of| &of.needs);
        next += 1;
    }
    // Cells that are only named as a column, and what is behind them.
    let rest = needed.iter().rev().filter(|of| !seen.contains(&*of.name));
    let rest: Vec<&Step> = rest.collect();
    found.extend(rest);
    found
}

fn made_of(derived: usize, chosen: usize) -> String {
    let told = [(derived, "derived value"), (chosen, "chosen value")];
    let told = told.into_iter().filter(|(number, _)| *number > 0);
    let told: Vec<String> = told.map(|(number, thing)| count(number, thing)).collect();
    format!("It is made of {}:", list(&told))
}

/// One step: the formula, the same with its numbers, and what it comes to. What says the same
/// as the line below it is left out.
fn step(of: &Step, page: &mut Page) {
    let sign = if of.verdict.is_some() { " " } else { "= " };
    let mut start = name_line(of, page);
    let hang = start.width();
    let mut texts = vec![one_line(&of.written), one_line(&of.filled_in)];
    let (came_to, bare) = (came_to(of), |text: &str| text.replace(' ', ""));
    texts.retain(|text| !text.is_empty() && bare(text) != bare(&came_to));
    texts.dedup();
    texts.push(came_to);
    for (index, text) in texts.iter().enumerate() {
        let line = std::mem::replace(&mut start, Line::indented(hang)).put(Ink::Faint, sign);
        if index + 1 < texts.len() {
            page.wrap(&line, hang + sign.len(), Ink::Plain, text);
        } else {
            last(&line, text, of, page);
        }
    }
}

/// The name, on a line of its own if it is long.
fn name_line(of: &Step, page: &mut Page) -> Line {
    let line = Line::default().put(Ink::Heading, &of.name);
    if line.width() <= NAME {
        return line.put(Ink::Plain, " ");
    }
    page.line(&line);
    Line::indented(BELOW)
}

fn came_to(of: &Step) -> String {
    match &of.verdict {
        Some((verdict, Some(margin))) => format!("{verdict}, margin {margin}"),
        Some((verdict, None)) => verdict.to_string(),
        None => amount(of.value.as_ref()),
    }
}

/// The last line of a step, with its place at the right end, or below where there is no room.
fn last(start: &Line, text: &str, of: &Step, page: &mut Page) {
    let (hang, place) = (start.width(), place(of));
    let begin = page.width.saturating_sub(width(&visible(&place)));
    match wrapped(text, begin.saturating_sub(hang + 2).max(NAME)).as_slice() {
        [line] if hang + width(line) + 2 <= begin => {
            let line = start.clone().put(Ink::Plain, line);
            page.line(&line.to(begin).put(Ink::Faint, &place));
        }
        _ => {
            page.wrap(start, hang, Ink::Plain, text);
            page.line(&Line::indented(hang).put(Ink::Faint, &place));
        }
    }
}

/// Where a step stands. What everything costs and weighs stands nowhere.
fn place(of: &Step) -> String {
    match of.name.starts_with("design.") {
        true => String::new(),
        false => format!("{}:{}", of.place.file, of.place.line),
    }
}

/// The values that somebody chose, with their places and the reasons for them.
fn choices(chosen: &[&Step], notes: &HashMap<String, String>, page: &mut Page) {
    let mut columns = Columns::default();
    for of in chosen {
        columns.row([
            Cell::text(Ink::Plain, &of.name),
            Cell::number(Ink::Plain, &amount(of.value.as_ref())),
            Cell::text(Ink::Faint, &place(of)),
            Cell::text(Ink::Faint, notes.get(&of.name).map_or("", String::as_str)),
        ]);
    }
    columns.draw(0, page);
}
