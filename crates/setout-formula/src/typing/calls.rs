//! What calls give, from the rules of the functions.

use setout_quantity::{Kind, Ratio};

use super::{Pass, Type, Typed, lacking, too_high};
use crate::functions::{Function, Rule};
use crate::given::{Gives, Parameter};
use crate::syntax::NodeId;
use crate::{FormulaFault, Span};

impl Pass<'_> {
    pub(super) fn call(
        &self,
        function: &Function,
        arguments: &[NodeId],
        at: Span,
    ) -> Result<Typed, FormulaFault> {
        let of = self.result(function, arguments, at)?;
        let folds = matches!(function.rule, Rule::Fold { .. } | Rule::Count);
        if folds {
            self.check_cells(function, arguments)?;
        }
        let column = if folds { None } else { self.shared_column(arguments, at)? };
        Ok(Typed { of, column, exact: None })
    }

    /// A column's cells must be of one sort; several columns in one call may be of several schedules.
    fn check_cells(&self, function: &Function, arguments: &[NodeId]) -> Result<(), FormulaFault> {
        let [only] = arguments else { return Ok(()) };
        if function.rule == Rule::Count && self.of(*only).column.is_none() {
            let span = self.formula.spans[*only as usize];
            if self.of(*only).of == Type::Unknown {
                return Ok(());
            }
            let reason = format!("`count` takes a column, and `{}` is none", self.text(*only));
            let help = "write `count(schedule.column)`, or `count(schedule.column > limit)`";
            return Err(FormulaFault::mismatch(span, reason, help));
        }
        Ok(())
    }

    fn result(
        &self,
        function: &Function,
        arguments: &[NodeId],
        at: Span,
    ) -> Result<Type, FormulaFault> {
        let name = function.name;
        let compared = || self.same(arguments, at, &format!("taken together by `{name}`"));
        let own_look = Rule::Fold { readings: true };
        if function.rule != own_look && !matches!(function.rule, Rule::Count | Rule::Given { .. }) {
            for argument in arguments {
                self.expect_quantity(*argument, &format!("`{name}`"))?;
            }
        }
        let angle = Type::Quantity(Kind::ANGLE);
        match function.rule {
            Rule::Same => compared(),
            Rule::SameToNumber => compared().map(|_| Type::NUMBER),
            Rule::SameToAngle => compared().map(|_| angle),
            Rule::Numbers => {
                self.wanted(function, arguments[0], Kind::NUMBER).map(|()| Type::NUMBER)
            }
            Rule::AngleToNumber => {
                self.wanted(function, arguments[0], Kind::ANGLE).map(|()| Type::NUMBER)
            }
            Rule::NumberToAngle => {
                self.wanted(function, arguments[0], Kind::NUMBER).map(|()| angle)
            }
            Rule::Root(root) => self.root(arguments[0], root, at),
            Rule::ArcLength => {
                self.wanted(function, arguments[0], Kind::LENGTH)?;
                self.wanted(function, arguments[1], Kind::ANGLE)?;
                Ok(Type::Quantity(Kind::LENGTH))
            }
            Rule::Rounding => self.rounding(function, arguments, at),
            Rule::Fold { readings } => self.folded(readings, function, arguments, at),
            Rule::Count => Ok(Type::NUMBER),
            Rule::Given { parameters, gives } => self.given(function, parameters, gives, arguments),
        }
    }

    fn folded(
        &self,
        readings: bool,
        function: &Function,
        arguments: &[NodeId],
        at: Span,
    ) -> Result<Type, FormulaFault> {
        for argument in arguments {
            if !(readings && self.of(*argument).of == Type::Reading) {
                self.expect_quantity(*argument, &format!("`{}`", function.name))?;
            }
        }
        self.same(arguments, at, &format!("taken together by `{}`", function.name))
    }

    fn wanted(&self, function: &Function, node: NodeId, kind: Kind) -> Result<(), FormulaFault> {
        let of = self.of(node).of;
        let Type::Quantity(found) = of else { return Ok(()) };
        if found == kind {
            return Ok(());
        }
        let at = self.formula.spans[node as usize];
        let wanted = self.units.describe(kind);
        let reason = format!("`{}` takes {wanted}, and {}", function.name, self.describe(node));
        let help = self.help_for_kind(node, found, kind);
        Err(FormulaFault::mismatch(at, reason, help))
    }

    fn help_for_kind(&self, node: NodeId, found: Kind, wanted: Kind) -> String {
        let text = self.text(node);
        let unit = self.units.customary(wanted);
        if self.is_bare(node) {
            return format!("give the number a unit: `{text} {}`", unit.symbol());
        }
        if wanted == Kind::ANGLE && found.is_number() {
            return format!("an angle in radians is written `({text}) * 1 rad`");
        }
        if wanted.is_number() {
            let unit = self.units.customary(found);
            return format!("divide by a quantity of its kind, such as `1 {}`", unit.symbol());
        }
        match lacking(found, wanted, self.units) {
            Some(factor) => format!("`{text}` lacks {factor}"),
            None => format!("give it {}", self.units.describe(wanted)),
        }
    }

    fn root(&self, node: NodeId, root: i64, at: Span) -> Result<Type, FormulaFault> {
        let Type::Quantity(kind) = self.of(node).of else { return Ok(Type::Unknown) };
        let power = Ratio::new(1, root).and_then(|power| kind.powered(power));
        power.map(Type::Quantity).ok_or_else(|| too_high(at))
    }

    fn rounding(
        &self,
        function: &Function,
        arguments: &[NodeId],
        at: Span,
    ) -> Result<Type, FormulaFault> {
        let of = self.of(arguments[0]).of;
        match (arguments, of) {
            ([_], Type::Quantity(kind)) if !kind.is_number() => {
                let unit = self.units.customary(kind);
                let reason =
                    format!("{}, so `{}` needs a step", self.describe(arguments[0]), function.name);
                let text = self.text(arguments[0]);
                let help = format!("write `{}({text}, 1 {})`", function.name, unit.symbol());
                Err(FormulaFault::mismatch(at, reason, help))
            }
            _ => self.same(arguments, at, &format!("quantity and step of `{}`", function.name)),
        }
    }

    fn given(
        &self,
        function: &Function,
        parameters: &[Parameter],
        gives: Gives,
        arguments: &[NodeId],
    ) -> Result<Type, FormulaFault> {
        for (parameter, argument) in parameters.iter().zip(arguments) {
            match (parameter, self.of(*argument).of) {
                (_, Type::Unknown) | (Parameter::Text, Type::Text) => {}
                (Parameter::Text, _) => return Err(self.no_text(function, *argument)),
                (Parameter::Quantity(kind), _) => {
                    self.expect_quantity(*argument, &format!("`{}`", function.name))?;
                    self.wanted(function, *argument, *kind)?;
                }
            }
        }
        Ok(match gives {
            Gives::Quantity(kind) => Type::Quantity(kind),
            Gives::Text(_) => Type::Text,
        })
    }

    fn no_text(&self, function: &Function, argument: NodeId) -> FormulaFault {
        let at = self.formula.spans[argument as usize];
        let reason =
            format!("`{}` takes a text here, and {}", function.name, self.describe(argument));
        let help =
            format!("write `{}({})`, texts in double quotes", function.name, function.arguments);
        FormulaFault::mismatch(at, reason, help)
    }
}
