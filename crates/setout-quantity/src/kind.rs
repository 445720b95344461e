//! Kinds of quantity: products of powers of seven base kinds.

use crate::Ratio;

/// The base kinds, in the order of a [`Kind`]'s exponents. Angle is one of them, so that nothing
/// adds 5 to an angle by accident; so is money.
pub const BASE_KINDS: [&str; 7] =
    ["length", "angle", "mass", "time", "current", "temperature", "money"];

/// The units in which values of the base kinds are kept. Money is kept in the design's currency.
pub const BASE_UNITS: [&str; 7] = ["mm", "deg", "g", "s", "A", "K", "money"];

/// What sort of quantity a value is: a length, a torque, a plain number.
///
/// ```
/// use setout_quantity::{Kind, Ratio};
/// let area = Kind::LENGTH.times(Kind::LENGTH).unwrap();
/// assert_eq!(area.powered(Ratio::new(1, 2).unwrap()), Some(Kind::LENGTH));
/// assert!(Kind::LENGTH.over(Kind::LENGTH).unwrap().is_number());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Kind {
    exponents: [Ratio; 7],
}

impl Kind {
    /// A plain number, without unit.
    pub const NUMBER: Self = Self { exponents: [Ratio::ZERO; 7] };
    /// A length, kept in mm.
    pub const LENGTH: Self = Self::base(0);
    /// An angle, kept in degrees.
    pub const ANGLE: Self = Self::base(1);
    /// A mass, kept in g.
    pub const MASS: Self = Self::base(2);
    /// A time, kept in s.
    pub const TIME: Self = Self::base(3);
    /// An electric current, kept in A.
    pub const CURRENT: Self = Self::base(4);
    /// A temperature difference, kept in K.
    pub const TEMPERATURE: Self = Self::base(5);
    /// Money, kept in the design's currency.
    pub const MONEY: Self = Self::base(6);

    const fn base(index: usize) -> Self {
        let mut exponents = [Ratio::ZERO; 7];
        exponents[index] = Ratio::ONE;
        Self { exponents }
    }

    /// The base kind of a name of [`BASE_KINDS`].
    pub fn of_name(name: &str) -> Option<Self> {
        BASE_KINDS.iter().position(|known| *known == name).map(Self::base)
    }

    /// The exponents, in the order of [`BASE_KINDS`].
    pub fn exponents(self) -> [Ratio; 7] {
        self.exponents
    }

    /// Whether this is a plain number.
    pub fn is_number(self) -> bool {
        self == Self::NUMBER
    }

    /// Whether money enters it: a price, a price by weight.
    pub fn has_money(self) -> bool {
        self.exponents[6] != Ratio::ZERO
    }

    /// The kind of a product, unless an exponent grows past its range.
    pub fn times(self, other: Self) -> Option<Self> {
        self.combine(other, Ratio::plus)
    }

    /// The kind of a quotient, unless an exponent grows past its range.
    pub fn over(self, other: Self) -> Option<Self> {
        self.combine(other, |a, b| a.plus(b.negated()?))
    }

    /// The kind of a power, unless an exponent grows past its range.
    pub fn powered(self, exponent: Ratio) -> Option<Self> {
        self.combine(self, |a, _| a.times(exponent))
    }

    fn combine(self, other: Self, join: impl Fn(Ratio, Ratio) -> Option<Ratio>) -> Option<Self> {
        let mut exponents = self.exponents;
        for (mine, theirs) in exponents.iter_mut().zip(other.exponents) {
            *mine = join(*mine, theirs)?;
        }
        Some(Self { exponents })
    }
}
