//! A formula that has been read.

use setout_quantity::{Kind, Unit, Units};
use smallvec::SmallVec;
use smol_str::SmolStr;

use crate::code::Code;
use crate::compile::{code_of, column_fault};
use crate::functions::Function;
use crate::parse::parse;
use crate::shown::shown;
use crate::syntax::{NameUse, Node, NodeId};
use crate::typing::{Meaning, Type, lacking, types};
use crate::{FormulaFault, Span, Texts};

/// A formula: its text, its tree, and the names that it uses.
///
/// Reading needs no design. What the names stand for is told when it is compiled, so a formula is
/// read once and compiled again only when a kind changes.
#[derive(Clone, Debug)]
pub struct Formula {
    pub(crate) text: SmolStr,
    // Most formulas are a literal, and stand in one piece.
    pub(crate) nodes: SmallVec<[Node; 1]>,
    pub(crate) spans: SmallVec<[Span; 4]>,
    pub(crate) args: SmallVec<[NodeId; 4]>,
    pub(crate) names: Box<[NameUse]>,
}

/// A compiled formula: its code, and what sort of value it gives.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// The code.
    pub code: Code,
    /// What it gives.
    pub of: Type,
}

impl Formula {
    /// Reads a formula. The formula is there whenever its structure could be read, even beside
    /// faults such as an unknown unit, so that its names can be looked up all the same.
    pub fn read(text: &str, units: &Units) -> (Option<Self>, Vec<FormulaFault>) {
        parse(text, units, &[])
    }

    /// Reads a formula that may call functions beyond the language's own, such as lookups in
    /// tables of hardware.
    pub fn read_with(
        text: &str,
        units: &Units,
        more: &'static [Function],
    ) -> (Option<Self>, Vec<FormulaFault>) {
        parse(text, units, more)
    }

    /// The text as it was read.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text as messages quote it: on one line, and cut off where it is long.
    pub fn shown(&self) -> String {
        shown(&self.text)
    }

    /// The names it uses, in the order of the text, repeated as often as they are used.
    pub fn names(&self) -> &[NameUse] {
        &self.names
    }

    /// The name, if the formula is nothing but one.
    pub fn bare_name(&self) -> Option<&NameUse> {
        match self.nodes[..] {
            [Node::Name(_)] => self.names.first(),
            _ => None,
        }
    }

    /// The number and unit, if the formula is nothing but a literal, with a minus or without.
    pub fn literal(&self) -> Option<(f64, Option<&Unit>)> {
        match &self.nodes[..] {
            [Node::Number { plain, unit, .. }] => Some((*plain, unit.as_ref())),
            [Node::Number { plain, unit, .. }, Node::Unary(crate::syntax::Unary::Minus, _)] => {
                Some((-plain, unit.as_ref()))
            }
            _ => None,
        }
    }

    /// The first unit in the formula that measures this kind.
    pub fn lent_unit(&self, of: Type) -> Option<&Unit> {
        let fits = |unit: &&Unit| match of {
            Type::Reading => unit.is_reading(),
            Type::Quantity(kind) => unit.kind() == kind && !unit.is_reading(),
            _ => false,
        };
        let units = self.nodes.iter().filter_map(|node| match node {
            Node::Number { unit, .. } => unit.as_ref(),
            _ => None,
        });
        units.into_iter().find(fits)
    }

    pub(crate) fn root(&self) -> NodeId {
        (self.nodes.len() - 1) as NodeId
    }

    /// Checks the kinds and writes the code. `names` tells what each of
    /// [`names`](Self::names) stands for, in the same order.
    ///
    /// # Errors
    /// Every mismatch of kinds, and a column outside of the functions that take one.
    pub fn compile(
        &self,
        names: &[Meaning<'_>],
        units: &Units,
        texts: &mut Texts,
    ) -> Result<Compiled, Vec<FormulaFault>> {
        // Most formulas are a literal, of which nothing has to be found out.
        if let [Node::Number { base, unit, .. }] = &self.nodes[..] {
            return Ok(Compiled {
                code: Code::constant(*base),
                of: Type::of_literal(unit.as_ref()),
            });
        }
        let (types, faults) = types(self, names, units);
        if !faults.is_empty() {
            return Err(faults);
        }
        let root = types[self.root() as usize];
        if root.column.is_some() {
            return Err(vec![column_fault(self)]);
        }
        // A part of unknown type has its fault already; without it there is nothing to run.
        if root.of == Type::Unknown || types.iter().any(|typed| typed.of == Type::Unknown) {
            return Ok(Compiled { code: Code::default(), of: root.of });
        }
        let code = code_of(self, self.root(), names, &types, texts).map_err(|fault| vec![fault])?;
        Ok(Compiled { code, of: root.of })
    }

    /// What to write instead of this formula to make its kind the wanted one.
    pub fn missing_factor(&self, found: Kind, wanted: Kind, units: &Units) -> String {
        let unit = units.customary(wanted);
        match self.literal() {
            Some((_, None)) if found.is_number() => {
                return format!("give the number a unit: `{} {}`", self.text.trim(), unit.symbol());
            }
            Some((_, Some(_))) if wanted.is_number() => return "write a plain number".to_owned(),
            Some((_, Some(_))) => return format!("write an amount in {}", unit.symbol()),
            _ => {}
        }
        match lacking(found, wanted, units) {
            Some(factor) => format!("the formula lacks {factor}"),
            None => format!("it should give {}", units.describe(wanted)),
        }
    }
}
