//! Tokens to a tree, by precedence climbing.

use setout_quantity::{Units, shortest};
use smallvec::{SmallVec, smallvec};

use crate::functions::{self, Function, function_named};
use crate::limits::{DEEPEST, LONGEST};
use crate::syntax::{Binary, Comparison, NameUse, Node, NodeId, Unary};
use crate::token::{Placed, Token, Tokens, tokens};
use crate::{Formula, FormulaFault, Span, Wrong};

/// Reads a formula; see [`Formula::read`].
pub(crate) fn parse(
    text: &str,
    units: &Units,
    more: &'static [Function],
) -> (Option<Formula>, Vec<FormulaFault>) {
    if text.len() > LONGEST {
        let reason = format!("this formula has {} bytes; a formula may have {LONGEST}", text.len());
        let help = "make dimensions of its parts";
        let first = text.chars().next().map_or(0, char::len_utf8);
        return (None, vec![FormulaFault::too_large(Span::new(0, first), reason, help)]);
    }
    let mut found = Tokens::new();
    let faults = match tokens(text, units, &mut found) {
        Ok(faults) => faults,
        Err(fault) => return (None, vec![fault]),
    };
    if let [Placed { token: Token::Number { base, plain, unit }, at, .. }] = &found[..] {
        // What most formulas are.
        let (base, plain, unit) = (*base, *plain, unit.clone());
        let formula = Formula {
            text: text.into(),
            nodes: smallvec![Node::Number { base, plain, unit }],
            spans: smallvec![*at],
            args: SmallVec::new(),
            names: Box::default(),
        };
        return (Some(formula), faults);
    }
    let mut parser = Parser {
        more,
        text,
        tokens: &found,
        at: 0,
        depth: 0,
        faults,
        nodes: SmallVec::new(),
        spans: SmallVec::new(),
        args: SmallVec::new(),
        names: Vec::new(),
    };
    match parser.whole() {
        Ok(()) => parser.finish(),
        Err(fault) => {
            if !parser.is_behind_broken() {
                parser.faults.push(fault);
            }
            (None, parser.faults)
        }
    }
}

struct Parser<'a> {
    more: &'static [Function],
    text: &'a str,
    tokens: &'a [Placed<'a>],
    at: usize,
    depth: usize,
    faults: Vec<FormulaFault>,
    // What a formula is made of is gathered here, and kept in as little space as it needs.
    nodes: SmallVec<[Node; 16]>,
    spans: SmallVec<[Span; 16]>,
    args: SmallVec<[NodeId; 16]>,
    names: Vec<NameUse>,
}

type Parsed = Result<NodeId, FormulaFault>;

/// How tightly the operators bind, loosest first. Unary signs stand between `*` and `^`.
fn binary(sign: &str) -> Option<(u8, Binary)> {
    Some(match sign {
        "||" => (1, Binary::Or),
        "&&" => (2, Binary::And),
        "<" => (3, Binary::Compare(Comparison::Less)),
        "<=" => (3, Binary::Compare(Comparison::AtMost)),
        ">" => (3, Binary::Compare(Comparison::Greater)),
        ">=" => (3, Binary::Compare(Comparison::AtLeast)),
        "==" => (3, Binary::Compare(Comparison::Equal)),
        "!=" => (3, Binary::Compare(Comparison::Unequal)),
        "+" => (4, Binary::Add),
        "-" => (4, Binary::Subtract),
        "*" => (5, Binary::Multiply),
        "/" => (5, Binary::Divide),
        _ => return None,
    })
}

impl<'a> Parser<'a> {
    fn finish(self) -> (Option<Formula>, Vec<FormulaFault>) {
        let formula = Formula {
            text: self.text.into(),
            nodes: self.nodes.into_iter().collect(),
            spans: SmallVec::from_slice(&self.spans),
            args: SmallVec::from_slice(&self.args),
            names: self.names.into(),
        };
        (Some(formula), self.faults)
    }

    fn peek(&self) -> Option<&Token<'a>> {
        self.tokens.get(self.at).map(|placed| &placed.token)
    }

    /// The place of the next token, or the end of the text.
    fn here(&self) -> Span {
        let end = Span::new(self.text.len(), self.text.len());
        self.tokens.get(self.at).map_or(end, |placed| placed.at)
    }

    /// Whether an unknown unit ends here. What follows may be a part of what was meant by it.
    fn is_behind_broken(&self) -> bool {
        self.at > 0 && self.tokens[self.at - 1].token == Token::Broken
    }

    fn take_sign(&mut self, sign: &str) -> bool {
        let found = matches!(self.peek(), Some(Token::Sign(next)) if *next == sign);
        self.at += usize::from(found);
        found
    }

    fn push(&mut self, node: Node, at: Span) -> NodeId {
        self.nodes.push(node);
        self.spans.push(at);
        // A formula of 4,096 bytes has at most as many nodes.
        (self.nodes.len() - 1) as NodeId
    }

    fn span(&self, node: NodeId) -> Span {
        self.spans[node as usize]
    }

    fn whole(&mut self) -> Result<(), FormulaFault> {
        if self.tokens.is_empty() {
            let reason = "a formula is missing here";
            return Err(FormulaFault::malformed(
                self.here(),
                reason,
                "write a value, such as `62 mm`",
            ));
        }
        self.expression(1)?;
        if self.at < self.tokens.len() {
            return Err(self.left_over());
        }
        Ok(())
    }

    fn left_over(&self) -> FormulaFault {
        let at = self.here();
        match self.peek() {
            Some(Token::Sign(")")) => FormulaFault::malformed(
                at,
                "this ) closes nothing",
                "take it out, or open it before",
            ),
            Some(Token::Sign(",")) => FormulaFault::malformed(
                at,
                "a comma stands between the arguments of a function only",
                "a decimal fraction is written with a point, `1.5`, and thousands without a comma",
            ),
            Some(Token::Sign("!")) => {
                FormulaFault::malformed(at, "`!` stands before what it denies", "write `!(a > b)`")
            }
            Some(Token::Name(word @ ("and" | "or"))) => word_for_sign(word, at),
            Some(_) if self.tokens[self.at - 1].token == Token::Name("if") => {
                let help = "write `if(condition, then, otherwise)`";
                FormulaFault::malformed(at, "`if` is called like a function", help)
            }
            Some(_) => {
                let before = &self.text[..usize::from(at.start)].trim_end();
                let word = at.of(self.text);
                let reason = format!("an operator is missing before `{word}`");
                let unit_behind =
                    before.ends_with(')') || !before.ends_with(|c: char| c.is_ascii_digit());
                let help = if unit_behind && Units::standard().read(word).is_ok() {
                    format!("a unit follows a number only; leave it out, or write `… * 1 {word}`")
                } else {
                    "put + - * / or a comparison between the two".to_owned()
                };
                FormulaFault::malformed(at, reason, help)
            }
            None => FormulaFault::malformed(at, "the formula ends here", "complete it"),
        }
    }

    /// Counts one level of nesting around `inner`.
    fn nested(&mut self, inner: impl FnOnce(&mut Self) -> Parsed) -> Parsed {
        if self.depth >= DEEPEST {
            let reason = format!("this formula is nested more than {DEEPEST} levels deep");
            return Err(FormulaFault::too_large(
                self.here(),
                reason,
                "make dimensions of its parts",
            ));
        }
        self.depth += 1;
        let parsed = inner(self);
        self.depth -= 1;
        parsed
    }

    fn expression(&mut self, loosest: u8) -> Parsed {
        let mut left = self.unary()?;
        let mut compared = false;
        while let Some(Token::Sign(sign)) = self.peek() {
            let sign = *sign;
            let Some((level, operator)) = binary(sign).filter(|(level, _)| *level >= loosest)
            else {
                break;
            };
            if level == 3 && std::mem::replace(&mut compared, true) {
                return Err(self.chained());
            }
            compared = compared && level >= 3;
            let sign_at = self.at;
            self.at += 1;
            // No level of nesting: operators bind in five steps, and deeper only inside brackets.
            let right = self.expression(level + 1)?;
            self.refuse_torn_fraction(sign_at)?;
            let at = self.span(left).to(self.span(right));
            left = self.push(Node::Binary(operator, left, right), at);
        }
        Ok(left)
    }

    fn chained(&self) -> FormulaFault {
        let reason = "comparisons do not chain";
        FormulaFault::malformed(self.here(), reason, "write `a < b && b < c`")
    }

    /// `1/2 mm` could be half a millimetre or one over two millimetres; so could `-1/2 mm`, and
    /// `3*1/2 mm`. Not so `x^2/3 mm` and `1/(2 mm)`.
    fn refuse_torn_fraction(&self, sign_at: usize) -> Result<(), FormulaFault> {
        let [above, sign, below] = &self.tokens[sign_at - 1..=sign_at + 1] else { return Ok(()) };
        let plain = match &above.token {
            Token::Number { unit, .. } => unit.is_none(),
            Token::Name(name) => *name == "pi",
            _ => false,
        };
        let exponent = sign_at >= 2 && self.tokens[sign_at - 2].token == Token::Sign("^");
        let Token::Number { plain: b, unit: Some(unit), .. } = &below.token else { return Ok(()) };
        let blanks = sign.spaced || below.spaced;
        if sign.token != Token::Sign("/") || blanks || !plain || exponent {
            return Ok(());
        }
        let (a, b, unit) = (above.at.of(self.text), shortest(*b), unit.symbol());
        Err(FormulaFault::malformed(
            above.at.to(below.at),
            format!("`{a}/{b} {unit}` can be read in two ways"),
            format!("write `({a} / {b}) * 1 {unit}`, or `{a} / ({b} {unit})`"),
        ))
    }

    fn unary(&mut self) -> Parsed {
        let start = self.here();
        for (sign, operator) in [("-", Unary::Minus), ("+", Unary::Plus), ("!", Unary::Not)] {
            if self.take_sign(sign) {
                let inner = self.nested(Self::unary)?;
                let at = start.to(self.span(inner));
                if operator == Unary::Minus && self.below_zero(inner, at) {
                    return Ok(inner);
                }
                return Ok(self.push(Node::Unary(operator, inner), at));
            }
        }
        self.power()
    }

    /// `-5 °C` is a reading below zero; nothing else can be made of a minus before a reading. The
    /// literal takes the sign up.
    fn below_zero(&mut self, inner: NodeId, at: Span) -> bool {
        let bracketed = self.tokens[self.at - 1].token == Token::Sign(")");
        match &mut self.nodes[inner as usize] {
            Node::Number { base, plain, unit: Some(unit), .. }
                if unit.is_reading() && *plain > 0.0 && !bracketed =>
            {
                *plain = 0.0 - *plain;
                *base = unit.to_base(*plain);
                self.spans[inner as usize] = at;
                true
            }
            _ => false,
        }
    }

    fn power(&mut self) -> Parsed {
        let base = self.primary()?;
        if !self.take_sign("^") {
            return Ok(base);
        }
        let exponent = self.nested(Self::unary)?;
        let at = self.span(base).to(self.span(exponent));
        Ok(self.push(Node::Binary(Binary::Power, base, exponent), at))
    }

    fn primary(&mut self) -> Parsed {
        let Some(placed) = self.tokens.get(self.at).cloned() else {
            let reason = "something is missing at the end of the formula";
            return Err(FormulaFault::malformed(
                self.here(),
                reason,
                "complete it, or take the operator out",
            ));
        };
        self.at += 1;
        let at = placed.at;
        match placed.token {
            Token::Number { base, plain, unit } => {
                Ok(self.push(Node::Number { base, plain, unit }, at))
            }
            Token::Broken => Ok(self.push(Node::Broken, at)),
            Token::Text(text) => Ok(self.push(Node::Text(text.into()), at)),
            Token::Name(name) => self.named(name, at),
            Token::Sign("(") => self.bracketed(at),
            Token::Sign(sign) => {
                let reason = format!("`{sign}` stands where a value should");
                Err(FormulaFault::malformed(at, reason, "put a value before it, or take it out"))
            }
        }
    }

    fn bracketed(&mut self, open: Span) -> Parsed {
        let inner = self.nested(|parser| parser.expression(1))?;
        let close = self.here();
        if !self.take_sign(")") {
            return Err(self.unclosed(open));
        }
        // Brackets leave no node; the operand's place grows to hold them.
        self.spans[inner as usize] = open.to(close);
        Ok(inner)
    }

    fn unclosed(&self, open: Span) -> FormulaFault {
        if self.at < self.tokens.len() {
            return self.left_over();
        }
        FormulaFault::malformed(open, "this ( is never closed", "close it with )")
    }

    fn named(&mut self, name: &str, at: Span) -> Parsed {
        if matches!(self.peek(), Some(Token::Sign("("))) {
            return self.call(name, at);
        }
        match name {
            "true" | "false" => Ok(self.push(Node::Truth(name == "true"), at)),
            "pi" => {
                let base = std::f64::consts::PI;
                Ok(self.push(Node::Number { base, plain: base, unit: None }, at))
            }
            "and" | "or" | "not" => Err(word_for_sign(name, at)),
            _ => {
                self.names.push(NameUse { name: name.into(), at });
                let index = (self.names.len() - 1) as u32;
                Ok(self.push(Node::Name(index), at))
            }
        }
    }

    fn call(&mut self, name: &str, at: Span) -> Parsed {
        let open = self.here();
        self.at += 1;
        let arguments = self.arguments(open)?;
        let at = at.to(self.tokens[self.at - 1].at);
        if name == "if" {
            let [condition, then, otherwise] = arguments[..] else {
                let reason = format!("`if` takes 3 arguments, not {}", arguments.len());
                return Err(FormulaFault::malformed(
                    at,
                    reason,
                    "write `if(condition, then, otherwise)`",
                ));
            };
            return Ok(self.push(Node::If(condition, then, otherwise), at));
        }
        let Some(function) = function_named(name, self.more) else {
            let span = Span::new(at.start.into(), usize::from(at.start) + name.len());
            let what = Wrong::UnknownFunction {
                name: name.to_owned(),
                help: functions::help_for(name, self.more),
            };
            self.faults.push(FormulaFault { at: span, what });
            return Ok(self.push(Node::Broken, at));
        };
        let count = arguments.len() as u32;
        if !(function.fewest..=function.most).contains(&count) {
            let wanted = match (function.fewest, function.most) {
                (a, b) if a == b => format!("{a}"),
                (a, b) if b < 100 => format!("{a} to {b}"),
                (a, _) => format!("{a} or more"),
            };
            let plural = if wanted == "1" { "" } else { "s" };
            let reason = format!("`{name}` takes {wanted} argument{plural}, not {count}");
            let help = format!("write `{name}({})`", function.arguments);
            return Err(FormulaFault::malformed(at, reason, help));
        }
        let first = self.args.len() as u32;
        self.args.extend(arguments);
        Ok(self.push(Node::Call { function, first, count }, at))
    }

    fn arguments(&mut self, open: Span) -> Result<Vec<NodeId>, FormulaFault> {
        let mut arguments = Vec::new();
        if self.take_sign(")") {
            return Ok(arguments);
        }
        loop {
            arguments.push(self.nested(|parser| parser.expression(1))?);
            if self.take_sign(")") {
                return Ok(arguments);
            }
            if !self.take_sign(",") {
                return Err(self.unclosed(open));
            }
        }
    }
}

fn word_for_sign(word: &str, at: Span) -> FormulaFault {
    let sign = match word {
        "and" => "&&",
        "or" => "||",
        _ => "!",
    };
    let reason = format!("`{word}` is not read as an operator");
    FormulaFault::malformed(at, reason, format!("write `{sign}`"))
}
