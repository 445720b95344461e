//! Conditions: comparisons with their margins, joined.

use crate::engine::Worth;

/// What a condition came to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Judged {
    pub(crate) holds: bool,
    /// How far it is from turning; none for `==`, `!=` and plain truths.
    pub(crate) margin: Option<f64>,
    /// Whether both sides have a value.
    pub(crate) sound: bool,
}

impl Judged {
    pub(crate) fn plain(holds: bool) -> Self {
        Self { holds, margin: None, sound: true }
    }

    /// Whether it holds, if it has a value.
    pub(crate) fn worth(self) -> Worth {
        if self.sound { Worth::Truth(self.holds) } else { Worth::NONE }
    }

    /// `!`
    pub(crate) fn turned(self) -> Self {
        Self { holds: !self.holds, margin: self.margin.map(|margin| -margin), ..self }
    }

    /// A comparison of two values. A difference of no more than `zero` is none.
    pub(crate) fn compared(sign: &str, left: &Worth, right: &Worth, zero: f64) -> Self {
        let sound = left.is_some() && right.is_some();
        let (Worth::Number(a), Worth::Number(b)) = (left, right) else {
            return Self { sound, ..Self::plain((left == right) == (sign == "==")) };
        };
        let equal = (a - b).abs() <= zero.max(1e-12 * a.abs().max(b.abs()));
        let room = if sign.starts_with('<') { b - a } else { a - b };
        let room = if room.abs() <= zero { 0.0 } else { room };
        match sign {
            "==" | "!=" => Self { holds: equal == (sign == "=="), margin: None, sound },
            "<=" | ">=" => Self { holds: equal || room > 0.0, margin: Some(room), sound },
            _ => Self { holds: !equal && room > 0.0, margin: Some(room), sound },
        }
    }

    /// `&&` (all) or `||`. The smaller margin of those that must all hold, the larger of those of
    /// which one must; only sides that agree with the whole have a say.
    pub(crate) fn joined(self, other: Self, all: bool) -> Self {
        match (self.sound, other.sound) {
            (true, false) if self.holds != all => return self,
            (false, true) if other.holds != all => return other,
            _ => {}
        }
        let holds = if all { self.holds && other.holds } else { self.holds || other.holds };
        let sound = self.sound && other.sound;
        let margin = match (self.holds == holds, other.holds == holds) {
            (true, false) => self.margin,
            (false, true) => other.margin,
            _ => match (self.margin, other.margin) {
                (Some(a), Some(b)) if all => Some(a.min(b)),
                (Some(a), Some(b)) => Some(a.max(b)),
                (a, b) if holds == all => a.or(b),
                _ => None,
            },
        };
        Self { holds, margin, sound }
    }
}
