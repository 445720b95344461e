//! `setout headroom`: how far chosen dimensions can go.

mod mending;

use clap::Args;
use serde::Serialize;
use setout::{
    Amount, Evaluation, Headroom, HeadroomEnd, NoHeadroom, Progress, Verdict, Work, headroom,
    headrooms,
};

use self::mending::mending;
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
            Some(check) => {
                let mending = mending(call, evaluation, check)?;
                call.show(&mending, &troubles, Status::Good)
            }
            None => {
                let told = self.told(call, evaluation)?;
                call.show(&told, &troubles, Status::Good)
            }
        }
    }
}

impl Flags {
    fn told<'a>(
        &self,
        call: &mut Call<'_, '_>,
        evaluation: &'a Evaluation,
    ) -> Result<Told<'a>, Trouble> {
        let design = evaluation.design();
        let names = self.names.iter().map(|name| design.full_name(name.trim()));
        let names = names.collect::<Result<Vec<String>, _>>().map_err(edits::refused)?;
        let all = names.is_empty();
        let watch = call.watch("seeing how far dimensions can go");
        let work = watch.work();
        let (found, missing) = match all {
            true => of_all(evaluation, &work),
            false => of_some(evaluation, &names, &work)?,
        };
        Ok(Told { evaluation, found, missing, all })
    }
}

fn of_some(of: &Evaluation, names: &[String], work: &Work<'_>) -> Result<Found, Trouble> {
    let (mut found, mut missing) = (Vec::new(), Vec::new());
    (work.told)(Progress::ToDo(names.len()));
    for name in names {
        match headroom(of, name, work) {
            Ok(own) => found.push(own),
            Err(NoHeadroom::Stopped) => missing.push(name.clone()),
            Err(NoHeadroom::NotChosen) => return Err(not_chosen(name)),
        }
        (work.told)(Progress::Done);
    }
    Ok((found, missing))
}

fn of_all(of: &Evaluation, work: &Work<'_>) -> Found {
    // What is no number and what moves has no headroom to be told.
    let chosen = of.dimensions().into_iter().filter(|own| own.chosen && own.travel.is_none());
    let numbers = chosen.filter(|own| own.value.as_ref().and_then(Amount::number).is_some());
    let names: Vec<String> = numbers.map(|own| own.name).collect();
    let mut found = headrooms(of, &names, work);
    let is_told = |name: &String| found.iter().any(|own| own.name == *name);
    let missing = match (work.stop)() {
        true => names.iter().filter(|name| !is_told(name)).cloned().collect(),
        false => Vec::new(),
    };
    found.sort_by(|a, b| room(a).total_cmp(&room(b)).then(a.name.cmp(&b.name)));
    (found, missing)
}

/// Those of dimensions, and the names of dimensions that were not reached.
type Found = (Vec<Headroom>, Vec<String>);

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
    /// Dimensions that were not reached before the work was stopped.
    missing: Vec<String>,
    all: bool,
}

impl Told<'_> {
    fn say_missing(&self, page: &mut Page) {
        if self.missing.is_empty() {
            return;
        }
        let missing = draw::verbed(self.missing.len(), "dimension is", "missing", "missing");
        page.say(
            0,
            &format!(
                "{missing}, not reached before it was interrupted: {}.",
                self.missing.join(", ")
            ),
        );
        page.gap();
    }

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
            self.say_missing(page);
            page.say(0, OVER);
            page.gap();
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
        self.say_missing(page);
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
        let many =
            |dimensions| Document::Many { dimensions, missing: &self.missing, caution: CAUTION };
        match (self.all || !self.missing.is_empty(), <[Keys<'_>; 1]>::try_from(found)) {
            (false, Ok([one])) => Document::One { headroom: one, caution: CAUTION },
            (_, Ok([one])) => many(vec![one]),
            (_, Err(dimensions)) => many(dimensions),
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
        #[serde(skip_serializing_if = "<[String]>::is_empty")]
        missing: &'a [String],
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
