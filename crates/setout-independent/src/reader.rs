//! A reader of formulas that shares nothing with the first one: a formula to an expression of the
//! engine, with every choice, comparison and column settled on the way.
//!
//! Arithmetic is handed over flat, so that the engine's own precedence is at work; a power is put
//! in brackets, since the engine takes `2^3^2` from the left, and a sign as well.

use std::cell::Cell;
use std::collections::HashMap;

use setout_design::StandsFor;

use crate::engine::{Engine, Worth};
use crate::functions::FINITE;
use crate::judged::Judged;
use crate::refusal::Refusal;
use crate::shake::Shake;
use crate::token::Token;

/// A part of a formula as read.
#[derive(Clone, Debug)]
pub(crate) enum Part {
    /// An expression of the engine.
    Expression(String),
    /// A condition, judged already.
    Truth(Judged),
}

/// Deeper formulas are not read; the first engine allows 64 levels.
const DEEPEST: u32 = 256;

/// What a name of a formula stands for, and what values have.
pub(crate) struct Surroundings<'a> {
    pub(crate) names: &'a HashMap<&'a str, &'a StandsFor>,
    pub(crate) value: &'a dyn Fn(&str) -> Option<Worth>,
    /// How many more expressions may be computed.
    pub(crate) left: &'a Cell<u64>,
}

pub(crate) struct Reader<'a> {
    pub(crate) tokens: &'a [Token],
    pub(crate) at: usize,
    pub(crate) around: &'a Surroundings<'a>,
    pub(crate) engine: Engine,
    pub(crate) shake: Shake,
    /// Whether what is read is computed. An arm that is not taken is only read over.
    pub(crate) live: bool,
    /// The row that columns stand for, inside a fold.
    pub(crate) row: Option<usize>,
    /// How many rows the columns have that were met.
    pub(crate) rows: Option<usize>,
    /// A margin of no more than this is none.
    pub(crate) zero: f64,
    pub(crate) depth: u32,
}

impl<'a> Reader<'a> {
    pub(crate) fn new(
        tokens: &'a [Token],
        around: &'a Surroundings<'a>,
        shake: Shake,
        zero: f64,
    ) -> Self {
        let engine = Engine::default();
        let (live, row, rows, depth) = (true, None, None, 0);
        Self { tokens, at: 0, around, engine, shake, live, row, rows, zero, depth }
    }

    /// The whole formula.
    pub(crate) fn formula(mut self) -> Result<(Worth, Option<Judged>), Refusal> {
        let part = self.condition()?;
        if self.at < self.tokens.len() {
            return Err(Refusal::Unreadable);
        }
        let judged = match part {
            Part::Truth(judged) => Some(judged),
            Part::Expression(_) => None,
        };
        Ok((self.settle(part)?, judged))
    }

    pub(crate) fn peek(&self) -> Option<&'static str> {
        match self.tokens.get(self.at) {
            Some(Token::Sign(sign)) => Some(sign),
            _ => None,
        }
    }

    pub(crate) fn take(&mut self, sign: &str) -> bool {
        let found = self.peek() == Some(sign);
        self.at += usize::from(found);
        found
    }

    pub(crate) fn expect(&mut self, sign: &str) -> Result<(), Refusal> {
        if self.take(sign) { Ok(()) } else { Err(Refusal::Unreadable) }
    }

    /// Sums and products, flat.
    pub(crate) fn arithmetic(&mut self) -> Result<Part, Refusal> {
        let first = self.signed()?;
        let is_next = |sign: Option<&'static str>| sign.filter(|s| "+-*/".contains(*s));
        if is_next(self.peek()).is_none() {
            return Ok(first);
        }
        let mut expression = self.expression(first);
        while let Some(sign) = is_next(self.peek()) {
            self.at += 1;
            let next = self.signed()?;
            let next = self.expression(next);
            let next = if sign == "/" { format!("{FINITE}({next})") } else { next };
            expression.push_str(&format!(" {sign} {next}"));
        }
        Ok(Part::Expression(expression))
    }

    /// Signs and `!`, which bind looser than a power.
    fn signed(&mut self) -> Result<Part, Refusal> {
        let mut signs = Vec::new();
        while let Some(sign @ ("-" | "+" | "!")) = self.peek() {
            signs.push(sign);
            self.at += 1;
        }
        let mut part = match self.tokens.get(self.at) {
            // -5 °C is five degrees below zero, not the reverse of 278 K.
            Some(Token::Reading(number, scale)) if signs.last() == Some(&"-") => {
                self.at += 1;
                signs.pop();
                self.kept(Worth::Number(scale.to_base(-number)))
            }
            _ => self.power()?,
        };
        for sign in signs.into_iter().rev() {
            part = match sign {
                "-" => Part::Expression(format!("(-{})", self.expression(part))),
                "!" => Part::Truth(self.truth(part)?.turned()),
                _ => part,
            };
        }
        Ok(part)
    }

    fn power(&mut self) -> Result<Part, Refusal> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(Refusal::TooDeep);
        }
        let mut part = self.atom()?;
        if self.take("^") {
            let base = self.expression(part);
            // An exponent is exact: a shaken one has no value for a negative base.
            let shake = std::mem::take(&mut self.shake);
            let exponent = self.signed()?;
            self.shake = shake;
            let exponent = self.expression(exponent);
            part = Part::Expression(format!("({FINITE}({base}) ^ {FINITE}({exponent}))"));
        }
        self.depth -= 1;
        Ok(part)
    }

    fn atom(&mut self) -> Result<Part, Refusal> {
        let token = self.tokens.get(self.at).ok_or(Refusal::Unreadable)?;
        self.at += 1;
        match token {
            Token::Number(number) => Ok(self.kept(Worth::Number(*number))),
            Token::Reading(number, scale) => Ok(self.kept(Worth::Number(scale.to_base(*number)))),
            Token::Text(text) => Ok(self.kept(Worth::Text(text.clone()))),
            Token::Name(name) if self.peek() == Some("(") => self.call(name),
            Token::Name(name) => self.name(name),
            Token::Sign("(") => {
                let inner = self.condition()?;
                self.expect(")")?;
                Ok(match inner {
                    Part::Expression(text) => Part::Expression(format!("({text})")),
                    truth => truth,
                })
            }
            Token::Sign(_) => Err(Refusal::Unreadable),
        }
    }

    fn name(&mut self, name: &str) -> Result<Part, Refusal> {
        match name {
            "true" | "false" => return Ok(Part::Truth(Judged::plain(name == "true"))),
            "pi" => return Ok(self.kept(Worth::Number(std::f64::consts::PI))),
            _ => {}
        }
        let unknown = || Refusal::NoInput { name: name.to_owned() };
        let full = match self.around.names.get(name).ok_or_else(unknown)? {
            StandsFor::Value(full) => full,
            StandsFor::Column(cells) => {
                self.rows = Some(cells.len());
                match self.row.and_then(|row| cells.get(row)) {
                    Some(cell) => cell,
                    None if self.live => return Err(Refusal::Unreadable),
                    None => return Ok(Part::Expression(String::new())),
                }
            }
        };
        if !self.live {
            return Ok(Part::Expression(String::new()));
        }
        let worth = (self.around.value)(full).ok_or_else(unknown)?;
        Ok(self.kept(worth))
    }

    /// A number or a text under a name of the engine.
    pub(crate) fn kept(&mut self, worth: Worth) -> Part {
        match worth {
            Worth::Truth(truth) => Part::Truth(Judged::plain(truth)),
            Worth::Number(number) => {
                let number = self.shake.shaken(number);
                Part::Expression(self.engine.keep(Worth::Number(number)))
            }
            text @ Worth::Text(_) => Part::Expression(self.engine.keep(text)),
        }
    }

    pub(crate) fn expression(&mut self, part: Part) -> String {
        match part {
            Part::Expression(text) => text,
            Part::Truth(judged) => self.engine.keep(judged.worth()),
        }
    }

    /// Has the engine compute a part.
    pub(crate) fn settle(&mut self, part: Part) -> Result<Worth, Refusal> {
        match part {
            Part::Truth(judged) => Ok(judged.worth()),
            Part::Expression(_) if !self.live => Ok(Worth::Number(0.0)),
            Part::Expression(text) => {
                let left = self.around.left.get().checked_sub(1).ok_or(Refusal::TooMuch)?;
                self.around.left.set(left);
                self.engine.evaluate(&text)
            }
        }
    }
}
