//! What kind of value every part of a formula has, found before anything is computed.

mod calls;

use setout_quantity::{Kind, Ratio, Unit, Units};

use crate::shown::shown;
use crate::syntax::{Binary, Comparison, Node, NodeId, Unary};
use crate::{Formula, FormulaFault, Span};

/// What sort of value a formula gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Type {
    /// A quantity or a plain number.
    Quantity(Kind),
    /// A temperature on the Celsius scale, kept in K. Not a temperature difference.
    Reading,
    /// True or false.
    Truth,
    /// Literal text.
    Text,
    /// Not known, because of a fault that is reported elsewhere. Goes with everything.
    Unknown,
}

impl Type {
    /// A plain number.
    pub const NUMBER: Self = Self::Quantity(Kind::NUMBER);

    /// What a number with this unit is, or one without.
    pub(crate) fn of_literal(unit: Option<&Unit>) -> Self {
        match unit {
            Some(unit) if unit.is_reading() => Self::Reading,
            Some(unit) => Self::Quantity(unit.kind()),
            None => Self::NUMBER,
        }
    }

    /// What it is called in a message: `a length`, `a text`.
    pub fn describe(self, units: &Units) -> String {
        match self {
            Self::Quantity(kind) => units.describe(kind),
            Self::Reading => "a temperature reading".into(),
            Self::Truth => "a condition".into(),
            Self::Text => "a text".into(),
            Self::Unknown => "unknown".into(),
        }
    }

    /// The kind, if this is a quantity.
    pub fn kind(self) -> Option<Kind> {
        match self {
            Self::Quantity(kind) => Some(kind),
            _ => None,
        }
    }
}

/// What a name of a formula stands for.
#[derive(Clone, Copy, Debug)]
pub enum Meaning<'a> {
    /// One value.
    Value {
        /// Its index among the values.
        slot: u32,
        /// What sort it is.
        of: Type,
    },
    /// A column of a schedule.
    Column {
        /// Which schedule, so that columns of two are told apart.
        schedule: u32,
        /// The slots of its cells, in the order of the rows.
        slots: &'a [u32],
        /// What sort its cells are.
        of: Type,
    },
    /// Something faulty; the fault is reported elsewhere.
    Unknown,
}

/// What is known of one node.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Typed {
    pub(crate) of: Type,
    /// The schedule whose rows the node runs over, if it does.
    pub(crate) column: Option<u32>,
    /// The value as a fraction, if the node is made of short literals only.
    exact: Option<Ratio>,
}

impl Typed {
    fn plain(of: Type) -> Self {
        Self { of, column: None, exact: None }
    }
}

/// Types of all nodes, and every mismatch that is not the echo of another.
pub(crate) fn types(
    formula: &Formula,
    names: &[Meaning<'_>],
    units: &Units,
) -> (Vec<Typed>, Vec<FormulaFault>) {
    let types = Vec::with_capacity(formula.nodes.len());
    let mut pass = Pass { formula, units, types, faults: Vec::new() };
    for (index, node) in formula.nodes.iter().enumerate() {
        let typed = pass.node(node, formula.spans[index], names);
        let typed = typed.unwrap_or_else(|fault| {
            pass.faults.push(fault);
            Typed::plain(Type::Unknown)
        });
        pass.types.push(typed);
    }
    (pass.types, pass.faults)
}

struct Pass<'a> {
    formula: &'a Formula,
    units: &'a Units,
    types: Vec<Typed>,
    faults: Vec<FormulaFault>,
}

impl Pass<'_> {
    fn of(&self, node: NodeId) -> Typed {
        self.types[node as usize]
    }

    fn text(&self, node: NodeId) -> String {
        shown(self.formula.spans[node as usize].of(&self.formula.text))
    }

    fn describe(&self, node: NodeId) -> String {
        format!("`{}` is {}", self.text(node), self.of(node).of.describe(self.units))
    }

    fn node(&self, node: &Node, at: Span, names: &[Meaning<'_>]) -> Result<Typed, FormulaFault> {
        match node {
            Node::Number { unit, plain, .. } => {
                let of = Type::of_literal(unit.as_ref());
                let exact = if unit.is_none() { exact(*plain) } else { None };
                Ok(Typed { exact, ..Typed::plain(of) })
            }
            Node::Text(_) => Ok(Typed::plain(Type::Text)),
            Node::Truth(_) => Ok(Typed::plain(Type::Truth)),
            Node::Broken => Ok(Typed::plain(Type::Unknown)),
            Node::Name(index) => Ok(match names[*index as usize] {
                Meaning::Value { of, .. } => Typed::plain(of),
                Meaning::Column { schedule, of, .. } => {
                    Typed { column: Some(schedule), ..Typed::plain(of) }
                }
                Meaning::Unknown => Typed::plain(Type::Unknown),
            }),
            Node::Unary(operator, inner) => self.unary(*operator, *inner),
            Node::Binary(operator, left, right) => self.binary(*operator, *left, *right, at),
            Node::If(condition, then, otherwise) => self.choice(*condition, *then, *otherwise, at),
            Node::Call { function, first, count } => {
                let arguments = &self.formula.args[*first as usize..(*first + *count) as usize];
                self.call(function, arguments, at)
            }
        }
    }

    /// The one schedule that the nodes run over together, if they do.
    fn shared_column(&self, nodes: &[NodeId], at: Span) -> Result<Option<u32>, FormulaFault> {
        let mut columns = nodes.iter().filter_map(|node| self.of(*node).column);
        let first = columns.next();
        if columns.any(|other| Some(other) != first) {
            let reason =
                "columns of two schedules do not combine: their rows have nothing in common";
            let help = "sum each on its own, or put both columns into one schedule";
            return Err(FormulaFault::malformed(at, reason, help));
        }
        Ok(first)
    }

    fn unary(&self, operator: Unary, inner: NodeId) -> Result<Typed, FormulaFault> {
        let typed = self.of(inner);
        match (operator, typed.of) {
            (_, Type::Unknown) => Ok(Typed { exact: None, ..typed }),
            (Unary::Not, _) => {
                self.expect_truth(inner)?;
                Ok(Typed { exact: None, ..typed })
            }
            (sign, _) => {
                self.expect_quantity(inner, "a sign")?;
                let exact = match sign {
                    Unary::Minus => typed.exact.and_then(Ratio::negated),
                    _ => typed.exact,
                };
                Ok(Typed { exact, ..typed })
            }
        }
    }

    fn expect_truth(&self, node: NodeId) -> Result<(), FormulaFault> {
        if matches!(self.of(node).of, Type::Truth | Type::Unknown) {
            return Ok(());
        }
        let at = self.formula.spans[node as usize];
        let reason = format!("a condition is needed here, and {}", self.describe(node));
        Err(FormulaFault::mismatch(at, reason, "write a comparison, such as `a >= b`"))
    }

    fn expect_quantity(&self, node: NodeId, what: &str) -> Result<(), FormulaFault> {
        let of = self.of(node).of;
        if matches!(of, Type::Quantity(_) | Type::Unknown) {
            return Ok(());
        }
        let at = self.formula.spans[node as usize];
        let reason = format!("{what} needs a quantity, and {}", self.describe(node));
        let help = match of {
            Type::Reading => "readings in °C only subtract to a difference; write differences in K",
            Type::Truth => "choose between two quantities with `if(condition, a, b)`",
            _ => "texts are only compared, with == and !=, and looked up",
        };
        Err(FormulaFault::mismatch(at, reason, help))
    }

    fn binary(
        &self,
        operator: Binary,
        left: NodeId,
        right: NodeId,
        at: Span,
    ) -> Result<Typed, FormulaFault> {
        let column = self.shared_column(&[left, right], at)?;
        let (a, b) = (self.of(left), self.of(right));
        let of = match operator {
            Binary::Add | Binary::Subtract => self.sum(operator, left, right, at)?,
            Binary::Multiply | Binary::Divide => self.product(operator, left, right, at)?,
            Binary::Power => self.power(left, right, at)?,
            Binary::Compare(comparison) => self.comparison(comparison, left, right, at)?,
            Binary::And | Binary::Or => {
                self.expect_truth(left)?;
                self.expect_truth(right)?;
                Type::Truth
            }
        };
        let exact = match (operator, a.exact, b.exact) {
            (Binary::Add, Some(a), Some(b)) => a.plus(b),
            (Binary::Subtract, Some(a), Some(b)) => b.negated().and_then(|b| a.plus(b)),
            (Binary::Multiply, Some(a), Some(b)) => a.times(b),
            (Binary::Divide, Some(a), Some(b)) => a.over(b),
            _ => None,
        };
        Ok(Typed { of, column, exact })
    }

    fn sum(
        &self,
        operator: Binary,
        left: NodeId,
        right: NodeId,
        at: Span,
    ) -> Result<Type, FormulaFault> {
        let kelvin = Type::Quantity(Kind::TEMPERATURE);
        match (self.of(left).of, operator, self.of(right).of) {
            (Type::Reading, Binary::Subtract, Type::Reading) => return Ok(kelvin),
            (Type::Reading, _, other) if other == kelvin => return Ok(Type::Reading),
            (other, Binary::Add, Type::Reading) if other == kelvin => return Ok(Type::Reading),
            (Type::Reading, _, Type::Unknown) | (Type::Unknown, _, Type::Reading) => {
                return Ok(Type::Unknown);
            }
            _ => {}
        }
        let what = if operator == Binary::Add { "adding" } else { "subtracting" };
        self.expect_quantity(left, what)?;
        self.expect_quantity(right, what)?;
        self.same(&[left, right], at, if operator == Binary::Add { "added" } else { "subtracted" })
    }

    /// The type that all the nodes share.
    fn same(&self, nodes: &[NodeId], at: Span, done: &str) -> Result<Type, FormulaFault> {
        let known = |node: &&NodeId| self.of(**node).of != Type::Unknown;
        let mut rest = nodes.iter().filter(known);
        let Some(first) = rest.next() else { return Ok(Type::Unknown) };
        let of = self.of(*first).of;
        match rest.find(|node| self.of(**node).of != of) {
            None => Ok(of),
            Some(other) => {
                let reason = format!(
                    "{} and {}: they cannot be {done}",
                    self.describe(*first),
                    self.describe(*other)
                );
                Err(FormulaFault::mismatch(at, reason, self.missing_factor(*first, *other)))
            }
        }
    }

    /// What would have to stand before the second to make it like the first.
    fn missing_factor(&self, first: NodeId, other: NodeId) -> String {
        let (Type::Quantity(a), Type::Quantity(b)) = (self.of(first).of, self.of(other).of) else {
            let texts = [first, other].map(|node| self.of(node).of == Type::Text);
            let number =
                [other, first].into_iter().zip(texts).find(|(n, text)| *text && self.is_bare(*n));
            return match number {
                Some((number, _)) => format!("put the text in quotes: \"{}\"", self.text(number)),
                None => "make both of one kind".into(),
            };
        };
        for (node, kind, number) in [(first, b, a), (other, a, b)] {
            if number.is_number() && self.is_bare(node) {
                let unit = self.units.customary(kind);
                return format!("give the number a unit: `{} {}`", self.text(node), unit.symbol());
            }
        }
        match lacking(b, a, self.units) {
            Some(factor) if a.over(b) == Kind::LENGTH.over(Kind::ANGLE) => format!(
                "`{}` lacks {factor}; arc_length(radius, angle) makes a length of an angle",
                self.text(other)
            ),
            Some(factor) => format!("`{}` lacks {factor}", self.text(other)),
            None => "make both of one kind".into(),
        }
    }

    /// Whether a node is digits alone: not `5 %`, which has a unit, and not `pi`.
    fn is_bare(&self, node: NodeId) -> bool {
        let plain = matches!(self.formula.nodes[node as usize], Node::Number { unit: None, .. });
        plain && self.text(node).starts_with(|c: char| c.is_ascii_digit())
    }

    fn product(
        &self,
        operator: Binary,
        left: NodeId,
        right: NodeId,
        at: Span,
    ) -> Result<Type, FormulaFault> {
        let what = if operator == Binary::Multiply { "multiplying" } else { "dividing" };
        self.expect_quantity(left, what)?;
        self.expect_quantity(right, what)?;
        let (Type::Quantity(a), Type::Quantity(b)) = (self.of(left).of, self.of(right).of) else {
            return Ok(Type::Unknown);
        };
        let kind = if operator == Binary::Multiply { a.times(b) } else { a.over(b) };
        kind.map(Type::Quantity).ok_or_else(|| too_high(at))
    }

    fn power(&self, base: NodeId, exponent: NodeId, at: Span) -> Result<Type, FormulaFault> {
        self.expect_quantity(base, "a power")?;
        let typed = self.of(exponent);
        if !matches!(typed.of, Type::Unknown) && typed.of != Type::NUMBER {
            let span = self.formula.spans[exponent as usize];
            let reason = format!("an exponent is a plain number, and {}", self.describe(exponent));
            return Err(FormulaFault::mismatch(span, reason, "divide it by a unit of its kind"));
        }
        match (self.of(base).of, typed.exact) {
            (Type::Quantity(kind), _) if kind.is_number() => Ok(Type::NUMBER),
            (Type::Quantity(kind), Some(exact)) => {
                kind.powered(exact).map(Type::Quantity).ok_or_else(|| too_high(at))
            }
            (Type::Quantity(_), None) => {
                let reason = format!(
                    "{}, so its exponent must be a number written out, not `{}`",
                    self.describe(base),
                    self.text(exponent)
                );
                let help = "write for example `^2` or `^(1/3)`; or make the base a plain number";
                Err(FormulaFault::mismatch(at, reason, help))
            }
            _ => Ok(Type::Unknown),
        }
    }

    fn comparison(
        &self,
        comparison: Comparison,
        left: NodeId,
        right: NodeId,
        at: Span,
    ) -> Result<Type, FormulaFault> {
        let of = self.same(&[left, right], at, "compared")?;
        let equality = matches!(comparison, Comparison::Equal | Comparison::Unequal);
        let sign = if comparison == Comparison::Equal { "==" } else { "!=" };
        match of {
            Type::Unknown => {}
            Type::Text | Type::Truth if !equality => {
                let reason = format!("{} and has no order", self.describe(left));
                return Err(FormulaFault::mismatch(at, reason, "compare it with == or !="));
            }
            Type::Quantity(kind) if equality && !kind.is_number() => {
                let reason =
                    format!("{}: quantities are never compared with {sign}", self.describe(left));
                let unit = self.units.customary(kind);
                let help =
                    format!("say how close they must be: `abs(a - b) <= 0.01 {}`", unit.symbol());
                return Err(FormulaFault::mismatch(at, reason, help));
            }
            Type::Reading if equality => {
                let reason = format!("temperature readings are never compared with {sign}");
                return Err(FormulaFault::mismatch(at, reason, "say how close they must be"));
            }
            _ => {}
        }
        Ok(Type::Truth)
    }

    fn choice(
        &self,
        condition: NodeId,
        then: NodeId,
        otherwise: NodeId,
        at: Span,
    ) -> Result<Typed, FormulaFault> {
        self.expect_truth(condition)?;
        let of = self.same(&[then, otherwise], at, "alternatives of one value")?;
        let column = self.shared_column(&[condition, then, otherwise], at)?;
        Ok(Typed { of, column, exact: None })
    }
}

/// What makes one kind of another: a factor, or a divisor where that is the simpler one.
pub(crate) fn lacking(found: Kind, wanted: Kind, units: &Units) -> Option<String> {
    let symbol = |kind: Kind| units.customary(kind).symbol().to_owned();
    let factor = symbol(wanted.over(found)?);
    let divisor = found.over(wanted).map(symbol);
    Some(match divisor.filter(|divisor| divisor.chars().count() < factor.chars().count()) {
        Some(divisor) => format!("a divisor in {divisor}"),
        None => format!("a factor in {factor}"),
    })
}

fn too_high(at: Span) -> FormulaFault {
    let reason = "the powers of units in this formula grow too high";
    FormulaFault::too_large(at, reason, "check the exponents; real quantities have small ones")
}

/// A short decimal as a fraction, so that an exponent of 0.5 or 1.5 is known exactly.
fn exact(plain: f64) -> Option<Ratio> {
    const PARTS: f64 = 10_000.0;
    let parts = (plain * PARTS).round();
    // Both are whole and the division rounds once, so this is the number that is read from the
    // decimal with at most four places.
    let is_short = parts.abs() < 1e15 && parts / PARTS == plain;
    is_short.then(|| Ratio::new(parts as i64, PARTS as i64)).flatten()
}
