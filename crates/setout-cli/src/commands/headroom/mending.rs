//! The other way round: what mends a check that fails.

use serde::Serialize;
use setout::{CheckResult, Evaluation, Move, Verdict, mends};

use super::shown;
use crate::call::Call;
use crate::draw::{self, Answer, CAUTION, Cell, Columns, Ink, Page, json};
use crate::trouble::Trouble;

/// What can mend a check.
pub(super) struct Mending<'a> {
    evaluation: &'a Evaluation,
    check: CheckResult,
    moves: Vec<Move>,
    /// Whether the work was stopped before all dimensions were tried.
    stopped: bool,
}

pub(super) fn mending<'a>(
    call: &mut Call<'_, '_>,
    evaluation: &'a Evaluation,
    check: &str,
) -> Result<Mending<'a>, Trouble> {
    let name = crate::commands::history::full_name(evaluation.design(), check.trim())?;
    let watch = call.watch(format!("seeing what mends {name}"));
    let work = watch.work();
    let assessed = setout::assess(evaluation, &work);
    let Some(own) = assessed.checks().iter().find(|own| own.name == name).cloned() else {
        let known = evaluation.checks().iter().map(|check| check.name.as_str());
        let help = match setout::nearest(&name, known) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "`setout check --all` lists the checks".to_owned(),
        };
        return Err(Trouble::not_found(format!("there is no check `{name}`"), help));
    };
    let moves = match own.verdict >= Verdict::Unknown {
        true => mends(evaluation, &name, &work).unwrap_or_default(),
        false => Vec::new(),
    };
    Ok(Mending { evaluation, check: own, moves, stopped: (work.stop)() })
}

impl Mending<'_> {
    fn holds(&self) -> bool {
        self.check.verdict < Verdict::Unknown
    }
}

/// So many breakages of a move are named.
const MOST_NAMED: usize = 2;

impl Answer for Mending<'_> {
    fn text(&self, page: &mut Page) {
        draw::title(self.evaluation, page);
        page.gap();
        draw::check(&self.check, page);
        page.gap();
        if self.holds() {
            page.say(0, "It holds: there is nothing to mend.");
            return;
        }
        if self.stopped {
            page.say(0, "It was interrupted before all chosen dimensions were tried.");
        } else if self.moves.is_empty() {
            page.say(0, "No chosen dimension mends it by itself within its limits.");
        }
        if self.moves.is_empty() {
            return;
        }
        page.say(0, "Each of these by itself mends it:");
        let mut columns = Columns::default();
        for own in &self.moves {
            let unit = own.unit.symbol();
            let named: Vec<&str> = own.then.iter().take(MOST_NAMED).map(String::as_str).collect();
            let more = own.then.len() - named.len();
            let then = match (named.is_empty(), more) {
                (true, _) => String::new(),
                (_, 0) => format!("but then {} would not hold", named.join(" and ")),
                (_, more) => {
                    format!("but then {} and {more} more would not hold", named.join(", "))
                }
            };
            columns.row([
                Cell::text(Ink::Plain, &own.name),
                Cell::number(Ink::Faint, &setout::rounded(own.value)),
                Cell::text(Ink::Faint, "→"),
                Cell::number(Ink::Plain, &setout::rounded(shown(own.to))),
                Cell::text(Ink::Plain, unit),
                Cell::text(Ink::Faint, &then),
            ]);
        }
        columns.draw(2, page);
        page.gap();
        page.say(0, "Values are just enough; choose a rounder one with a little more room.");
        page.gap();
        page.say(0, CAUTION);
    }

    fn json(&self) -> impl Serialize {
        MendingKeys {
            check: &self.check.name,
            verdict: self.check.verdict.as_str(),
            margin: self.check.margin.map(json::unsigned_zero),
            unit: self.check.unit.symbol(),
            moves: self.moves.iter().map(MoveKeys::of).collect(),
            caution: CAUTION,
        }
    }
}

#[derive(Serialize)]
struct MendingKeys<'a> {
    check: &'a str,
    verdict: &'a str,
    margin: Option<f64>,
    unit: &'a str,
    moves: Vec<MoveKeys<'a>>,
    caution: &'a str,
}

#[derive(Serialize)]
struct MoveKeys<'a> {
    name: &'a str,
    value: f64,
    to: f64,
    by: f64,
    unit: &'a str,
    then: &'a [String],
}

impl<'a> MoveKeys<'a> {
    fn of(own: &'a Move) -> Self {
        Self {
            name: &own.name,
            value: json::unsigned_zero(own.value),
            to: json::unsigned_zero(own.to),
            by: json::unsigned_zero(own.by()),
            unit: own.unit.symbol(),
            then: &own.then,
        }
    }
}
