//! What came out: a figure for each thing measured, with its goal.

use crate::turns::{Ratio, Times};

/// What a figure has to come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Goal {
    /// So much of the peer, or less.
    AtMost(f64),
    /// So many times the peer, or more.
    AtLeast(f64),
    /// It is only told.
    None,
}

/// Something measured against a peer.
#[derive(Clone, Debug)]
pub struct Figure {
    /// What was measured.
    pub what: String,
    /// What against.
    pub peer: String,
    /// How it stands to its peer.
    pub ratio: Ratio,
    /// What it has to come to.
    pub goal: Goal,
    /// Whether the ratio says how many times as fast it is, and not which share it takes.
    pub is_speed: bool,
    /// What it took on this machine: no result, for times are of a machine.
    pub here: String,
}

impl Figure {
    /// How much of the peer's time something takes.
    pub fn share(
        what: impl Into<String>,
        time: &Times,
        peer: impl Into<String>,
        of: &Times,
    ) -> Self {
        let here = format!("{} and {}", seconds(time.median()), seconds(of.median()));
        let ratio = time.over(of);
        Self {
            what: what.into(),
            peer: peer.into(),
            ratio,
            goal: Goal::None,
            is_speed: false,
            here,
        }
    }

    /// How many times as fast as the peer something is.
    pub fn speed(
        what: impl Into<String>,
        time: &Times,
        peer: impl Into<String>,
        of: &Times,
    ) -> Self {
        Self { ratio: of.over(time), is_speed: true, ..Self::share(what, time, peer, of) }
    }

    /// Something counted against a limit.
    pub fn count(what: impl Into<String>, count: f64, unit: &str, most: f64) -> Self {
        Self {
            what: what.into(),
            peer: format!("{most} {unit}"),
            ratio: Ratio::exact(count / most),
            goal: Goal::AtMost(1.0),
            is_speed: false,
            here: format!("{count:.0} {unit}"),
        }
    }

    /// The same with a goal.
    #[must_use]
    pub fn at_most(self, most: f64) -> Self {
        Self { goal: Goal::AtMost(most), ..self }
    }

    /// The same with a goal.
    #[must_use]
    pub fn at_least(self, least: f64) -> Self {
        Self { goal: Goal::AtLeast(least), ..self }
    }

    /// The same without a goal.
    #[must_use]
    pub fn told(self) -> Self {
        Self { goal: Goal::None, ..self }
    }

    /// Whether it comes to its goal.
    pub fn is_met(&self) -> bool {
        let ratio = self.ratio.median();
        match self.goal {
            Goal::AtMost(most) => ratio <= most,
            Goal::AtLeast(least) => ratio >= least,
            Goal::None => true,
        }
    }

    /// The cells of its row.
    pub fn cells(&self) -> [String; 6] {
        let times = if self.is_speed { " ×" } else { "" };
        let spread = self.ratio.spread();
        [
            self.what.clone(),
            self.peer.clone(),
            format!("{}{times}", digits(self.ratio.median())),
            spread
                .map_or("exact".into(), |[low, high]| format!("{}–{}", digits(low), digits(high))),
            match self.goal {
                Goal::AtMost(most) => format!("≤ {most}"),
                Goal::AtLeast(least) => format!("≥ {least} ×"),
                Goal::None => String::new(),
            } + if self.is_met() { "" } else { ": NOT MET" },
            self.here.clone(),
        ]
    }
}

/// Three digits that count.
pub(crate) fn digits(ratio: f64) -> String {
    if ratio == 0.0 || !ratio.is_finite() {
        return format!("{ratio}");
    }
    let decimals = (2 - ratio.abs().log10().floor() as i32).clamp(0, 7) as usize;
    format!("{ratio:.decimals$}")
}

/// A time, in a unit that suits it.
pub fn seconds(time: f64) -> String {
    let units = [(1.0, "s"), (1e-3, "ms"), (1e-6, "µs")];
    let (size, unit) =
        units.into_iter().find(|(size, _)| time.abs() >= *size).unwrap_or((1e-9, "ns"));
    format!("{} {unit}", digits(time / size))
}

#[cfg(test)]
mod tests {
    use super::{Figure, digits, seconds};

    #[test]
    fn three_digits_count() {
        let of = [0.000_523_4, 0.0521, 1.234_5, 12.34, 1234.5];
        assert_eq!(of.map(digits), ["0.000523", "0.0521", "1.23", "12.3", "1234"]);
        assert_eq!([0.0123, 2.0, 3.2e-6].map(seconds), ["12.3 ms", "2.00 s", "3.20 µs"]);
    }

    #[test]
    fn a_figure_falls_short_on_its_own_side() {
        let figure = Figure::count("a proof", 9.0, "boxes", 10.0);
        assert!(figure.is_met() && !figure.clone().at_most(0.8).is_met());
        assert!(figure.clone().at_least(0.9).is_met() && !figure.clone().at_least(0.91).is_met());
        assert!(figure.at_least(1.0).cells()[4].ends_with("NOT MET"));
    }
}
