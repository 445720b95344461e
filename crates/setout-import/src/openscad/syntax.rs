//! Tokens to expressions, by precedence climbing. An expression beyond what formulas have is
//! refused with the reason.

mod known;

use known::call;

use super::token::{Token, What};
use super::tree::{Expr, Op};

/// The most tokens of an expression, and the most brackets in each other: more than a formula
/// may have.
const MOST_TOKENS: usize = 1000;
const DEEPEST: usize = 64;

pub(super) struct Reader<'t, 'a> {
    tokens: &'t [Token<'a>],
    at: usize,
    depth: usize,
    /// The number of the next literal of the file.
    literal: &'t mut usize,
}

type Read = Result<Expr, String>;

/// Reads the whole of an expression.
pub(super) fn read(tokens: &[Token<'_>], literal: &mut usize) -> Read {
    if tokens.is_empty() {
        return Err("nothing stands behind its `=`".into());
    }
    if tokens.len() > MOST_TOKENS {
        return Err(format!("it has {} words; a formula may have {MOST_TOKENS}", tokens.len()));
    }
    let mut reader = Reader { tokens, at: 0, depth: 0, literal };
    let expr = reader.choice()?;
    match reader.peek() {
        None => Ok(expr),
        Some(What::Sign("%")) => Err("formulas have no `%`, the remainder".into()),
        Some(What::Sign("=")) => Err("a `;` is missing in it".into()),
        Some(_) => Err("it cannot be read; perhaps a `;` is missing".into()),
    }
}

impl Reader<'_, '_> {
    fn peek(&self) -> Option<&What<'_>> {
        self.tokens.get(self.at).map(|token| &token.what)
    }

    fn takes(&mut self, sign: &str) -> bool {
        let there = self.peek() == Some(&What::Sign(sign));
        self.at += usize::from(there);
        there
    }

    fn expect(&mut self, sign: &str) -> Result<(), String> {
        if self.takes(sign) {
            Ok(())
        } else {
            Err(format!("it cannot be read: `{sign}` is missing"))
        }
    }

    fn deeper(&mut self, read: impl FnOnce(&mut Self) -> Read) -> Read {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(format!("it is nested more than {DEEPEST} deep"));
        }
        let expr = read(self);
        self.depth -= 1;
        expr
    }

    /// `a ? b : c`, and all that binds tighter.
    fn choice(&mut self) -> Read {
        self.deeper(|reader| {
            let condition = reader.binary(1)?;
            if !reader.takes("?") {
                return Ok(condition);
            }
            let yes = reader.choice()?;
            reader.expect(":")?;
            let no = reader.choice()?;
            Ok(Expr::If(condition.into(), yes.into(), no.into()))
        })
    }

    fn binary(&mut self, least: u8) -> Read {
        let mut left = self.unary()?;
        loop {
            let op = match self.peek() {
                Some(What::Sign(sign)) => Op::of(sign),
                _ => None,
            };
            let Some(op) = op.filter(|op| op.binds() >= least && *op != Op::Power) else {
                return Ok(left);
            };
            self.at += 1;
            let right = self.binary(op.binds() + 1)?;
            left = Expr::Binary(op, left.into(), right.into());
        }
    }

    fn unary(&mut self) -> Read {
        if self.takes("-") {
            return self.deeper(|reader| Ok(Expr::Negative(reader.unary()?.into())));
        }
        if self.takes("!") {
            return self.deeper(|reader| Ok(Expr::Not(reader.unary()?.into())));
        }
        if self.takes("+") {
            return self.deeper(Self::unary);
        }
        let base = self.postfix()?;
        if self.takes("^") {
            let exponent = self.deeper(Self::unary)?;
            return Ok(Expr::Binary(Op::Power, base.into(), exponent.into()));
        }
        Ok(base)
    }

    /// A value, and an element of it: `v[0]`, `v.x`.
    fn postfix(&mut self) -> Read {
        let base = self.primary()?;
        let index = if self.takes("[") {
            let index = self.choice()?.number();
            self.expect("]")?;
            index
        } else if self.takes(".") {
            let index = match self.peek() {
                Some(What::Name("x")) => Some(0.0),
                Some(What::Name("y")) => Some(1.0),
                Some(What::Name("z")) => Some(2.0),
                _ => None,
            };
            self.at += 1;
            index
        } else {
            return Ok(base);
        };
        match (base, index) {
            (Expr::Name(name), Some(index)) if index >= 0.0 && index.fract() == 0.0 => {
                Ok(Expr::Name(format!("{name}[{index}]")))
            }
            _ => Err("it takes an element that cannot be told beforehand".into()),
        }
    }

    fn primary(&mut self) -> Read {
        let Some(token) = self.tokens.get(self.at) else {
            return Err("it cannot be read: it ends too soon".into());
        };
        self.at += 1;
        match &token.what {
            What::Number(number) if number.is_finite() => {
                *self.literal += 1;
                Ok(Expr::Number(*number, *self.literal - 1))
            }
            What::Text(text) => Ok(Expr::Text(text.clone())),
            What::Sign("(") => {
                let inner = self.choice()?;
                self.expect(")")?;
                Ok(inner)
            }
            What::Sign("[") => self.deeper(Self::vector),
            What::Name(name) => self.named(name),
            What::Sign(sign) => Err(format!("it cannot be read at `{}`", sign.escape_debug())),
            _ => Err("it holds a number that is too large".into()),
        }
    }

    fn vector(&mut self) -> Read {
        let mut parts = Vec::new();
        while !self.takes("]") {
            if matches!(self.peek(), Some(What::Name("for" | "each" | "if" | "let"))) {
                return Err("it computes a list; formulas have no lists".into());
            }
            parts.push(self.choice()?);
            if self.peek() == Some(&What::Sign(":")) {
                return Err("it is a range; formulas have no lists".into());
            }
            if !self.takes(",") && self.peek() != Some(&What::Sign("]")) {
                return Err("it cannot be read: `]` is missing".into());
            }
        }
        Ok(Expr::Vector(parts))
    }

    fn named(&mut self, name: &str) -> Read {
        match name {
            "true" | "false" => return Ok(Expr::Truth(name == "true")),
            "undef" => return Err("`undef` is no value".into()),
            "let" | "function" | "assert" | "echo" | "each" | "for" | "if" | "else" | "module" => {
                return Err(format!("formulas have no `{name}`"));
            }
            _ if name.starts_with('$') => {
                return Err(format!("it depends on `{name}`, which is set for each model"));
            }
            _ => {}
        }
        if !self.takes("(") {
            return Ok(if name == "PI" { Expr::Pi } else { Expr::Name(name.to_owned()) });
        }
        let arguments = self.arguments()?;
        call(name, arguments)
    }

    fn arguments(&mut self) -> Result<Vec<Expr>, String> {
        let mut arguments = Vec::new();
        while !self.takes(")") {
            arguments.push(self.choice()?);
            if !self.takes(",") && self.peek() != Some(&What::Sign(")")) {
                return Err("it cannot be read: `)` is missing".into());
            }
        }
        Ok(arguments)
    }
}
