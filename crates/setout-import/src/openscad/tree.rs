//! Expressions.

/// An expression of the part of the language that formulas have as well.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Expr {
    /// A number, and which literal of the file it is.
    Number(f64, usize),
    Text(String),
    Truth(bool),
    Pi,
    Name(String),
    Negative(Box<Expr>),
    Not(Box<Expr>),
    Binary(Op, Box<Expr>, Box<Expr>),
    If(Box<Expr>, Box<Expr>, Box<Expr>),
    Call(String, Vec<Expr>),
    Vector(Vec<Expr>),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Op {
    Or,
    And,
    Equal,
    Unequal,
    Less,
    AtMost,
    More,
    AtLeast,
    Plus,
    Minus,
    Times,
    Over,
    Power,
}

impl Op {
    pub(super) fn of(sign: &str) -> Option<Self> {
        Some(match sign {
            "||" => Self::Or,
            "&&" => Self::And,
            "==" => Self::Equal,
            "!=" => Self::Unequal,
            "<" => Self::Less,
            "<=" => Self::AtMost,
            ">" => Self::More,
            ">=" => Self::AtLeast,
            "+" => Self::Plus,
            "-" => Self::Minus,
            "*" => Self::Times,
            "/" => Self::Over,
            "^" => Self::Power,
            _ => return None,
        })
    }

    pub(super) fn sign(self) -> &'static str {
        match self {
            Self::Or => "||",
            Self::And => "&&",
            Self::Equal => "==",
            Self::Unequal => "!=",
            Self::Less => "<",
            Self::AtMost => "<=",
            Self::More => ">",
            Self::AtLeast => ">=",
            Self::Plus => "+",
            Self::Minus => "-",
            Self::Times => "*",
            Self::Over => "/",
            Self::Power => "^",
        }
    }

    /// How tightly it binds there: equality looser than order.
    pub(super) fn binds(self) -> u8 {
        match self {
            Self::Or => 1,
            Self::And => 2,
            Self::Equal | Self::Unequal => 3,
            Self::Less | Self::AtMost | Self::More | Self::AtLeast => 4,
            Self::Plus | Self::Minus => 5,
            Self::Times | Self::Over => 6,
            Self::Power => 8,
        }
    }

    pub(super) fn compares(self) -> bool {
        matches!(self.binds(), 3 | 4)
    }
}

impl Expr {
    /// Whether it is made of literals alone.
    pub(super) fn is_pure(&self) -> bool {
        match self {
            Self::Number(..) => true,
            Self::Negative(a) => a.is_pure(),
            Self::Binary(_, a, b) => a.is_pure() && b.is_pure(),
            _ => false,
        }
    }

    /// Whether literals alone make up what it can come to, and none of them multiplies anything
    /// but literals.
    pub(super) fn is_bare(&self) -> bool {
        match self {
            Self::Negative(a) => a.is_bare(),
            Self::Binary(Op::Plus | Op::Minus, a, b) => a.is_bare() && b.is_bare(),
            Self::If(_, yes, no) => yes.is_bare() && no.is_bare(),
            Self::Call(name, parts) => {
                matches!(name.as_str(), "abs" | "min" | "max" | "round" | "ceil" | "floor")
                    && parts.iter().all(Self::is_bare)
            }
            _ => self.is_pure(),
        }
    }

    /// A number as it is written, with its sign.
    pub(super) fn number(&self) -> Option<f64> {
        match self {
            Self::Number(number, _) => Some(*number),
            Self::Negative(a) => a.number().map(|number| -number),
            _ => None,
        }
    }

    /// All names that it reads.
    pub(super) fn names<'a>(&'a self, into: &mut Vec<&'a str>) {
        match self {
            Self::Name(name) => into.push(name),
            _ => self.parts(|part| part.names(into)),
        }
    }

    /// Its direct parts.
    pub(super) fn parts<'a>(&'a self, mut each: impl FnMut(&'a Self)) {
        match self {
            Self::Negative(a) | Self::Not(a) => each(a),
            Self::Binary(_, a, b) => {
                each(a);
                each(b);
            }
            Self::If(a, b, c) => {
                each(a);
                each(b);
                each(c);
            }
            Self::Call(_, parts) | Self::Vector(parts) => parts.iter().for_each(each),
            _ => {}
        }
    }
}
