//! Functions that are given by a table or by a mechanism: fixed parameters, texts among them.

use setout_quantity::Kind;

use crate::functions::{Does, Function, Rule};

/// What a parameter of such a function takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parameter {
    /// A text, such as `"M4"`.
    Text,
    /// A quantity of this kind, in base units.
    Quantity(Kind),
}

/// What such a function gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gives {
    /// A quantity of this kind, in base units.
    Quantity(Kind),
    /// One of these texts.
    Text(&'static [&'static str]),
}

/// An argument of a call.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Argument<'a> {
    /// A number in base units.
    Number(f64),
    /// A text.
    Text(&'a str),
}

impl Argument<'_> {
    /// The number; 0 of a text. Kinds are checked before anything is called.
    pub fn number(self) -> f64 {
        match self {
            Self::Number(number) => number,
            Self::Text(_) => 0.0,
        }
    }
}

impl<'a> Argument<'a> {
    /// The text; empty for a number. Kinds are checked before anything is called.
    pub fn text(self) -> &'a str {
        match self {
            Self::Text(text) => text,
            Self::Number(_) => "",
        }
    }
}

/// What a call found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found {
    /// A number in base units.
    Number(f64),
    /// One of the texts that the function says it gives.
    Text(&'static str),
}

/// Why a call found nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotFound {
    /// What is wrong, as a clause, with the numbers that led to it.
    pub reason: String,
    /// What would mend it.
    pub help: String,
}

/// The function behind a name.
pub type Find = fn(&[Argument<'_>]) -> Result<Found, NotFound>;

/// The most parameters that such a function has.
pub const MOST_PARAMETERS: usize = 6;

impl Function {
    /// A function over a table or a mechanism. `optional` of the parameters, the last ones, may be
    /// left out. `arguments` names them for documents; `example` and `result` are checked by a
    /// test.
    #[expect(clippy::too_many_arguments, reason = "a row of a table, written out once a function")]
    pub const fn given(
        name: &'static str,
        arguments: &'static str,
        parameters: &'static [Parameter],
        optional: u32,
        gives: Gives,
        says: &'static str,
        example: &'static str,
        result: &'static str,
        find: Find,
    ) -> Self {
        assert!(parameters.len() <= MOST_PARAMETERS, "an evaluation keeps this many");
        let most = parameters.len() as u32;
        Self {
            name,
            arguments,
            gives: says,
            example,
            result,
            fewest: most - optional,
            most,
            rule: Rule::Given { parameters, gives },
            does: Does::Given,
            find: Some(find),
            ends: None,
        }
    }

    /// The same with the numbers between which its value stays the same, whatever number of its
    /// parameters is meant: the ends of a table's ranges. A computed number may pass such an end by
    /// its last digits and still be meant as the end.
    #[must_use]
    pub const fn with_ends(mut self, ends: fn() -> Vec<f64>) -> Self {
        self.ends = Some(ends);
        self
    }
}
