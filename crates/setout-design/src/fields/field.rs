//! The fields that things have.

use crate::What;
use crate::comparison::Sort;

/// A field of a dimension, a check or a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Field {
    /// The value of a dimension or a cell, or its text.
    Value,
    /// What a check requires.
    Require,
    /// Below which margin a check is tight.
    Tight,
    /// Why a check is there.
    Why,
    /// How a part is made.
    Made,
    /// What a part is made of.
    Material,
    /// How many there are of a part.
    Quantity,
    /// What one costs.
    Cost,
    /// What one weighs.
    Mass,
    /// A part's scripted model.
    Cad,
    /// What governs a part.
    Uses,
    /// The unit in which a dimension is shown.
    Unit,
    /// The least that it may be.
    Min,
    /// The most that it may be.
    Max,
    /// The two ends between which it moves.
    Travel,
    /// How true it comes out.
    Tolerance,
    /// How its errors lie within the tolerance.
    Spread,
    /// The error that it shares with others.
    Shares,
    /// The texts that it may be.
    OneOf,
    /// A remark.
    Note,
}

/// Those of a dimension.
const OF_DIMENSION: [Field; 10] = [
    Field::Value,
    Field::Unit,
    Field::Min,
    Field::Max,
    Field::Travel,
    Field::Tolerance,
    Field::Spread,
    Field::Shares,
    Field::OneOf,
    Field::Note,
];
/// Those of a check.
const OF_CHECK: [Field; 3] = [Field::Require, Field::Tight, Field::Why];
/// Those of a part.
const OF_PART: [Field; 8] = [
    Field::Made,
    Field::Material,
    Field::Quantity,
    Field::Cost,
    Field::Mass,
    Field::Cad,
    Field::Uses,
    Field::Note,
];

impl Field {
    /// All fields, each once.
    pub const ALL: [Self; 20] = [
        Self::Value,
        Self::Require,
        Self::Tight,
        Self::Why,
        Self::Made,
        Self::Material,
        Self::Quantity,
        Self::Cost,
        Self::Mass,
        Self::Cad,
        Self::Uses,
        Self::Unit,
        Self::Min,
        Self::Max,
        Self::Travel,
        Self::Tolerance,
        Self::Spread,
        Self::Shares,
        Self::OneOf,
        Self::Note,
    ];

    /// Its key in a table.
    pub fn key(self) -> &'static str {
        match self {
            Self::Value => "value",
            Self::Require => "require",
            Self::Tight => "tight",
            Self::Why => "why",
            Self::Made => "made",
            Self::Material => "material",
            Self::Quantity => "quantity",
            Self::Cost => "cost",
            Self::Mass => "mass",
            Self::Cad => "cad",
            Self::Uses => "uses",
            Self::Unit => "unit",
            Self::Min => "min",
            Self::Max => "max",
            Self::Travel => "travel",
            Self::Tolerance => "tolerance",
            Self::Spread => "spread",
            Self::Shares => "shares",
            Self::OneOf => "one_of",
            Self::Note => "note",
        }
    }

    /// The field of a key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|field| field.key() == key)
    }

    /// Those that things of a sort have.
    pub(crate) fn of(sort: Sort) -> &'static [Self] {
        match sort {
            Sort::Dimension => &OF_DIMENSION,
            Sort::Check => &OF_CHECK,
            Sort::Part => &OF_PART,
            Sort::Cell => &OF_DIMENSION[..1],
            _ => &[],
        }
    }

    /// Whether a thing that has it must have it.
    pub fn is_needed(self) -> bool {
        matches!(self, Self::Value | Self::Require)
    }

    /// Whether it holds several texts.
    pub fn is_list(self) -> bool {
        matches!(self, Self::Travel | Self::OneOf | Self::Uses)
    }

    /// Whether it holds texts that stand for themselves, not formulas, names or amounts.
    pub(super) fn is_literal(self) -> bool {
        matches!(
            self,
            Self::Why | Self::Made | Self::Material | Self::Cad | Self::OneOf | Self::Note
        )
    }

    /// Whether formulas read it under its own name, behind that of its part.
    pub(super) fn is_price(self) -> bool {
        matches!(self, Self::Quantity | Self::Cost | Self::Mass)
    }

    /// Whether other values follow from it.
    pub(super) fn is_value(self) -> bool {
        self == Self::Value || self.is_price()
    }

    /// Whether a comparison calls an edit of it this.
    pub(super) fn is_called(self, what: What) -> bool {
        match self {
            Self::Value => what == What::Value,
            Self::Quantity | Self::Cost | Self::Mass => {
                matches!(what, What::Value | What::Added | What::Removed)
            }
            Self::Require => what == What::Requirement,
            Self::Tight => what == What::Tight,
            Self::Why => what == What::Reason,
            Self::Made => what == What::Made,
            Self::Material => what == What::Material,
            Self::Cad => what == What::Cad,
            Self::Uses => what == What::Uses,
            Self::Unit => what == What::Unit,
            Self::Min | Self::Max => what == What::Limits,
            Self::Travel => what == What::Travel,
            Self::Tolerance | Self::Spread | Self::Shares => what == What::Tolerance,
            Self::OneOf => what == What::Choices,
            Self::Note => what == What::Note,
        }
    }
}

/// What a sort of thing is called.
pub(crate) fn called(sort: Sort) -> &'static str {
    match sort {
        Sort::Design => "the design",
        Sort::Table => "a table",
        Sort::Dimension => "a dimension",
        Sort::Schedule => "a schedule",
        Sort::Column => "a column",
        Sort::Row => "a row",
        Sort::Cell => "a cell",
        Sort::Check => "a check",
        Sort::Part => "a part",
        Sort::Price => "a part's own value",
    }
}
