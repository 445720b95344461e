//! What depends on something.

use serde::Serialize;
use setout::{Evaluation, Reach};

use super::amounts::{amount, count, list, verbed};
use super::caution::CAUTION;
use super::changes::{Remark, Row, draw_rows, is_dangerous};
use super::columns::{Cell, Columns};
use super::ink::Ink;
use super::page::Page;
use super::{Answer, json};

/// All that depends on some values.
pub(crate) struct Reached<'a> {
    pub(crate) reach: &'a Reach,
    pub(crate) evaluation: &'a Evaluation,
}

impl Answer for Reached<'_> {
    fn text(&self, page: &mut Page) {
        self.values(page);
        self.parts(page);
        self.rest(page);
        page.gap();
        page.say(0, &self.sentence());
        if let Some(caution) = self.caution() {
            page.gap();
            page.say(0, caution);
        }
    }

    fn json(&self) -> impl Serialize {
        Keys { reach: self.reach.into(), caution: self.caution() }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    #[serde(flatten)]
    reach: json::Reach<'a>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}

impl Reached<'_> {
    fn caution(&self) -> Option<&'static str> {
        let asked = |name: &String| is_dangerous(name, self.evaluation.value(name).as_ref());
        let reached = |of: &setout::Reached| is_dangerous(&of.name, of.value.as_ref());
        let dangerous = self.reach.of.iter().any(asked) || self.reach.values.iter().any(reached);
        dangerous.then_some(CAUTION)
    }

    fn values(&self, page: &mut Page) {
        let mut asked = Columns::whole();
        for name in &self.reach.of {
            let value = amount(self.evaluation.value(name).as_ref());
            asked.row([Cell::text(Ink::Heading, name), Cell::number(Ink::Plain, &value)]);
        }
        asked.draw(0, page);
        if self.reach.values.is_empty() {
            return;
        }
        page.gap();
        let depend = verbed(self.reach.values.len(), "dimension", "depends", "depend");
        page.say(0, &format!("{depend} on {}:", self.it()));
        let row = |value: &setout::Reached| {
            let between = value.path.get(1..value.path.len().saturating_sub(1));
            Row {
                cells: vec![
                    (Ink::Plain, value.name.clone()),
                    (Ink::Plain, amount(value.value.as_ref())),
                ],
                remark: Remark::Via(between.unwrap_or_default().to_vec()),
            }
        };
        let rows: Vec<Row> = self.reach.values.iter().map(row).collect();
        draw_rows(&rows, page);
    }

    fn it(&self) -> &'static str {
        if self.reach.of.len() == 1 { "it" } else { "them" }
    }

    fn parts(&self, page: &mut Page) {
        if self.reach.parts.is_empty() {
            return;
        }
        page.gap();
        page.say(0, &format!("{}:", count(self.reach.parts.len(), "part")));
        let row = |(name, uses): &(String, Vec<String>)| Row {
            cells: vec![(Ink::Plain, name.clone())],
            remark: if uses.is_empty() {
                Remark::Text("its cost or mass".to_owned())
            } else {
                Remark::Names(uses.clone())
            },
        };
        let rows: Vec<Row> = self.reach.parts.iter().map(row).collect();
        draw_rows(&rows, page);
    }

    fn rest(&self, page: &mut Page) {
        for (names, what) in [
            (&self.reach.checks, "check"),
            (&self.reach.limits, "limit"),
            (&self.reach.schedules, "schedule"),
            (&self.reach.exports, "export"),
        ] {
            if !names.is_empty() {
                page.gap();
                page.say(0, &format!("{}:", count(names.len(), what)));
                page.say(2, &names.join(", "));
            }
        }
    }

    fn sentence(&self) -> String {
        let reach = self.reach;
        let totals = [(reach.cost, "cost"), (reach.mass, "mass")];
        let totals = totals.into_iter().filter(|(is_reached, _)| *is_reached);
        let totals: Vec<String> = totals.map(|(_, total)| total.to_owned()).collect();
        let sizes = [
            (reach.values.len(), "dimension"),
            (reach.checks.len(), "check"),
            (reach.parts.len(), "part"),
        ];
        let told = sizes.into_iter().filter(|(size, _)| *size > 0);
        let mut told: Vec<String> = told.map(|(size, thing)| count(size, thing)).collect();
        if !totals.is_empty() {
            told.push(format!("the {} of everything", list(&totals)));
        }
        let reaches = if reach.of.len() == 1 { "reaches" } else { "reach" };
        match told.len() {
            0 => format!("Nothing depends on {}.", list(&reach.of)),
            _ => format!("{} {reaches} {}.", list(&reach.of), list(&told)),
        }
    }
}
