//! A formula read over intervals, with the mean value form at every operation.
//!
//! Beside where a value lies in a box and its slopes, it is known what the value is at one point of
//! the box. The slopes times the way from there bound the value a second time, and where several
//! operands vary together that bound is the closer one: a difference of two that rise alike, or the
//! angles of a linkage.

use std::borrow::Cow;

use crate::code::{One, Two};
use crate::reading::Reading;
use crate::{Code, Decoration, Enclosure, Interval, Slope, Texts};

/// A value in a box, its slopes there, and the value at a point of the box.
#[derive(Clone, Debug)]
pub struct Centred<'a>(Of<'a>);

#[derive(Clone, Debug)]
enum Of<'a> {
    /// What varies with nothing and is continuous, so that it is the same at the point and has no
    /// slopes. Most values of a thin box are of this sort, and cost what an interval costs.
    Still(Enclosure),
    Moving(Moving<'a>),
}

#[derive(Clone, Debug)]
struct Moving<'a> {
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
        Self(Of::Moving(Moving { slope: Slope::variable(number, place), at, away }))
    }

    /// The same without its slopes, where there are too many variables to follow them all.
    pub fn anywhere(place: Interval, at: f64) -> Self {
        let [place, at] = [place, Interval::point(at)].map(Enclosure::of);
        Self(Of::Moving(Moving { slope: Slope::unbounded(place), at, away: &[] }))
    }

    /// Where it lies, and its slopes.
    pub fn slope(&self) -> Cow<'_, Slope> {
        match &self.0 {
            Of::Still(of) => Cow::Owned(Slope::fixed(*of)),
            Of::Moving(moving) => Cow::Borrowed(&moving.slope),
        }
    }

    /// The same, taken out.
    pub fn into_slope(self) -> Slope {
        match self.0 {
            Of::Still(of) => Slope::fixed(of),
            Of::Moving(moving) => moving.slope,
        }
    }

    /// The value at the point.
    pub fn at(&self) -> Enclosure {
        match &self.0 {
            Of::Still(of) => *of,
            Of::Moving(moving) => moving.at,
        }
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
        let is_whole = self.place().interval.only().is_some_and(|number| number.fract() == 0.0);
        if is_whole { self } else { self.provided(None) }
    }

    fn away(&self) -> &'a [Interval] {
        match &self.0 {
            Of::Still(_) => &[],
            Of::Moving(moving) => moving.away,
        }
    }

    /// What comes of several: `whole` makes it of their intervals, `slope` of their slopes. The
    /// intervals suffice where none varies, and what comes of them does not jump.
    fn of<const N: usize>(
        operands: [&Self; N],
        whole: impl Fn([&Enclosure; N]) -> Enclosure,
        slope: impl FnOnce([&Slope; N]) -> Slope,
    ) -> Self {
        if operands.iter().all(|of| matches!(of.0, Of::Still(_))) {
            let places = operands.map(|of| of.at());
            let of = whole(places.each_ref());
            if of.decoration == Decoration::Continuous {
                return Self(Of::Still(of));
            }
        }
        let slopes = operands.map(Self::slope);
        let points = operands.map(Self::at);
        let at = whole(points.each_ref());
        Self::refined(slope(slopes.each_ref().map(|of| &**of)), at, &operands)
    }

    /// The same with what a function of one value knows better, which is no other value.
    fn with(
        &self,
        whole: impl Fn(&Enclosure) -> Enclosure,
        slope: impl FnOnce(&Slope) -> Slope,
    ) -> Self {
        self.with_other(self, |of, _| whole(of), |of, _| slope(of))
    }

    /// The same of two values, of which the other only says what may be wrong.
    fn with_other(
        &self,
        other: &Self,
        whole: impl Fn(&Enclosure, &Enclosure) -> Enclosure,
        slope: impl FnOnce(&Slope, &Slope) -> Slope,
    ) -> Self {
        let at = whole(&self.at(), &other.at());
        match (&self.0, &other.0) {
            (Of::Still(_), Of::Still(_)) if at.decoration == Decoration::Continuous => {
                Self(Of::Still(at))
            }
            _ => {
                let slope = slope(&self.slope(), &other.slope());
                Self(Of::Moving(Moving { slope, at, away: self.away() }))
            }
        }
    }

    fn refined(slope: Slope, at: Enclosure, of: &[&Self]) -> Self {
        let away = of.iter().map(|of| of.away()).max_by_key(|away| away.len()).unwrap_or(&[]);
        Self(Of::Moving(Moving { slope: slope.refined(at, away), at, away }))
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
        let of = Enclosure::constant(number);
        match of.decoration {
            Decoration::Continuous => Self(Of::Still(of)),
            _ => Self::refined(Slope::constant(number), of, &[]),
        }
    }

    fn unknown() -> Self {
        Self::refined(Slope::unknown(), Enclosure::unknown(), &[])
    }

    fn one(one: One, x: &Self) -> Self {
        Self::of([x], |[x]| Enclosure::one(one, x), |[x]| Slope::one(one, x))
    }

    fn two(two: Two, a: &Self, b: &Self) -> Self {
        Self::of([a, b], |[a, b]| Enclosure::two(two, a, b), |[a, b]| Slope::two(two, a, b))
    }

    fn least(a: &Self, b: &Self) -> Self {
        Self::of([a, b], |[a, b]| Enclosure::least(a, b), |[a, b]| Slope::least(a, b))
    }

    fn most(a: &Self, b: &Self) -> Self {
        Self::of([a, b], |[a, b]| Enclosure::most(a, b), |[a, b]| Slope::most(a, b))
    }

    fn truth(&self) -> Option<bool> {
        self.place().truth()
    }

    fn either(condition: &Self, a: &Self, b: &Self) -> Self {
        let at = match condition.at().truth() {
            Some(true) => a.at(),
            Some(false) => b.at(),
            None => Enclosure::either(&condition.at(), &a.at(), &b.at()),
        };
        let slope = Slope::either(&condition.slope(), &a.slope(), &b.slope());
        Self::refined(slope, at, &[condition, a, b])
    }

    fn beside(&self, other: &Self) -> Self {
        self.with_other(other, |a, b| a.beside(b), |a, b| a.beside(b))
    }

    fn in_pieces(values: Interval, of: &[&Self]) -> Self {
        let slopes: Vec<Cow<'_, Slope>> = of.iter().map(|of| of.slope()).collect();
        let slopes: Vec<&Slope> = slopes.iter().map(|of| &**of).collect();
        let places: Vec<Enclosure> = of.iter().map(|of| of.at()).collect();
        // One of the values, and nobody looked which.
        let at = Enclosure::in_pieces(values, &places.iter().collect::<Vec<&Enclosure>>());
        Self::refined(Slope::in_pieces(values, &slopes), at, of)
    }

    fn closing(&self) -> Self {
        self.with(Enclosure::closing, Slope::closing)
    }

    fn cosine_of(&self, closing: &Self) -> Self {
        self.with_other(closing, |a, b| a.cosine_of(b), |a, b| a.cosine_of(b))
    }

    fn within_turn(&self) -> Self {
        self.with(Enclosure::within_turn, Slope::within_turn)
    }

    fn provided(&self, holds: Option<bool>) -> Self {
        // What holds in all of the box holds at the point; else nothing is known of it there.
        self.with(|of| of.provided(holds), |slope| slope.provided(holds))
    }

    fn met_with(&self, other: &Self) -> Self {
        Self::of([self, other], |[a, b]| a.met_with(b), |[a, b]| a.met_with(b))
    }

    fn place(&self) -> Enclosure {
        match &self.0 {
            Of::Still(of) => *of,
            Of::Moving(moving) => moving.slope.of,
        }
    }
}
