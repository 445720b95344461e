//! How far a chosen dimension can go.
//!
//! The dimension becomes one more variable of every check and limit that it reaches, beside axes and
//! deviations. Over a span of it a proof says that they hold for every value in it, so a span that is
//! given has no hole: nothing in it was left out between two tries.

use setout_design::{DimensionResult, Evaluation, Mechanism, Mechanisms, NotComputed, Verdict};
use setout_formula::Interval;
use setout_quantity::Unit;

use crate::threads::in_threads;
use crate::{Progress, Work, prove};

/// How closely an end is found: to this part of the value, or of the way gone.
pub(crate) const CLOSE: f64 = 1e-6;

/// How far is searched, in values: no dimension is made so much larger.
const FAR: f64 = 100.0;

/// How many boxes a proof may look at while an end is being searched.
const BOXES: u64 = 200;

/// How far a dimension can go with all checks and limits holding.
#[derive(Clone, Debug, PartialEq)]
pub struct Headroom {
    /// The full name of the dimension.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// Its value, in `unit`.
    pub value: f64,
    /// Downwards.
    pub low: End,
    /// Upwards.
    pub high: End,
}

/// Where a dimension is stopped.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// How far it can go, in the dimension's unit; absent where nothing was found to stop it, and
    /// where something fails already.
    pub value: Option<f64>,
    /// What stops it: the full name of a check, or of a dimension with limits.
    pub because: Option<String>,
    /// What that is beyond: `fails` or `unknown`.
    pub verdict: Option<Verdict>,
    /// How far was searched, in the dimension's unit.
    pub searched: f64,
}

/// Why there is no headroom to be told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoHeadroom {
    /// It is no number that somebody chose, or an axis of travel.
    NotChosen,
    /// The work was stopped before the ends were known.
    Stopped,
}

/// How far a chosen dimension can go while all others stay, over the whole travel of every axis and
/// at the worst of tolerances.
///
/// # Errors
/// Where it is no number that somebody chose, or an axis of travel; and where the work was stopped.
pub fn headroom(of: &Evaluation, name: &str, work: &Work<'_>) -> Result<Headroom, NoHeadroom> {
    headroom_among(of, &of.dimensions(), name, work)
}

/// The same with the dimensions of the design, which are not worked out anew for each of many names.
fn headroom_among(
    of: &Evaluation,
    dimensions: &[DimensionResult],
    name: &str,
    work: &Work<'_>,
) -> Result<Headroom, NoHeadroom> {
    use NoHeadroom::{NotChosen, Stopped};
    let own = dimensions.iter().find(|own| own.name == name).ok_or(NotChosen)?;
    let (unit, Some(base)) = (own.unit.clone(), own.base) else { return Err(NotChosen) };
    let search = Search::new(of, name, base, &unit, work).ok_or(NotChosen)?;
    let [low, high] = search.ends(&unit);
    // Whatever was unknown for being stopped would pass for an end.
    if work.is_stopped() {
        return Err(Stopped);
    }
    Ok(Headroom { name: name.to_owned(), value: unit.from_base(base), unit, low, high })
}

/// The same for many, in several threads; those that have no headroom to be told are left out, and so
/// are those that were not finished when the work was stopped.
pub fn headrooms(of: &Evaluation, names: &[String], work: &Work<'_>) -> Vec<Headroom> {
    work.tell(Progress::ToDo(names.len()));
    let dimensions = of.dimensions();
    let found = in_threads(names, work.stop, |name| {
        let found = headroom_among(of, &dimensions, name, work);
        work.tell(Progress::Done);
        found.ok()
    });
    found.into_iter().flatten().collect()
}

/// A check or a limit.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Subject {
    Check(usize),
    Limit(usize),
}

pub(crate) struct Search<'a> {
    of: &'a Evaluation,
    all: Mechanisms<'a>,
    pub(crate) base: f64,
    pub(crate) whole: bool,
    pub(crate) work: &'a Work<'a>,
    pub(crate) subjects: Vec<Subject>,
    /// The least step that is told apart, and the largest that is tried, in base units.
    pub(crate) fine: f64,
    far: f64,
}

impl<'a> Search<'a> {
    pub(crate) fn new(
        of: &'a Evaluation,
        name: &str,
        base: f64,
        unit: &Unit,
        work: &'a Work<'a>,
    ) -> Option<Self> {
        let all = Mechanisms::of(of).with_free(name, Interval::point(base)).ok()?;
        let (checks, limits) = all.reached();
        let checks = checks.into_iter().map(Subject::Check);
        let subjects = checks.chain(limits.into_iter().map(Subject::Limit)).collect();
        let scale = base.abs().max(unit.difference_to_base(1.0).abs());
        let whole = unit.is_whole();
        let fine = if whole { 1.0 } else { CLOSE * scale };
        Some(Self { of, all, base, whole, work, subjects, fine, far: FAR * scale })
    }

    pub(crate) fn subject_name(&self, subject: Subject) -> String {
        match subject {
            Subject::Check(index) => self.of.checks()[index].name.clone(),
            Subject::Limit(index) => self.of.limits()[index].name.clone(),
        }
    }

    /// The verdict of a subject for all values between two, worst poses and deviations included.
    /// Unknown once the work was stopped.
    pub(crate) fn verdict(&self, subject: Subject, a: f64, b: f64) -> Verdict {
        if self.work.is_stopped() {
            return Verdict::Unknown;
        }
        let all = self.all.within(Interval::new(a.min(b), a.max(b)));
        let mechanism: Result<Mechanism<'_>, NotComputed> = match subject {
            Subject::Check(index) => all.of_check(index, true),
            Subject::Limit(index) => all.of_limit(index),
        };
        match mechanism {
            Ok(mechanism) => {
                let boxes = self.work.boxes.min(BOXES);
                prove(&mechanism, &Work { boxes, ..*self.work }).verdict
            }
            Err(NotComputed) => Verdict::Unknown,
        }
    }

    fn holds(&self, subject: Subject, a: f64, b: f64) -> bool {
        self.verdict(subject, a, b) < Verdict::Unknown
    }

    fn ends(&self, unit: &Unit) -> [End; 2] {
        let end = |value: Option<f64>, because: Option<(Subject, Verdict)>, far: f64| End {
            value: value.map(|value| unit.from_base(value)),
            because: because.map(|(subject, _)| self.subject_name(subject)),
            verdict: because.map(|(_, verdict)| verdict),
            searched: unit.from_base(far),
        };
        let failing = self.subjects.iter().find_map(|subject| {
            let verdict = self.verdict(*subject, self.base, self.base);
            (verdict >= Verdict::Unknown).then_some((*subject, verdict))
        });
        if failing.is_some() {
            return [-1.0, 1.0].map(|_: f64| end(None, failing, self.base));
        }
        [-1.0, 1.0].map(|side| match self.stop(side) {
            Some((value, subject, verdict)) => end(Some(value), Some((subject, verdict)), value),
            None => end(None, None, self.base + side * self.far),
        })
    }

    /// The first stop on one side: the last value up to which all hold, what does not beyond it,
    /// and what that comes to there.
    fn stop(&self, side: f64) -> Option<(f64, Subject, Verdict)> {
        let mut found: Option<(f64, Subject, Verdict)> = None;
        for subject in &self.subjects {
            let reach = found.map_or(self.far, |(value, ..)| (value - self.base).abs());
            if let Some((value, verdict)) = self.first_stop(*subject, side, reach) {
                found = Some((value, *subject, verdict));
            }
        }
        found
    }

    /// How far one subject lets the dimension go, if that is less than `reach`. Steps grow as long
    /// as they are proved, and are halved where they are not.
    fn first_stop(&self, subject: Subject, side: f64, reach: f64) -> Option<(f64, Verdict)> {
        let at = |gone: f64| self.base + side * gone;
        let (mut gone, mut bad) = (0.0_f64, None);
        // All at once: what does not stop it at all is told by one proof.
        let mut next = if self.whole { reach.floor().max(1.0) } else { reach };
        while gone < reach && !self.work.is_stopped() {
            if self.holds(subject, at(gone), at(next)) {
                gone = next;
            } else {
                bad = Some(next);
            }
            let Some(bad) = bad else { continue };
            if bad - gone <= self.fine.max(CLOSE * gone) {
                let verdict = self.verdict(subject, at(bad), at(bad));
                return Some((at(gone), verdict.max(Verdict::Unknown)));
            }
            next = gone + self.rounded((bad - gone) / 2.0);
        }
        None
    }

    pub(crate) fn rounded(&self, step: f64) -> f64 {
        if self.whole { step.floor().max(1.0) } else { step }
    }
}
