//! One unit: a symbol, a kind and a factor.

use std::sync::Arc;

use smol_str::SmolStr;

use crate::{Kind, Ratio};

/// A unit of measure, simple (`mm`) or compound (`N·m`, `deg/s`).
///
/// A number in the unit becomes base units as `number * times / over`. Two whole factors instead
/// of one keep decimal units exact: 2.5 µm is `2.5 / 1000`, which rounds once, where
/// `2.5 * 0.001` rounds twice.
///
/// Cloning one costs next to nothing: every quantity of a design has its own.
#[derive(Clone)]
pub struct Unit(Kept);

/// Where it is kept. Nearly all units are those of the standard table, which stays.
#[derive(Clone)]
enum Kept {
    Standard(&'static Is),
    Made(Arc<Is>),
}

/// What a unit is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Is {
    pub(crate) symbol: SmolStr,
    pub(crate) kind: Kind,
    pub(crate) times: f64,
    pub(crate) over: f64,
    pub(crate) flag: Flag,
}

impl From<Is> for Unit {
    fn from(is: Is) -> Self {
        Self(Kept::Made(Arc::new(is)))
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.is(), other.is()) || self.is() == other.is()
    }
}

impl std::fmt::Debug for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.is().fmt(f)
    }
}

/// What sets a unit apart from a plain factor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Flag {
    /// Nothing.
    None,
    /// A reading on the Celsius scale: its zero lies at 273.15 K.
    Reading,
    /// Only whole numbers.
    Whole,
}

/// Where the Celsius scale has its zero, in K. By definition.
const CELSIUS_ZERO: f64 = 273.15;

impl Unit {
    /// The unit of plain numbers, which has no symbol.
    pub fn number() -> Self {
        static NUMBER: Is = Is {
            symbol: SmolStr::new_static(""),
            kind: Kind::NUMBER,
            times: 1.0,
            over: 1.0,
            flag: Flag::None,
        };
        Self(Kept::Standard(&NUMBER))
    }

    pub(crate) fn is(&self) -> &Is {
        match &self.0 {
            Kept::Standard(is) => is,
            Kept::Made(is) => is,
        }
    }

    /// The same unit, which stays where it is kept.
    pub(crate) fn shared(&'static self) -> Self {
        Self(Kept::Standard(self.is()))
    }

    /// The symbol as it was written or is shown: `mm`, `N·m`, `mm^2`, `""` for plain numbers.
    pub fn symbol(&self) -> &str {
        &self.is().symbol
    }

    /// What the unit measures. For a reading such as `°C` this is the temperature difference.
    pub fn kind(&self) -> Kind {
        self.is().kind
    }

    /// Whether numbers in this unit are readings on a scale whose zero is not the kind's zero.
    pub fn is_reading(&self) -> bool {
        self.is().flag == Flag::Reading
    }

    /// Whether only whole numbers make sense in this unit (`count`).
    pub fn is_whole(&self) -> bool {
        self.is().flag == Flag::Whole
    }

    /// The value in base units of a number in this unit.
    pub fn to_base(&self, number: f64) -> f64 {
        let Is { times, over, .. } = *self.is();
        let scaled = if times == 1.0 { number } else { number * times };
        let scaled = if over == 1.0 { scaled } else { scaled / over };
        if self.is_reading() { scaled + CELSIUS_ZERO } else { scaled }
    }

    /// The number in this unit of a value in base units.
    ///
    /// Of all numbers that [`to_base`](Self::to_base) takes to `value` this is the one with the
    /// fewest digits, so that what was written as 0.3 in is not shown as 0.30000000000000004.
    /// Where none takes it there exactly, it is the nearest.
    pub fn from_base(&self, value: f64) -> f64 {
        let shifted = if self.is_reading() { value - CELSIUS_ZERO } else { value };
        self.fewest_digits(shifted * self.is().over / self.is().times, value)
    }

    /// The number in this unit of a difference of two values: a margin, a tolerance. Unlike
    /// [`from_base`](Self::from_base) a reading's zero does not enter.
    pub fn difference_from_base(&self, value: f64) -> f64 {
        value * self.is().over / self.is().times
    }

    /// The value in base units of a difference in this unit. Unlike [`to_base`](Self::to_base) a
    /// reading's zero does not enter.
    pub fn difference_to_base(&self, number: f64) -> f64 {
        number * self.is().times / self.is().over
    }

    fn fewest_digits(&self, near: f64, value: f64) -> f64 {
        if (self.is().times == 1.0 && self.is().over == 1.0 && !self.is_reading())
            || !near.is_finite()
        {
            return near;
        }
        let digits = [15, 16].map(|digits| round_to(near, digits));
        digits.into_iter().find(|short| self.to_base(*short) == value).unwrap_or(near)
    }

    pub(crate) fn renamed(&self, symbol: &str) -> Self {
        Is { symbol: symbol.into(), ..self.is().clone() }.into()
    }

    /// The compound with another unit raised to a power, without a symbol yet.
    pub(crate) fn joined(&self, other: &Self, power: i16) -> Option<Self> {
        let (this, other) = (self.is(), other.is());
        let kind = this.kind.times(other.kind.powered(Ratio::whole(power))?)?;
        let (mut times, mut over) = (this.times, this.over);
        for _ in 0..power.unsigned_abs() {
            let (up, down) =
                if power > 0 { (other.times, other.over) } else { (other.over, other.times) };
            times *= up;
            over *= down;
        }
        let usable = times.is_normal() && over.is_normal();
        usable
            .then(|| Is { symbol: SmolStr::default(), kind, times, over, flag: Flag::None }.into())
    }
}

fn round_to(number: f64, digits: usize) -> f64 {
    format!("{number:.*e}", digits - 1).parse().unwrap_or(number)
}
