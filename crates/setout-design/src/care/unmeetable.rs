//! Limits that a dimension can never meet, whatever is chosen for others within theirs.
//!
//! A warning is only given where this is certain: bounds are followed through plain arithmetic,
//! and whatever else may be any number. So silence promises nothing.

use setout_formula::Bounds;

use super::reachable::Reachable;
use crate::Warning;
use crate::evaluate::shown;
use crate::evaluation::Evaluation;
use crate::model::{LimitNodes, Model, Node};
use crate::verdict::zero;

/// What is odd, and what can be done about it.
type Said = (String, &'static str);

/// A warning for every dimension whose limits are certain never to be met.
pub(super) fn unmeetable(evaluation: &Evaluation) -> Vec<Warning> {
    let model = &*evaluation.design.model;
    if model.limits.is_empty() {
        return Vec::new();
    }
    let mut reachable = Reachable::of(model, &evaluation.values);
    let warning = |(slot, limits): (&u32, &LimitNodes)| {
        let (message, help) = Limited::of(model, *slot, *limits).impossible(&mut reachable)?;
        let node = &model.nodes[*slot as usize];
        let (place, name) = (node.place.clone(), node.name.to_string());
        Some(Warning { place, slug: "unmeetable-limits", name, message, help: help.into() })
    };
    model.limits.iter().filter_map(warning).collect()
}

/// Which way a limit keeps a value.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    Up,
    Down,
}

/// An end that a dimension has to keep to, and the words for it.
struct End {
    node: u32,
    way: Way,
    name: &'static str,
    is: &'static str,
}

/// A dimension with limits.
struct Limited<'m> {
    node: &'m Node,
    slot: u32,
    chosen: bool,
    limits: LimitNodes,
}

impl<'m> Limited<'m> {
    fn of(model: &'m Model, slot: u32, limits: LimitNodes) -> Self {
        let chosen = model.is_chosen(slot);
        Self { node: &model.nodes[slot as usize], slot, chosen, limits }
    }

    fn impossible(&self, reachable: &mut Reachable<'_>) -> Option<Said> {
        self.chases_itself(reachable)
            .or_else(|| self.travels_elsewhere(reachable))
            .or_else(|| self.never_comes(reachable))
    }

    /// The ends that it has to keep to.
    fn ends(&self) -> impl Iterator<Item = End> {
        let [from, to] = self.limits.travel.map_or([None; 2], |ends| ends.map(Some));
        // The travel of a free axis is where it goes, not where it may go.
        let [from, to] = if self.chosen { [None; 2] } else { [from, to] };
        let ends = [
            (self.limits.min, Way::Up, "`min`", "`min` is"),
            (self.limits.max, Way::Down, "`max`", "`max` is"),
            (from, Way::Up, "travel", "travel begins at"),
            (to, Way::Down, "travel", "travel ends at"),
        ];
        ends.into_iter()
            .filter_map(|(node, way, name, is)| Some(End { node: node?, way, name, is }))
    }

    /// A limit that follows from the dimension itself and always lies beyond it.
    fn chases_itself(&self, reachable: &mut Reachable<'_>) -> Option<Said> {
        self.ends().find_map(|End { node, way, name, .. }| {
            // How far the dimension lies above the end; its own size may cancel out of that.
            let above = reachable.above(self.slot, node)?;
            let side = match way {
                Way::Up if above.high < -self.least() => "above",
                Way::Down if above.low > self.least() => "below",
                _ => return None,
            };
            let message =
                format!("whatever `{}` comes to, its {name} lies {side} that", self.node.name);
            Some((message, "let the limit come from something else"))
        })
    }

    /// A travel that lies wholly outside of the limits.
    fn travels_elsewhere(&self, reachable: &Reachable<'_>) -> Option<Said> {
        let [from, to] = self.limits.travel?.map(|end| reachable.bounds(end));
        let [min, max] =
            [self.limits.min, self.limits.max].map(|end| end.map(|end| reachable.bounds(end)));
        let (name, help) = (&self.node.name, "let the travel and the limits meet");
        if let Some(min) = min.filter(|min| to.high < min.low - self.least()) {
            let (to, min) = (self.at_most(to), self.at_least(min));
            return Some((
                format!("the travel of `{name}` ends at {to}, its `min` is {min}"),
                help,
            ));
        }
        let max = max.filter(|max| from.low > max.high + self.least())?;
        let (from, max) = (self.at_least(from), self.at_most(max));
        Some((format!("the travel of `{name}` begins at {from}, its `max` is {max}"), help))
    }

    /// A formula that never comes within the limits.
    fn never_comes(&self, reachable: &Reachable<'_>) -> Option<Said> {
        if self.chosen {
            return None;
        }
        let (name, own) = (&self.node.name, reachable.bounds(self.slot));
        self.ends().find_map(|End { node, way, is, .. }| {
            let limit = reachable.bounds(node);
            let message = match way {
                Way::Up if own.high < limit.low - self.least() => format!(
                    "`{name}` comes to {} at most, its {is} {}",
                    shown(own.high, &self.node.unit),
                    self.at_least(limit)
                ),
                Way::Down if own.low > limit.high + self.least() => format!(
                    "`{name}` comes to {} at least, its {is} {}",
                    shown(own.low, &self.node.unit),
                    self.at_most(limit)
                ),
                _ => return None,
            };
            Some((
                message,
                "change its formula or its limits, or widen those of what it comes from",
            ))
        })
    }

    /// Less than this is nothing.
    fn least(&self) -> f64 {
        zero(&self.node.unit)
    }

    fn is_one(&self, end: Bounds) -> bool {
        end.high - end.low <= self.least()
    }

    fn at_least(&self, end: Bounds) -> String {
        let or_more = if self.is_one(end) { "" } else { " or more" };
        shown(end.low, &self.node.unit) + or_more
    }

    fn at_most(&self, end: Bounds) -> String {
        let or_less = if self.is_one(end) { "" } else { " or less" };
        shown(end.high, &self.node.unit) + or_less
    }
}
