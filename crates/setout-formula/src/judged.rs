//! A requirement read over intervals: whether it holds in the whole of a box.

use crate::reading::Reading;
use crate::requirement::Part;
use crate::syntax::Comparison;
use crate::{Centred, Closes, Code, Requirement, Slope, Texts};

/// What is known of a requirement over a box.
#[derive(Clone, Debug)]
pub struct Judged {
    /// Whether it holds everywhere, or nowhere; `None` where neither is known.
    pub holds: Option<bool>,
    /// Its margin in base units, if it has one.
    pub margin: Option<Slope>,
    /// Whether some pose may have a margin all the same of which nothing is known.
    pub lost: bool,
    /// Whether it has a value in every pose that can be reached.
    pub defined: bool,
    /// Whether the linkages close that it depends on.
    pub closes: Closes,
}

impl Judged {
    /// Judges a margin: it must not be negative, or with `is_strict` be positive. No more than
    /// `zero` counts as 0.
    pub fn of_margin(margin: Slope, zero: f64, is_strict: bool) -> Self {
        let (low, high) = (margin.of.interval.low(), margin.of.interval.high());
        let defined = margin.of.is_defined();
        let holds = match () {
            () if margin.of.interval.is_empty() => None,
            () if defined && if is_strict { low > zero } else { low >= -zero } => Some(true),
            () if defined && if is_strict { high <= zero } else { high < -zero } => Some(false),
            () => None,
        };
        Self { holds, defined, closes: margin.of.closes, margin: Some(margin), lost: false }
    }
}

impl Judged {
    /// A value that nothing is asked of.
    pub fn asking_nothing(value: Slope) -> Self {
        let defined = value.of.is_defined();
        let holds = (defined && !value.of.interval.is_empty()).then_some(true);
        Self { holds, defined, closes: value.of.closes, margin: Some(value), lost: false }
    }
}

impl Requirement {
    /// Judges it over a box; `slots` gives what the names stand for. Margins of no more than `zero`,
    /// in base units, count as 0.
    pub fn judge<'a>(
        &self,
        texts: &Texts,
        slots: &dyn Fn(u32) -> Centred<'a>,
        zero: f64,
    ) -> Judged {
        let mut made: Vec<Judged> = Vec::with_capacity(self.parts.len());
        for part in &self.parts {
            let judged = match part {
                Part::Compare { comparison, left, right } => {
                    compared(texts, slots, zero, *comparison, [left, right])
                }
                Part::Test { code, turned } => tested(texts, slots, code, *turned),
                Part::And(a, b) => joined(&made[*a], &made[*b], true),
                Part::Or(a, b) => joined(&made[*a], &made[*b], false),
                Part::Choice { condition, then, otherwise } => {
                    let condition = condition.centred(texts, slots);
                    chosen(&condition.slope(), &made[*then], &made[*otherwise])
                }
            };
            made.push(judged);
        }
        made.pop().unwrap_or(Judged {
            holds: None,
            margin: None,
            lost: false,
            defined: false,
            closes: Closes::Everywhere,
        })
    }
}

fn compared<'a>(
    texts: &Texts,
    slots: &dyn Fn(u32) -> Centred<'a>,
    zero: f64,
    comparison: Comparison,
    [left, right]: [&Code; 2],
) -> Judged {
    let is_rising = matches!(comparison, Comparison::Greater | Comparison::AtLeast);
    let (more, less) = if is_rising { (left, right) } else { (right, left) };
    let margin = more.centred(texts, slots).minus(&less.centred(texts, slots));
    let is_strict = matches!(comparison, Comparison::Greater | Comparison::Less);
    Judged::of_margin(margin.into_slope(), zero, is_strict)
}

fn tested<'a>(
    texts: &Texts,
    slots: &dyn Fn(u32) -> Centred<'a>,
    code: &Code,
    turned: bool,
) -> Judged {
    let truth = code.centred(texts, slots);
    let of = truth.slope().of;
    Judged {
        holds: of.truth().map(|truth| truth != turned),
        margin: None,
        lost: false,
        defined: of.is_defined(),
        closes: of.closes,
    }
}

/// Both, or one of both. Where one side decides, it does not matter what the other comes to.
fn joined(a: &Judged, b: &Judged, all: bool) -> Judged {
    let decides = |side: &Judged| side.holds == Some(!all);
    let holds = match (a.holds, b.holds) {
        _ if decides(a) || decides(b) => Some(!all),
        (Some(_), Some(_)) => Some(all),
        _ => None,
    };
    let margin = match (&a.margin, &b.margin) {
        (Some(x), Some(y)) => {
            let both = if all { Slope::least(x, y) } else { Slope::most(x, y) };
            // Where one side has no value, the other one decides by its own margin.
            let both = if b.defined { both } else { Slope::either(&both, &both, x) };
            Some(if a.defined { both } else { Slope::either(&both, &both, y) })
        }
        // A test without margin leaves it to the other side where it does not decide.
        (None, Some(_)) if a.holds == Some(all) && !a.lost => b.margin.clone(),
        (Some(_), None) if b.holds == Some(all) && !b.lost => a.margin.clone(),
        _ => None,
    };
    let has_none = |side: &Judged| side.margin.is_none() && !side.lost;
    // A test that decides is all that speaks for the whole, so that has no margin either.
    let is_none =
        (has_none(a) && has_none(b)) || (has_none(a) && decides(a)) || (has_none(b) && decides(b));
    let lost = margin.is_none() && !is_none;
    let defined = (a.defined && b.defined) || decides(a) || decides(b);
    Judged { holds, margin, lost, defined, closes: a.closes.min(b.closes) }
}

fn chosen(condition: &Slope, then: &Judged, otherwise: &Judged) -> Judged {
    let arm = match condition.truth() {
        Some(true) => Some(then),
        Some(false) => Some(otherwise),
        None => None,
    };
    if let Some(arm) = arm {
        return Judged { closes: arm.closes.min(condition.of.closes), ..arm.clone() };
    }
    let margin = match (&then.margin, &otherwise.margin) {
        (Some(a), Some(b)) => Some(Slope::either(condition, a, b)),
        _ => None,
    };
    let has_none = [then, otherwise].iter().all(|arm| arm.margin.is_none() && !arm.lost);
    let lost = margin.is_none() && !has_none;
    let closes = if then.closes == otherwise.closes { then.closes } else { Closes::Perhaps };
    // Without a condition there is no arm that could hold.
    let alike = then.holds == otherwise.holds && condition.of.is_defined();
    Judged {
        holds: if alike { then.holds } else { None },
        margin,
        lost,
        defined: then.defined && otherwise.defined && condition.of.is_defined(),
        closes: closes.min(condition.of.closes),
    }
}
