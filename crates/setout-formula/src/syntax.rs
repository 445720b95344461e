//! A formula as a tree, kept as one list in which every node stands behind its children.
//!
//! The order makes every pass over a formula a plain loop: no recursion, so a sum of two thousand
//! terms costs no more stack than a sum of two.

use setout_quantity::Unit;
use smol_str::SmolStr;

use crate::Span;
use crate::functions::Function;

/// The index of a node in its formula's list.
pub(crate) type NodeId = u32;

/// One node.
#[derive(Clone, Debug)]
pub(crate) enum Node {
    /// A number in base units; `plain` is the number as written.
    Number { base: f64, plain: f64, unit: Option<Unit> },
    /// Literal text.
    Text(Box<str>),
    /// `true` or `false`.
    Truth(bool),
    /// A use of a name: an index into the formula's list of names.
    Name(u32),
    /// An operator with one operand.
    Unary(Unary, NodeId),
    /// An operator with two operands.
    Binary(Binary, NodeId, NodeId),
    /// `if(condition, then, otherwise)`.
    If(NodeId, NodeId, NodeId),
    /// A call. Its arguments are `args[first..first + count]` of the formula.
    Call { function: &'static Function, first: u32, count: u32 },
    /// What could not be read, and has its fault already.
    Broken,
}

/// Operators with one operand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Unary {
    Minus,
    Plus,
    Not,
}

/// Operators with two operands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Binary {
    Add,
    Subtract,
    Multiply,
    Divide,
    Power,
    Compare(Comparison),
    And,
    Or,
}

/// The six comparisons.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comparison {
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    Greater,
    /// `>=`
    AtLeast,
    /// `==`
    Equal,
    /// `!=`
    Unequal,
}

impl Comparison {
    /// The comparison that holds exactly when this one does not.
    #[must_use]
    pub fn turned(self) -> Self {
        match self {
            Self::Less => Self::AtLeast,
            Self::AtMost => Self::Greater,
            Self::Greater => Self::AtMost,
            Self::AtLeast => Self::Less,
            Self::Equal => Self::Unequal,
            Self::Unequal => Self::Equal,
        }
    }

    /// Whether the comparison fails when both sides are equal.
    pub fn is_strict(self) -> bool {
        matches!(self, Self::Less | Self::Greater | Self::Unequal)
    }
}

/// A use of a name in a formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NameUse {
    /// The name as written, dotted or not.
    pub name: SmolStr,
    /// Where it stands.
    pub at: Span,
}
