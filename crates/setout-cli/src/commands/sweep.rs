//! `setout sweep`: one check over all poses.

use clap::Args;
use serde::Serialize;
use setout::{
    BOXES, Evaluation, MOST_BOXES, Mechanism, Mechanisms, State, Variable, Verdict, Work, prove,
    state,
};

use super::Run;
use crate::call::{Call, Outcome};
use crate::draw::changes::is_dangerous;
use crate::draw::{self, Answer, CAUTION, Cell, Columns, Ink, Page, json, measure};
use crate::status::Status;
use crate::trouble::Trouble;

/// Prove a check over the whole travel of its axes, or find the pose in which it fails
#[derive(Debug, Args)]
#[command(
    after_help = "The name is that of a check, or of a dimension with limits. The verdict is for \
every pose of the travel at nominal dimensions; with --worst also for every dimension anywhere in \
its tolerance. The margin is the least that a pose was found to have. `unknown` says that the work \
allowed did not decide it: give it more --boxes, or narrow the travel. Exit status 0 if it holds, if \
only tightly, 1 if it fails or is unknown."
)]
pub(crate) struct Flags {
    /// The check, or the dimension with limits
    #[arg(value_name = "CHECK")]
    name: String,
    /// Let dimensions lie anywhere in their tolerances as well
    #[arg(long)]
    worst: bool,
    /// Into how many boxes the travel may be divided
    #[arg(long, value_name = "NUMBER", default_value_t = BOXES)]
    #[arg(value_parser = clap::value_parser!(u64).range(1..=MOST_BOXES))]
    boxes: u64,
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        let troubles = opened.troubles();
        let evaluation = &opened.evaluation;
        let mechanisms = Mechanisms::of(evaluation);
        let (subject, mechanism) = self.subject(evaluation, &mechanisms)?;
        let watch = call.watch(format!("proving {}", subject.name));
        let work = Work { boxes: self.boxes, ..watch.work() };
        let found = mechanism.as_ref().map(|mechanism| state(mechanism, &prove(mechanism, &work)));
        drop(watch);
        let swept = Swept {
            evaluation,
            subject,
            worst: self.worst,
            variables: mechanism.as_ref().map_or(&[][..], Mechanism::variables),
            made: mechanism.as_ref().map_or(0, |mechanism| mechanism.made().len()),
            found,
        };
        let status = Status::failing_if(swept.verdict() >= Verdict::Unknown);
        call.show(&swept, &troubles, status)
    }
}

/// What is swept.
struct Subject {
    name: String,
    unit: String,
    requirement: Option<String>,
    why: Option<String>,
}

impl Flags {
    /// What a name stands for, and what it depends on: nothing where that has no value.
    fn subject<'a>(
        &self,
        evaluation: &Evaluation,
        mechanisms: &Mechanisms<'a>,
    ) -> Result<(Subject, Option<Mechanism<'a>>), Trouble> {
        let name = super::history::full_name(evaluation.design(), self.name.trim())?;
        let checks = evaluation.checks();
        if let Some(index) = checks.iter().position(|check| check.name == name) {
            let check = &checks[index];
            let subject = Subject {
                name,
                unit: check.unit.symbol().to_owned(),
                requirement: Some(check.requirement.clone()),
                why: check.why.clone(),
            };
            return Ok((subject, mechanisms.of_check(index, self.worst).ok()));
        }
        let limits = evaluation.limits();
        if let Some(index) = limits.iter().position(|limit| limit.name == name) {
            let unit = limits[index].unit.symbol();
            let between = draw::limits(limits[index].min, limits[index].max, unit);
            let subject = Subject { name, unit: unit.to_owned(), requirement: between, why: None };
            return Ok((subject, mechanisms.of_limit(index).ok()));
        }
        let known = evaluation.checks().iter().map(|check| check.name.as_str());
        let help = match setout::nearest(&name, known) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "`setout check --all` lists the checks, and dimensions with limits".to_owned(),
        };
        Err(Trouble::not_found(format!("there is no check or limit `{name}`"), help))
    }
}

/// A check over all poses.
struct Swept<'a> {
    evaluation: &'a Evaluation,
    subject: Subject,
    worst: bool,
    variables: &'a [Variable],
    /// How many dimensions have a tolerance that bears on it.
    made: usize,
    /// Absent where something that it needs has no value.
    found: Option<State>,
}

impl Swept<'_> {
    fn verdict(&self) -> Verdict {
        self.found.as_ref().map_or(Verdict::Unknown, |found| found.verdict)
    }

    fn caution(&self) -> Option<&'static str> {
        let unit = self.evaluation.checks().iter().find(|check| check.name == self.subject.name);
        let check = unit.is_some_and(|check| {
            let why = check.why.as_deref().unwrap_or_default();
            draw::bears_on_safety(&check.unit, [&*check.name, &*check.requirement, why])
        });
        let value = self.evaluation.value(&self.subject.name);
        (check || is_dangerous(&self.subject.name, value.as_ref())).then_some(CAUTION)
    }

    /// What it was judged over.
    fn over(&self) -> String {
        let axes = self.variables.iter().filter(|variable| !variable.is_deviation).count();
        let made = self.made;
        let axes = match axes {
            0 => "It depends on no axis of travel".to_owned(),
            1 => "Judged over the whole travel of 1 axis".to_owned(),
            axes => format!("Judged over the whole travel of {axes} axes"),
        };
        match (self.worst, made) {
            (false, _) => format!("{axes}, at nominal dimensions."),
            (true, 0) => format!("{axes}; no tolerance bears on it."),
            (true, made) => {
                format!("{axes} and the tolerances of {}.", draw::count(made, "dimension"))
            }
        }
    }
}

impl Answer for Swept<'_> {
    fn text(&self, page: &mut Page) {
        draw::title(self.evaluation, page);
        page.gap();
        page.heading(&self.subject.name);
        if let Some(requirement) = &self.subject.requirement {
            page.entry(0, "requires", requirement);
        }
        if let Some(why) = &self.subject.why {
            page.entry(0, "because", why);
        }
        page.gap();
        match &self.found {
            Some(found) => draw::state_of_sweep(found, &self.subject.unit, page),
            None => page.say(0, "It could not be judged: something that it needs has no value."),
        }
        let axes = self.variables.iter().filter(|variable| !variable.is_deviation);
        let mut columns = Columns::default();
        for axis in axes {
            let unit = axis.unit.symbol();
            let ends = [axis.span.low(), axis.span.high()].map(|end| axis.in_unit(end));
            columns.row([
                Cell::text(Ink::Plain, &axis.name),
                Cell::text(Ink::Plain, &format!("{} to {}", ends[0], measure(ends[1], unit))),
            ]);
        }
        page.gap();
        page.say(0, &self.over());
        columns.draw(2, page);
        if let Some(caution) = self.caution() {
            page.gap();
            page.say(0, caution);
        }
    }

    fn json(&self) -> impl Serialize {
        Keys {
            check: &self.subject.name,
            verdict: self.verdict().as_str(),
            how: self.found.as_ref().map(|found| found.how.as_str()),
            unit: &self.subject.unit,
            worst: self.worst,
            found: self.found.as_ref().map(Into::into),
            axes: self.variables.iter().filter(|own| !own.is_deviation).map(Axis::of).collect(),
            caution: self.caution(),
        }
    }
}

#[derive(Serialize)]
struct Keys<'a> {
    check: &'a str,
    verdict: &'a str,
    how: Option<&'a str>,
    unit: &'a str,
    /// Whether dimensions lay anywhere in their tolerances as well.
    worst: bool,
    #[serde(flatten)]
    found: Option<json::Swept<'a>>,
    axes: Vec<Axis<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<&'a str>,
}

#[derive(Serialize)]
struct Axis<'a> {
    name: &'a str,
    from: f64,
    to: f64,
    unit: &'a str,
}

impl<'a> Axis<'a> {
    fn of(variable: &'a Variable) -> Self {
        Self {
            name: &variable.name,
            from: json::unsigned_zero(variable.in_unit(variable.span.low())),
            to: json::unsigned_zero(variable.in_unit(variable.span.high())),
            unit: variable.unit.symbol(),
        }
    }
}
