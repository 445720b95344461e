//! A formula read over intervals, with the mean value form at every operation.
//!
//! Beside where a value lies in a box and its slopes, it is known what the value is at one point of
//! the box. The slopes times the way from there bound the value a second time, and where several
//! operands vary together that bound is the closer one: a difference of two that rise alike, or the
//! angles of a linkage.

use crate::code::{One, Two};
use crate::reading::Reading;
use crate::{Code, Enclosure, Interval, Slope, Texts};

/// A value in a box, its slopes there, and the value at a point of the box.
#[derive(Clone, Debug)]
pub struct Centred<'a> {
    slope: Slope,
    at: Enclosure,
    /// How far the variables go from the point; nothing for what varies with none.
    away: &'a [Interval],
}

impl<'a> Centred<'a> {
    /// A value that does not vary.
    pub fn fixed(value: f64) -> Self {
        Self::constant(value)
    }

    /// The variable of this number, anywhere in an interval. `at` is where it stands at the point,
    /// and `away` how far all variables go from it.
    pub fn variable(number: usize, place: Interval, at: f64, away: &'a [Interval]) -> Self {
        let at = Enclosure::of(Interval::point(at));
        Self { slope: Slope::variable(number, place), at, away }
    }

    /// The same without its slopes, where there are too many variables to follow them all.
    pub fn anywhere(place: Interval, at: f64) -> Self {
        let [place, at] = [place, Interval::point(at)].map(Enclosure::of);
        Self { slope: Slope::unbounded(place), at, away: &[] }
    }

    /// Where it lies, and its slopes.
    pub fn slope(&self) -> &Slope {
        &self.slope
    }

    /// The value at the point.
    pub fn at(&self) -> Enclosure {
        self.at
    }

    /// The sum of two.
    #[must_use]
    pub fn plus(&self, other: &Self) -> Self {
        Self::two(Two::Add, self, other)
    }

    /// The difference of two.
    #[must_use]
    pub fn minus(&self, other: &Self) -> Self {
        Self::two(Two::Subtract, self, other)
    }

    /// The product of two.
    #[must_use]
    pub fn times(&self, other: &Self) -> Self {
        Self::two(Two::Multiply, self, other)
    }

    /// The smaller of two.
    #[must_use]
    pub fn smaller(&self, other: &Self) -> Self {
        Self::least(self, other)
    }

    /// The same where it has to be a whole number, and known only partly where it may not be one.
    #[must_use]
    pub fn whole(self) -> Self {
        let interval = self.slope.of.interval;
        let is_whole = interval.only().is_some_and(|number| number.fract() == 0.0);
        if is_whole { self } else { self.provided(None) }
    }

    fn made(slope: Slope, at: Enclosure, of: &[&Self]) -> Self {
        let away = of.iter().map(|of| of.away).max_by_key(|away| away.len()).unwrap_or(&[]);
        Self { slope: slope.refined(at, away), at, away }
    }
}

impl Code {
    /// Where the formula's value lies in a box, with its slopes, and its value at a point of it.
    pub fn centred<'a>(&self, texts: &Texts, slots: &dyn Fn(u32) -> Centred<'a>) -> Centred<'a> {
        self.read(texts, slots)
    }
}

impl Reading for Centred<'_> {
    fn constant(number: f64) -> Self {
        Self { slope: Slope::constant(number), at: Enclosure::constant(number), away: &[] }
    }

    fn unknown() -> Self {
        Self { slope: Slope::unknown(), at: Enclosure::unknown(), away: &[] }
    }

    fn one(one: One, x: &Self) -> Self {
        Self::made(Slope::one(one, &x.slope), Enclosure::one(one, &x.at), &[x])
    }

    fn two(two: Two, a: &Self, b: &Self) -> Self {
        let slope = Slope::two(two, &a.slope, &b.slope);
        Self::made(slope, Enclosure::two(two, &a.at, &b.at), &[a, b])
    }

    fn least(a: &Self, b: &Self) -> Self {
        let slope = Slope::least(&a.slope, &b.slope);
        Self::made(slope, Enclosure::least(&a.at, &b.at), &[a, b])
    }

    fn most(a: &Self, b: &Self) -> Self {
        let slope = Slope::most(&a.slope, &b.slope);
        Self::made(slope, Enclosure::most(&a.at, &b.at), &[a, b])
    }

    fn truth(&self) -> Option<bool> {
        self.slope.truth()
    }

    fn either(condition: &Self, a: &Self, b: &Self) -> Self {
        let at = match condition.at.truth() {
            Some(true) => a.at,
            Some(false) => b.at,
            None => Enclosure::either(&condition.at, &a.at, &b.at),
        };
        let slope = Slope::either(&condition.slope, &a.slope, &b.slope);
        Self::made(slope, at, &[condition, a, b])
    }

    fn beside(&self, other: &Self) -> Self {
        Self {
            slope: self.slope.beside(&other.slope),
            at: self.at.beside(&other.at),
            away: self.away,
        }
    }

    fn in_pieces(values: Interval, of: &[&Self]) -> Self {
        let slopes: Vec<&Slope> = of.iter().map(|of| &of.slope).collect();
        let places: Vec<&Enclosure> = of.iter().map(|of| &of.at).collect();
        // One of the values, and nobody looked which.
        let at = Enclosure::in_pieces(values, &places);
        Self::made(Slope::in_pieces(values, &slopes), at, of)
    }

    fn closing(&self) -> Self {
        Self { slope: self.slope.closing(), at: self.at.closing(), away: self.away }
    }

    fn cosine_of(&self, closing: &Self) -> Self {
        Self {
            slope: self.slope.cosine_of(&closing.slope),
            at: self.at.cosine_of(&closing.at),
            away: self.away,
        }
    }

    fn within_turn(&self) -> Self {
        let (slope, at) = (self.slope.within_turn(), self.at.within_turn());
        Self { slope, at, away: self.away }
    }

    fn provided(&self, holds: Option<bool>) -> Self {
        let slope = self.slope.provided(holds);
        // What holds in all of the box holds at the point; else nothing is known of it there.
        Self { slope, at: self.at.provided(holds), away: self.away }
    }

    fn met_with(&self, other: &Self) -> Self {
        let slope = self.slope.met_with(&other.slope);
        Self::made(slope, self.at.met_with(&other.at), &[self, other])
    }

    fn place(&self) -> Enclosure {
        self.slope.of
    }
}
