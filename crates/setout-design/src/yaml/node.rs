//! The tree that a table is read into.

use super::{Scalar, Span};

/// What stands at one place of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Node {
    /// A text, quoted or not.
    Scalar(Scalar),
    /// Names with what stands behind them.
    Map(Map),
    /// Things in a row.
    List(List),
    /// Nothing: `key:` with nothing behind it. The span is where the value would stand and has no
    /// width. One *with* width covers a value that could not be read: it has its fault already,
    /// so whoever reads the tree says nothing more about it.
    Empty(Span),
}

impl Node {
    /// The bytes it takes up.
    #[must_use]
    pub fn span(&self) -> Span {
        match self {
            Self::Scalar(scalar) => scalar.span.clone(),
            Self::Map(map) => map.span.clone(),
            Self::List(list) => list.span.clone(),
            Self::Empty(span) => span.clone(),
        }
    }

    /// The scalar, if it is one.
    #[must_use]
    pub fn as_scalar(&self) -> Option<&Scalar> {
        if let Self::Scalar(scalar) = self { Some(scalar) } else { None }
    }

    /// The map, if it is one.
    #[must_use]
    pub fn as_map(&self) -> Option<&Map> {
        if let Self::Map(map) = self { Some(map) } else { None }
    }

    /// The list, if it is one.
    #[must_use]
    pub fn as_list(&self) -> Option<&List> {
        if let Self::List(list) = self { Some(list) } else { None }
    }
}

/// Names with what stands behind them, in the order of the text; no name stands twice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Map {
    /// From the first key, or the opening brace, to the end of the last value or the closing one.
    pub span: Span,
    /// The entries, in the order of the text.
    pub entries: Vec<Entry>,
    /// Whether it is written in braces or stands inside brackets.
    pub flow: bool,
}

impl Map {
    /// What stands behind a name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Node> {
        self.entries.iter().find(|entry| entry.key.value == name).map(|entry| &entry.value)
    }
}

/// A name and what stands behind it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The name.
    pub key: Scalar,
    /// What stands behind it.
    pub value: Node,
}

/// Things in a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct List {
    /// From the first dash, or the opening bracket, to the end of the last item or the closing one.
    pub span: Span,
    /// The items, in the order of the text.
    pub items: Vec<Node>,
    /// Whether it is written in brackets.
    pub flow: bool,
}
