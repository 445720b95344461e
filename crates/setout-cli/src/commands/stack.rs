//! `setout stack`: how the tolerances of a chain add up.

mod keys;
mod text;

use clap::Args;
use setout::{
    Asked, Evaluation, MOST_SAMPLES, NoStack, SAMPLES, SAMPLES_OVER_TRAVEL, Stack, THREE_SIGMA,
    stack,
};

use super::Run;
use crate::call::{Call, Outcome};
use crate::draw::changes::is_dangerous;
use crate::draw::{self, CAUTION};
use crate::edits::{self, Wanted};
use crate::status::Status;
use crate::trouble::Trouble;

/// See how tolerances add up in a dimension or in a check's margin
#[derive(Debug, Args)]
#[command(
    after_help = "Four answers stand side by side. Nominal is with everything as wanted. The worst case \
is proved: nothing that the tolerances allow lies outside of it. Root sum square comes from derivatives \
and takes the result to be normal. The simulation makes many of them by chance; the same seed gives the \
same figures on every machine. Axes stand at rest, or where --at puts them; --over-travel gives the odds \
that the check fails in some pose of the travel."
)]
pub(crate) struct Flags {
    /// The dimension, or the check whose margin is meant
    #[arg(value_name = "NAME")]
    name: String,
    /// Let an axis stand elsewhere than at rest
    #[arg(long, value_name = "AXIS=VALUE")]
    at: Vec<String>,
    /// Give the odds that the check fails in some pose of the travel
    #[arg(long)]
    over_travel: bool,
    /// Which part of the results the ends hold between them
    #[arg(long, value_name = "PART", default_value = "99.73%", value_parser = coverage)]
    coverage: f64,
    /// How many samples are drawn: 1000000, and over travel 10000, if nothing is said
    #[arg(long, value_name = "NUMBER")]
    #[arg(value_parser = clap::value_parser!(u64).range(100..=MOST_SAMPLES))]
    samples: Option<u64>,
    /// What the samples are drawn by
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
}

/// Reads `95%` or `0.95`.
fn coverage(typed: &str) -> Result<f64, String> {
    let help = "write for example 95% or 0.95";
    let (number, whole) = match typed.trim().strip_suffix('%') {
        Some(number) => (number.trim_end(), 100.0),
        None => (typed.trim(), 1.0),
    };
    let part = number.parse::<f64>().map_err(|_| help.to_owned())? / whole;
    if !(part > 0.0 && part < 1.0) {
        return Err(format!("a part lies between 0 and 1; {help}"));
    }
    // The usual figure stands for three standard deviations.
    Ok(if (part - 0.9973).abs() < 1e-9 { THREE_SIGMA } else { part })
}

impl Run for Flags {
    fn run(&self, call: &mut Call<'_, '_>) -> Outcome {
        let opened = call.open()?;
        let troubles = opened.troubles();
        let posed = self.posed(&opened.evaluation)?;
        let evaluation = posed.as_ref().unwrap_or(&opened.evaluation);
        let name = super::history::full_name(evaluation.design(), self.name.trim())?;
        let asked = Asked {
            samples: self.samples.unwrap_or(SAMPLES),
            seed: self.seed,
            coverage: self.coverage,
            over_travel: match self.over_travel {
                true => self.samples.unwrap_or(SAMPLES_OVER_TRAVEL),
                false => 0,
            },
        };
        let watch = call.watch("adding up tolerances");
        let found = stack(evaluation, &name, &asked, &watch.work());
        drop(watch);
        let stack = found.map_err(|why| refused(evaluation, &name, why))?;
        if self.over_travel && (!stack.is_margin || stack.pose.is_empty()) {
            return Err(no_travel(&stack).into());
        }
        call.show(&Stacked { evaluation, stack }, &troubles, Status::Good)
    }
}

impl Flags {
    /// The design with its axes where they are asked to stand.
    fn posed(&self, evaluation: &Evaluation) -> Result<Option<Evaluation>, Trouble> {
        if self.at.is_empty() {
            return Ok(None);
        }
        let design = evaluation.design();
        let mut wanted = Vec::new();
        for typed in &self.at {
            let own = Wanted::read(design, typed)?;
            let dimensions = evaluation.dimensions();
            let is_axis = dimensions.iter().any(|dimension| {
                dimension.name == own.name && dimension.chosen && dimension.travel.is_some()
            });
            if !is_axis {
                let message = format!("`{}` is no axis of travel", own.name);
                let help = "name a chosen dimension that has a `travel`";
                return Err(Trouble::bad_call(message, help));
            }
            wanted.push(own);
        }
        let edits: Vec<(&str, &str)> =
            wanted.iter().map(|own| (own.name.as_str(), own.value.as_str())).collect();
        Ok(Some(design.with(&edits).map_err(edits::refused)?.evaluate()))
    }
}

fn refused(evaluation: &Evaluation, name: &str, why: NoStack) -> Trouble {
    match why {
        NoStack::Unknown if evaluation.value(name).is_some() => Trouble::bad_call(
            format!("`{name}` is no number"),
            "name a dimension that is one, or a check",
        ),
        NoStack::Unknown => {
            let dimensions = evaluation.dimensions();
            let checks = evaluation.checks().iter().map(|check| check.name.as_str());
            let all = checks.chain(dimensions.iter().map(|own| own.name.as_str()));
            // A name without its table is compared with others without theirs.
            let bare = |own: &str| own.rsplit('.').next().unwrap_or_default().to_owned();
            let all: Vec<(String, &str)> = all
                .map(|own| (if name.contains('.') { own.to_owned() } else { bare(own) }, own))
                .collect();
            let near = setout::nearest(name, all.iter().map(|(own, _)| own.as_str()));
            let near = near.and_then(|near| all.iter().find(|(own, _)| *own == near));
            let help = match near {
                Some((_, near)) => format!("did you mean `{near}`?"),
                None => {
                    "`setout show` lists the dimensions, `setout check --all` the checks".into()
                }
            };
            Trouble::not_found(format!("there is no dimension or check `{name}`"), help)
        }
        NoStack::NoMargin => Trouble::bad_call(
            format!("`{name}` has no margin, so there is nothing to add up"),
            "name a check that compares two numbers, or a dimension",
        ),
        NoStack::NotComputed => Trouble::bad_call(
            format!("`{name}` has no value here: something that it needs could not be computed"),
            "`setout check` says what; for an axis that stands elsewhere, look at --at",
        ),
        NoStack::NoTolerance => Trouble::bad_call(
            format!("no tolerance bears on `{name}`, so there is nothing to add up"),
            "give the dimensions that it depends on a `tolerance`",
        ),
    }
}

fn no_travel(stack: &Stack) -> Trouble {
    let message = match stack.is_margin {
        true => format!("`{}` depends on no axis of travel", stack.name),
        false => format!("`{}` is no check: no pose of it fails", stack.name),
    };
    Trouble::bad_call(message, "take out --over-travel, or name a check that moves")
}

/// How the tolerances of a chain add up.
struct Stacked<'a> {
    evaluation: &'a Evaluation,
    stack: Stack,
}

impl Stacked<'_> {
    fn caution(&self) -> Option<&'static str> {
        let check = self.evaluation.checks().iter().find(|check| check.name == self.stack.name);
        let check = check.is_some_and(|check| {
            let why = check.why.as_deref().unwrap_or_default();
            draw::bears_on_safety(&check.unit, [&*check.name, &*check.requirement, why])
        });
        let value = self.evaluation.value(&self.stack.name);
        (check || is_dangerous(&self.stack.name, value.as_ref())).then_some(CAUTION)
    }
}
