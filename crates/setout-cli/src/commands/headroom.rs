//! `setout headroom`: how far chosen dimensions can go.

use clap::Args;
use serde::Serialize;
use setout::{
    CheckResult, Evaluation, Headroom, HeadroomEnd, Move, NotChosen, Verdict, Work, headroom,
    headrooms, mends,
};

use super::Run;
use crate::call::{Call, Outcome, Stop};
use crate::draw::{self, Answer, CAUTION, Cell, Columns, Ink, Page, json, measure};
use crate::edits;
use crate::status::Status;
use crate::trouble::Trouble;

/// See how far a chosen dimension can go before a check fails, or what can mend a failing check
#[derive(Debug, Args)]
#[command(
    after_help = "One dimension is moved while all others stay, over the whole travel of every axis \
and at the worst of tolerances. Every value in the span is proved to be good, so there is no hole in \
it. Without a name all chosen dimensions are shown, the most cramped first. --for CHECK is the other \
way round: for a check that fails, which chosen dimensions mend it, how far each has to go, and what \
would fail then."
)]
pub(crate) struct Flags {
    /// The chosen dimensions; all where none is named
    #[arg(value_name = "NAME")]
    names: Vec<String>,
    /// Which dimensions can mend this check
    #[arg(long = "for", value_name = "CHECK", conflicts_with = "names")]
    check: Option<String>,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        let troubles = opened.troubles();
        if !troubles.is_empty() {
            // What cannot be computed cannot stop anything: a span would be too wide.
            return Err(Stop::Refused(troubles));
        }
        let evaluation = &opened.evaluation;
        match &self.check {
            Some(check) => call.show(&mending(evaluation, check)?, &troubles, Status::Good),
            None => call.show(&self.told(evaluation)?, &troubles, Status::Good),
        }
    }
}

impl Flags {
    fn told<'a>(&self, evaluation: &'a Evaluation) -> Result<Told<'a>, Trouble> {
        let work = Work::default();
        let mut found = Vec::new();
        for name in &self.names {
            let name = evaluation.design().full_name(name.trim()).map_err(edits::refused)?;
            found.push(headroom(evaluation, &name, &work).map_err(|NotChosen| not_chosen(&name))?);
        }
        if self.names.is_empty() {
            let chosen = evaluation.dimensions().into_iter().filter(|own| own.chosen);
            let names: Vec<String> = chosen.map(|own| own.name).collect();
            found = headrooms(evaluation, &names, &work);
            found.sort_by(|a, b| room(a).total_cmp(&room(b)).then(a.name.cmp(&b.name)));
        }
        Ok(Told { evaluation, found, all: self.names.is_empty() })
    }
}

fn not_chosen(name: &str) -> Trouble {
    Trouble::bad_call(
        format!("`{name}` is no number that somebody chose"),
        "name a dimension whose value names no other and that is no axis of travel",
    )
}

/// The way to the nearer end for its value: what has least is most cramped.
fn room(of: &Headroom) -> f64 {
    let way = |end: &HeadroomEnd| match (&end.value, &end.because) {
        (Some(value), _) => (value - of.value).abs() / of.value.abs().max(f64::MIN_POSITIVE),
        (None, Some(_)) => 0.0,
        (None, None) => f64::INFINITY,
    };
    way(&of.low).min(way(&of.high))
}

/// How far dimensions can go.
struct Told<'a> {
    evaluation: &'a Evaluation,
    found: Vec<Headroom>,
    all: bool,
}

impl Told<'_> {
    fn one(of: &Headroom, page: &mut Page) {
        let unit = of.unit.symbol();
        page.heading(&of.name);
        page.entry(0, "value", &measure(of.value, unit));
        for (label, end) in [("down to", &of.low), ("up to", &of.high)] {
            page.entry(0, label, &told_end(end, unit));
        }
    }
}

fn told_end(end: &HeadroomEnd, unit: &str) -> String {
    match (end.value, &end.because, end.verdict) {
        (Some(value), Some(because), Some(Verdict::Fails)) => {
            format!("{}, where {because} fails", measure(shown(value), unit))
        }
        (Some(value), Some(because), _) => {
            format!("{}, where {because} is unknown", measure(shown(value), unit))
        }
        (None, Some(because), Some(Verdict::Fails)) => format!("nowhere: {because} fails already"),
        (None, Some(because), _) => format!("nowhere: {because} is unknown already"),
        _ => format!("nothing stops it before {}", measure(shown(end.searched), unit)),
    }
}

/// An end is known to a millionth of the value.
fn shown(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

impl Answer for Told<'_> {
    fn text(&self, page: &mut Page) {
        draw::title(self.evaluation, page);
        page.gap();
        if !self.all {
            for (index, found) in self.found.iter().enumerate() {
                if index > 0 {
                    page.gap();
                }
                Self::one(found, page);
            }
            page.gap();
            page.say(0, OVER);
            page.say(0, CAUTION);
            return;
        }
        let stopped = |of: &&Headroom| of.low.because.is_some() || of.high.because.is_some();
        let (stopped, free): (Vec<&Headroom>, Vec<&Headroom>) =
            self.found.iter().partition(stopped);
        let mut columns = Columns::default();
        for found in &stopped {
            let unit = found.unit.symbol();
            let number = |end: &HeadroomEnd| end.value.map(|value| setout::rounded(shown(value)));
            columns.row([
                Cell::text(Ink::Plain, &found.name),
                Cell::number(Ink::Faint, &number(&found.low).unwrap_or_default()),
                Cell::number(Ink::Plain, &setout::rounded(found.value)),
                Cell::number(Ink::Faint, &number(&found.high).unwrap_or_default()),
                Cell::text(Ink::Plain, unit),
            ]);
        }
        columns.draw(0, page);
        page.gap();
        if !free.is_empty() {
            page.say(0, &format!("{} by no check or limit.", are_stopped(free.len())));
        }
        page.say(
            0,
            "Each line: down to, the value, up to; nothing where nothing stops it on that side. \
             `setout headroom NAME` says what does.",
        );
        page.say(0, OVER);
        page.gap();
        page.say(0, CAUTION);
    }

    fn json(&self) -> impl Serialize {
        let found: Vec<Keys<'_>> = self.found.iter().map(Keys::of).collect();
        match (self.all, <[Keys<'_>; 1]>::try_from(found)) {
            (false, Ok([one])) => Document::One { headroom: one, caution: CAUTION },
            (_, Ok([one])) => Document::Many { dimensions: vec![one], caution: CAUTION },
            (_, Err(dimensions)) => Document::Many { dimensions, caution: CAUTION },
        }
    }
}

fn are_stopped(number: usize) -> String {
    draw::verbed(number, "other chosen dimension", "is stopped", "are stopped")
}

/// What a span is of.
const OVER: &str = "Each alone, over all travel and at the worst of tolerances; every value between \
                    is proved to be good.";

#[derive(Serialize)]
#[serde(untagged)]
enum Document<'a> {
    One {
        #[serde(flatten)]
        headroom: Keys<'a>,
        caution: &'a str,
    },
    Many {
        dimensions: Vec<Keys<'a>>,
        caution: &'a str,
    },
}

#[derive(Serialize)]
struct Keys<'a> {
    name: &'a str,
    unit: &'a str,
    value: f64,
    low: EndKeys<'a>,
    high: EndKeys<'a>,
}

#[derive(Serialize)]
struct EndKeys<'a> {
    value: Option<f64>,
    because: Option<&'a str>,
    verdict: Option<&'a str>,
    searched: f64,
}

impl<'a> Keys<'a> {
    fn of(of: &'a Headroom) -> Self {
        let end = |end: &'a HeadroomEnd| EndKeys {
            value: end.value.map(json::unsigned_zero),
            because: end.because.as_deref(),
            verdict: end.verdict.map(Verdict::as_str),
            searched: json::unsigned_zero(end.searched),
        };
        Self {
            name: &of.name,
            unit: of.unit.symbol(),
            value: json::unsigned_zero(of.value),
            low: end(&of.low),
            high: end(&of.high),
        }
    }
}

/// What can mend a check.
struct Mending<'a> {
    evaluation: &'a Evaluation,
    check: CheckResult,
    moves: Vec<Move>,
}

fn mending<'a>(evaluation: &'a Evaluation, check: &str) -> Result<Mending<'a>, Trouble> {
    let name = super::history::full_name(evaluation.design(), check.trim())?;
    let work = Work::default();
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
    Ok(Mending { evaluation, check: own, moves })
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
        if self.moves.is_empty() {
            page.say(0, "No chosen dimension mends it by itself within its limits.");
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
