//! Which dimensions can mend a check that fails.

use setout_design::{Evaluation, Verdict};
use setout_quantity::Unit;

use crate::headroom::{NoHeadroom, Search, Subject};
use crate::{Progress, Work};

/// How a chosen dimension would mend a check by itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Move {
    /// The full name of the dimension.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// Its value, in `unit`.
    pub value: f64,
    /// The nearest value that was found at which the check holds, in `unit`.
    pub to: f64,
    /// What would fail or be unknown there that does not now, by full names.
    pub then: Vec<String>,
}

impl Move {
    /// How far it goes, in `unit`; negative downwards.
    pub fn by(&self) -> f64 {
        self.to - self.value
    }
}

/// The first step that is tried, and by how much each is longer than the one before.
const FIRST: f64 = 1e-4;
const LONGER: f64 = 1.5;

/// How far a dimension is moved at most, in values.
const FAR: f64 = 2.0;

/// For every chosen dimension that a check depends on, the nearest value at which the check holds
/// over travel and at the worst, all others staying. Values are tried in steps that grow, so a short
/// span in which it holds too can be passed over; what is told holds. The moves that break nothing
/// else come first, and of those the smallest for its value. Stopped early, it gives the moves that were
/// finished.
///
/// # Errors
/// When there is no check of this name.
pub fn mends(of: &Evaluation, check: &str, work: &Work<'_>) -> Result<Vec<Move>, NoHeadroom> {
    let index =
        of.checks().iter().position(|own| own.name == check).ok_or(NoHeadroom::NotChosen)?;
    let wanted = Subject::Check(index);
    let mut moves: Vec<Move> = Vec::new();
    let dimensions = of.dimensions();
    work.tell(Progress::ToDo(dimensions.len()));
    for dimension in dimensions {
        if work.is_stopped() {
            break;
        }
        work.tell(Progress::Done);
        let Some(base) = dimension.base.filter(|_| dimension.chosen) else { continue };
        let unit = &dimension.unit;
        let Some(search) = Search::new(of, &dimension.name, base, unit, work) else { continue };
        if !search.subjects.contains(&wanted) {
            continue;
        }
        let within = |value: f64| {
            let value = unit.from_base(value);
            dimension.min.is_none_or(|min| value >= min)
                && dimension.max.is_none_or(|max| value <= max)
        };
        let sides = [-1.0, 1.0].map(|side| search.nearest(wanted, side, &within));
        let nearest = sides.into_iter().flatten();
        let nearest = nearest.min_by(|a, b| (a - base).abs().total_cmp(&(b - base).abs()));
        let Some(to) = nearest else { continue };
        let then = search.broken(wanted, to);
        // Whatever was unknown for being stopped would pass for broken.
        if work.is_stopped() {
            break;
        }
        let (name, unit) = (dimension.name.clone(), unit.clone());
        let (value, to) = (unit.from_base(base), unit.from_base(to));
        moves.push(Move { name, value, to, unit, then });
    }
    let size = |of: &Move| of.by().abs() / of.value.abs().max(f64::MIN_POSITIVE);
    moves.sort_by(|a, b| {
        (a.then.len().cmp(&b.then.len()))
            .then(size(a).total_cmp(&size(b)))
            .then(a.name.cmp(&b.name))
    });
    Ok(moves)
}

impl Search<'_> {
    /// The nearest value on one side at which a subject holds that does not now, as far as steps
    /// tell; a little inside, so that rounding it does not lose it.
    fn nearest(&self, subject: Subject, side: f64, within: &dyn Fn(f64) -> bool) -> Option<f64> {
        let at = |gone: f64| self.base + side * gone;
        let holds = |gone: f64| self.verdict(subject, at(gone), at(gone)) < Verdict::Unknown;
        let scale = self.fine / crate::headroom::CLOSE;
        let (mut gone, mut step) = (0.0, if self.whole { 1.0 } else { FIRST * scale });
        loop {
            let next = gone + self.rounded(step);
            // What lies outside its own limits now may well come back into them.
            let leaves = within(at(gone)) && !within(at(next));
            if leaves || self.work.is_stopped() || next > FAR * scale.max(self.base.abs()) {
                return None;
            }
            if holds(next) {
                return Some(at(self.closer(&holds, gone, next)));
            }
            gone = next;
            step *= LONGER;
        }
    }

    /// The least way at which it holds, between one at which it does not and one at which it does.
    fn closer(&self, holds: &dyn Fn(f64) -> bool, mut bad: f64, mut good: f64) -> f64 {
        while good - bad > self.fine {
            let middle = bad + self.rounded((good - bad) / 2.0);
            if holds(middle) {
                good = middle;
            } else {
                bad = middle;
            }
        }
        good
    }

    /// What else would not hold at a value, and holds now.
    fn broken(&self, wanted: Subject, to: f64) -> Vec<String> {
        let is_bad = |subject: Subject, at: f64| self.verdict(subject, at, at) >= Verdict::Unknown;
        let others = self.subjects.iter().copied().filter(|subject| *subject != wanted);
        let broken = others.filter(|own| is_bad(*own, to) && !is_bad(*own, self.base));
        broken.map(|subject| self.subject_name(subject)).collect()
    }
}
