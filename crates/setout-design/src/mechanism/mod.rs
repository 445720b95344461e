//! What one check or limit depends on, as a function of axes of travel and of tolerances.
//!
//! The values of a design hang on axes (chosen dimensions with a travel) and on deviations (of
//! dimensions with a tolerance). A [`Mechanism`] is the part of a design that a single margin
//! depends on, with all that does not vary made a number: it is evaluated at a point, or over a
//! whole box of axes and deviations at once.
//!
//! A dimension with a tolerance is *made*: it deviates from its nominal value by that tolerance
//! alone, and the nominal value comes from nominal values in the same pose. One without is a
//! *result*: the errors of what it is computed from run through it.

mod block;
mod build;
mod made;

use setout_formula::{Centred, Closes, Code, Interval, Judged, Machine, Requirement, Texts};
use setout_quantity::Unit;

pub use block::Blocks;
pub use build::{Mechanisms, NotComputed};
pub use made::Made;

/// What a mechanism varies with.
#[derive(Clone, Debug)]
pub struct Variable {
    /// The full name of the dimension, or that of an error that several share.
    pub name: String,
    /// Its unit; none for a shared error, which goes from -1 to 1.
    pub unit: Unit,
    /// Whether it is the deviation of the dimension from its nominal value, not an axis.
    pub is_deviation: bool,
    /// Where it lies, in base units.
    pub span: Interval,
    /// Where it stands with the mechanism at rest and everything as wanted, in base units.
    pub rest: f64,
    /// Whether it takes whole numbers alone.
    pub whole: bool,
}

impl Variable {
    /// A value of it in its unit.
    pub fn in_unit(&self, value: f64) -> f64 {
        if self.is_deviation {
            self.unit.difference_from_base(value)
        } else {
            self.unit.from_base(value)
        }
    }
}

/// One value on the way to the margin.
#[derive(Clone, Debug)]
enum Step {
    /// It does not vary.
    Fixed(f64),
    /// A variable, by its number.
    Axis(usize),
    /// A formula of earlier steps; whether its value has to be whole.
    Code(Code, bool),
    /// A nominal value, by its step, and the dimension that is made, by its number.
    Made(u32, usize),
    /// Between two earlier steps, as far as a variable from 0 to 1 says: an axis whose travel ends
    /// at values that vary.
    Between([u32; 2], usize),
    /// The sum of products of earlier steps.
    Total(Box<[(u32, u32)]>),
}

/// What is asked.
#[derive(Clone, Debug)]
enum Subject {
    Requirement(Box<Requirement>),
    /// A value between two, by their steps.
    Within {
        value: u32,
        min: Option<u32>,
        max: Option<u32>,
    },
    /// A value, by its step, that nothing is asked of.
    Value(u32),
    /// How far the value or margin of another lies above a number, or with a sign of -1 below it;
    /// whether that must not be negative.
    Away {
        of: Box<Subject>,
        from: f64,
        sign: f64,
        asks: bool,
    },
}

/// A margin as a function of what varies.
#[derive(Clone, Debug)]
pub struct Mechanism<'a> {
    variables: Vec<Variable>,
    made: Vec<Made>,
    steps: Vec<Step>,
    subject: Subject,
    texts: &'a Texts,
    unit: Unit,
    /// Less margin than this is tight, in base units.
    tight: Option<f64>,
}

/// What comes of one point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// It holds or not, by this margin in base units if there is one.
    Found {
        /// Whether the requirement holds.
        holds: bool,
        /// How far it is from failing.
        margin: Option<f64>,
    },
    /// A linkage does not close: the pose cannot be reached.
    Apart,
    /// There is no value.
    Undefined,
}

/// So many slopes are kept at once: 64 MB of them.
const MOST_SLOPES: usize = 4_000_000;

/// A margin of no more than this, in the shown unit, is none.
pub(crate) const ZERO: f64 = 1e-9;

impl Mechanism<'_> {
    /// About how much work it is to judge one box: 1 for each step and variable whose slope it
    /// carries.
    pub fn cost(&self) -> u64 {
        let slopes = if self.has_slopes() { self.variables.len() } else { 0 };
        (self.steps.len() as u64 + 1) * (slopes as u64 + 4)
    }

    /// Whether slopes are followed. Of very many variables they would take more memory than there
    /// is, and intervals alone have to do.
    fn has_slopes(&self) -> bool {
        self.steps.len().saturating_mul(self.variables.len()) <= MOST_SLOPES
    }

    /// What the margin varies with: axes first, then deviations.
    pub fn variables(&self) -> &[Variable] {
        &self.variables
    }

    /// The dimensions whose tolerances it depends on.
    pub fn made(&self) -> &[Made] {
        &self.made
    }

    /// The same with some variables at a value, which are none then. `at` gives it in base units.
    #[must_use]
    pub fn posed(&self, at: &dyn Fn(&Variable) -> Option<f64>) -> Self {
        let fixed: Vec<Option<f64>> = self.variables.iter().map(at).collect();
        let left: Vec<usize> = (0..fixed.len()).filter(|own| fixed[*own].is_none()).collect();
        let place = |old: usize| left.iter().position(|own| *own == old).unwrap_or_default();
        let steps = self.steps.iter().map(|step| match step {
            Step::Axis(own) => fixed[*own].map_or_else(|| Step::Axis(place(*own)), Step::Fixed),
            step => step.clone(),
        });
        let made =
            self.made.iter().map(|own| Made { variable: place(own.variable), ..own.clone() });
        Self {
            variables: left.iter().map(|own| self.variables[*own].clone()).collect(),
            made: made.collect(),
            steps: steps.collect(),
            subject: self.subject.clone(),
            texts: self.texts,
            unit: self.unit.clone(),
            tight: self.tight,
        }
    }

    /// How far the value or margin lies above a number, in base units; with a `sign` of -1 how far
    /// below it. Nothing is asked of it, so what is proved is its least value.
    #[must_use]
    pub fn away(&self, from: f64, sign: f64) -> Self {
        let of = Box::new(self.subject.clone());
        Self { subject: Subject::Away { of, from, sign, asks: false }, tight: None, ..self.clone() }
    }

    /// The same, asking that it is not negative: that the value or margin is no less than a number,
    /// or with a `sign` of -1 no more.
    #[must_use]
    pub fn beyond(&self, from: f64, sign: f64) -> Self {
        let of = Box::new(self.subject.clone());
        Self { subject: Subject::Away { of, from, sign, asks: true }, tight: None, ..self.clone() }
    }

    /// The unit that margins are shown in.
    pub fn unit(&self) -> &Unit {
        &self.unit
    }

    /// Less margin than this is tight, in base units.
    pub fn tight(&self) -> Option<f64> {
        self.tight
    }

    /// A margin of no more than this is none, in base units.
    pub fn zero(&self) -> f64 {
        self.unit.difference_to_base(ZERO)
    }

    /// What comes of a point, evaluated as a design at rest is. `point` has a number for every
    /// variable, in base units.
    pub fn at(&self, point: &[f64]) -> Outcome {
        let mut machine = Machine::with(self.texts);
        let mut values: Vec<f64> = Vec::with_capacity(self.steps.len());
        for step in &self.steps {
            let value = match step {
                Step::Fixed(value) => Some(*value),
                Step::Axis(variable) => Some(point[*variable]),
                Step::Code(code, whole) => {
                    machine.run(code, &values).ok().filter(|value| !whole || value.fract() == 0.0)
                }
                Step::Made(nominal, made) => {
                    Some(values[*nominal as usize] + self.made[*made].deviation(point))
                }
                Step::Between([from, to], along) => {
                    let (from, to) = (values[*from as usize], values[*to as usize]);
                    Some((from + point[*along] * (to - from)).clamp(from.min(to), to.max(from)))
                }
                Step::Total(pairs) => {
                    Some(pairs.iter().map(|(a, b)| values[*a as usize] * values[*b as usize]).sum())
                }
            };
            match value.filter(|value| value.is_finite()) {
                Some(value) => values.push(value),
                None => return self.stopped(point),
            }
        }
        self.outcome(&self.subject, &mut machine, &values).unwrap_or_else(|| self.stopped(point))
    }

    fn outcome(&self, of: &Subject, machine: &mut Machine, values: &[f64]) -> Option<Outcome> {
        Some(match of {
            Subject::Requirement(requirement) => {
                let outcome = requirement.outcome(machine, values, self.zero()).ok()?;
                Outcome::Found { holds: outcome.holds, margin: outcome.margin }
            }
            Subject::Value(step) => {
                Outcome::Found { holds: true, margin: Some(values[*step as usize]) }
            }
            Subject::Away { of, from, sign, asks } => match self.outcome(of, machine, values)? {
                Outcome::Found { margin, .. } => {
                    let margin = margin.map(|margin| sign * (margin - from));
                    let holds = margin.is_none_or(|margin| margin >= -self.zero());
                    Outcome::Found { holds: holds || !asks, margin }
                }
                other => other,
            },
            Subject::Within { value, min, max } => {
                let of = |step: u32| values[step as usize];
                let rooms =
                    [min.map(|min| of(*value) - of(min)), max.map(|max| of(max) - of(*value))];
                let room = rooms.into_iter().flatten().fold(f64::INFINITY, f64::min);
                let room = if room.abs() <= self.zero() { 0.0 } else { room };
                Outcome::Found { holds: room >= 0.0, margin: Some(room) }
            }
        })
    }

    /// Why a point has no value.
    fn stopped(&self, point: &[f64]) -> Outcome {
        let place: Vec<Interval> = point.iter().map(|at| Interval::point(*at)).collect();
        match self.judge_moving(&place).closes {
            Closes::Nowhere => Outcome::Apart,
            _ => Outcome::Undefined,
        }
    }

    /// What is known of the margin over a box. `place` has an interval for every variable, in base
    /// units.
    pub fn judge(&self, place: &[Interval]) -> Judged {
        self.judge_by(place, &|_| true)
    }

    /// The same where the slopes by variables that have one value in the box are of no interest: they
    /// are told as 0. Most of a proof's boxes are thin, and slopes are most of the work.
    pub fn judge_moving(&self, place: &[Interval]) -> Judged {
        self.judge_by(place, &|variable| place[variable].only().is_none())
    }

    fn judge_by(&self, place: &[Interval], moves: &dyn Fn(usize) -> bool) -> Judged {
        // Slopes are kept by those that count alone: lists of them are short.
        let moving: Vec<usize> = (0..place.len()).filter(|variable| moves(*variable)).collect();
        let away = |side: &Interval| side.minus(Interval::point(side.middle()));
        let away: Vec<Interval> = moving.iter().map(|variable| away(&place[*variable])).collect();
        let steps = self.read(place, &moving, &away);
        let mut judged = self.judged(&self.subject, &|slot| steps[slot as usize].clone());
        if moving.len() < place.len() {
            judged.margin = judged.margin.map(|margin| margin.numbered(&moving));
        }
        judged
    }

    fn judged<'p>(&self, of: &Subject, slots: &dyn Fn(u32) -> Centred<'p>) -> Judged {
        match of {
            Subject::Requirement(requirement) => requirement.judge(self.texts, slots, self.zero()),
            Subject::Value(step) => Judged::asking_nothing(slots(*step).into_slope()),
            Subject::Away { of, from, sign, asks } => {
                let judged = self.judged(of, slots);
                match judged.margin.as_ref().map(|margin| margin.away(*from, *sign)) {
                    Some(margin) if *asks => Judged::of_margin(margin, self.zero(), false),
                    Some(margin) => Judged::asking_nothing(margin),
                    None => Judged { holds: judged.defined.then_some(true), ..judged },
                }
            }
            Subject::Within { value, min, max } => {
                let value = slots(*value);
                let below = min.map(|min| value.minus(&slots(min)));
                let above = max.map(|max| slots(max).minus(&value));
                let room = match (below, above) {
                    (Some(below), Some(above)) => Some(below.smaller(&above)),
                    (below, above) => below.or(above),
                };
                match room {
                    Some(room) => Judged::of_margin(room.into_slope(), self.zero(), false),
                    None => Judged {
                        holds: Some(true),
                        margin: None,
                        lost: false,
                        defined: true,
                        closes: Closes::Everywhere,
                    },
                }
            }
        }
    }

    /// The derivatives of the margin by each variable at a point, and nothing for one by which it has
    /// none there: where it jumps, or has a corner.
    pub fn derivatives(&self, point: &[f64]) -> Vec<Option<f64>> {
        /// Bounds that are apart by no more than this part of what all variables do are one number.
        const ROUNDING: f64 = 1e-6;
        /// So is what is no more than this part of the margin.
        const DUST: f64 = 1e-13;
        let place: Vec<Interval> = point.iter().map(|at| Interval::point(*at)).collect();
        let judged = self.judge(&place);
        let margin = judged.margin.as_ref().filter(|_| judged.defined);
        let by = |variable| margin?.by(variable).filter(|by| by.is_bounded());
        let numbered = || self.variables.iter().enumerate();
        // How far each moves it. A derivative of nothing, as by `a` of `a / a`, is all rounding, so
        // its own size is no measure.
        let moves =
            numbered().filter_map(|(number, own)| Some(by(number)?.magnitude() * own.span.width()));
        let size = margin.map_or(0.0, |margin| margin.of.interval.magnitude());
        let room = ROUNDING * moves.sum::<f64>() + DUST * size;
        let slope = |(number, own): (usize, &Variable)| {
            let by = by(number)?;
            let found = if by.contains(0.0) { 0.0 } else { by.middle() };
            (by.width() * own.span.width() <= room).then_some(found)
        };
        numbered().map(slope).collect()
    }

    /// The slopes of the margin at a point; 0 where there is no bound.
    pub fn gradient(&self, point: &[f64]) -> Vec<f64> {
        let place: Vec<Interval> = point.iter().map(|at| Interval::point(*at)).collect();
        let judged = self.judge(&place);
        let slope = |variable: usize| {
            let by = judged.margin.as_ref()?.by(variable)?;
            by.is_bounded().then(|| by.middle())
        };
        (0..self.variables.len()).map(|variable| slope(variable).unwrap_or(0.0)).collect()
    }

    /// The values of all steps over a box, with slopes by those variables that are `moving`, numbered
    /// as they stand there. `away` is how far these go from the middle of the box.
    fn read<'p>(
        &self,
        place: &[Interval],
        moving: &[usize],
        away: &'p [Interval],
    ) -> Vec<Centred<'p>> {
        let has_slopes = self.has_slopes();
        let variable = |variable: usize| {
            let (side, middle) = (place[variable], place[variable].middle());
            match moving.binary_search(&variable) {
                _ if !has_slopes => Centred::anywhere(side, middle),
                Ok(number) => Centred::variable(number, side, middle, away),
                Err(_) => Centred::fixed(middle),
            }
        };
        let mut values: Vec<Centred<'p>> = Vec::with_capacity(self.steps.len());
        for step in &self.steps {
            let value = match step {
                Step::Fixed(value) => Centred::fixed(*value),
                Step::Axis(number) if self.variables[*number].whole => variable(*number).whole(),
                Step::Axis(number) => variable(*number),
                Step::Code(code, whole) => {
                    let value = code.centred(self.texts, &|slot| values[slot as usize].clone());
                    if *whole { value.whole() } else { value }
                }
                Step::Made(nominal, made) => {
                    let made = &self.made[*made];
                    let error = made.deviations(&variable(made.variable));
                    values[*nominal as usize].plus(&error)
                }
                Step::Between([from, to], along) => {
                    let (from, to) = (&values[*from as usize], &values[*to as usize]);
                    from.plus(&variable(*along).times(&to.minus(from)))
                }
                Step::Total(pairs) => pairs
                    .iter()
                    .map(|(a, b)| values[*a as usize].times(&values[*b as usize]))
                    .fold(Centred::fixed(0.0), |sum, term| sum.plus(&term)),
            };
            values.push(value);
        }
        values
    }
}
