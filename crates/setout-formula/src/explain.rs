//! A stopped evaluation in words, and a formula with its numbers filled in.

use setout_quantity::{Units, rounded};

use crate::code::{Stop, Why, call};
use crate::given::NotFound;
use crate::shown::shown;
use crate::syntax::Node;
use crate::typing::{Meaning, Type, Typed, types};
use crate::{Formula, FormulaFault, Texts};

impl Formula {
    /// The fault of a stopped evaluation, with the numbers that led to it.
    pub fn explain(
        &self,
        stop: &Stop,
        names: &[Meaning<'_>],
        units: &Units,
        texts: &Texts,
    ) -> FormulaFault {
        let (types, _) = types(self, names, units);
        let at = self.spans[stop.node as usize];
        if let Some(NotFound { reason, help }) = self.nothing_given(stop, texts) {
            return FormulaFault::domain(at, reason, help);
        }
        let here = self.operands(stop, &types, units);
        let [a, b] = &here;
        let call = shown(at.of(&self.text));
        let (reason, help) = match stop.why {
            Why::DivisionByZero => {
                (format!("a division by zero: {b}"), "keep the divisor away from 0")
            }
            Why::NoPower => (
                format!("`{call}` has no value: {a}, {b}"),
                "a negative number has whole powers only, and 0 positive ones; for a cube root use cbrt",
            ),
            Why::NegativeRoot => (
                format!("the square root of a negative number: {a}"),
                "check the signs, or that the sides can meet",
            ),
            Why::NoLogarithm => {
                (format!("the logarithm of a number that is not positive: {a}"), "keep it above 0")
            }
            Why::OutsideUnit => (
                format!("no angle has this sine or cosine: {a}, and it lies from -1 to 1"),
                "check that the triangle closes: no side longer than the other two together",
            ),
            Why::Pole => {
                (format!("the tangent has no value at {a}"), "keep the angle away from 90 deg")
            }
            Why::NoDirection => (
                "atan2 of 0 and 0 has no direction".to_owned(),
                "keep the point away from the origin",
            ),
            Why::BadStep => (format!("a step is above zero: {b}"), "give a step such as 0.5 mm"),
            Why::BadRange => (
                format!("the low end lies above the high end: {a}, {b}"),
                "swap them, or check what they come from",
            ),
            Why::NoRows => (format!("`{call}` has no rows to work on"), "give the schedule a row"),
            Why::TooLarge => {
                (format!("`{call}` grows past the largest number"), "check the exponents and units")
            }
            Why::NothingGiven => (format!("`{call}` has no value"), "check its arguments"),
            Why::NotComputed => {
                (format!("`{call}` could not be computed"), "mend what it depends on")
            }
        };
        FormulaFault::domain(at, reason, help)
    }

    /// What a table or a mechanism says of the arguments that it refused.
    fn nothing_given(&self, stop: &Stop, texts: &Texts) -> Option<NotFound> {
        let Node::Call { function, count, .. } = &self.nodes[stop.node as usize] else {
            return None;
        };
        call(function, stop.operands.get(..*count as usize)?, texts)?.err()
    }

    /// The operands of the stopped operation: what was written, and what it came to.
    fn operands(&self, stop: &Stop, types: &[Typed], units: &Units) -> [String; 2] {
        let nodes: Vec<u32> = match &self.nodes[stop.node as usize] {
            Node::Binary(_, left, right) => vec![*left, *right],
            Node::Unary(_, inner) => vec![*inner],
            Node::Call { first, count, .. } => {
                let all = &self.args[*first as usize..(*first + *count) as usize];
                // A clamp stops on its two ends.
                if all.len() == 3 { all[1..].to_vec() } else { all.to_vec() }
            }
            _ => Vec::new(),
        };
        [0, 1].map(|index| match nodes.get(index) {
            Some(node) => self.operand(*node, stop.operands[index], types, units),
            None => shown(self.spans[stop.node as usize].of(&self.text)),
        })
    }

    fn operand(&self, node: u32, value: f64, types: &[Typed], units: &Units) -> String {
        let text = shown(self.spans[node as usize].of(&self.text));
        let value = match types[node as usize].of {
            Type::Quantity(kind) => {
                let unit = units.customary(kind);
                format!("{} {}", rounded(unit.from_base(value)), unit.symbol())
            }
            _ => rounded(value),
        };
        let value = value.trim_end();
        if text == value { format!("`{text}`") } else { format!("`{text}` is {value}") }
    }

    /// The formula with every name replaced by what `value` gives for it (an index of
    /// [`names`](Self::names)); where it gives nothing the name stays. An amount that is raised to
    /// a power stands in brackets, for `2 mm^2` is an area.
    pub fn filled_in(&self, value: impl Fn(usize) -> Option<String>) -> String {
        let mut filled = String::with_capacity(self.text.len());
        let mut at = 0;
        for (index, name) in self.names.iter().enumerate() {
            let span = name.at.range();
            filled.push_str(&self.text[at..span.start]);
            match value(index) {
                Some(value) => {
                    let raised = self.text[span.end..].trim_start().starts_with('^');
                    let bracketed = raised && value.contains(' ') && !value.starts_with('(');
                    filled.push_str(&if bracketed { format!("({value})") } else { value });
                }
                None => filled.push_str(&name.name),
            }
            at = span.end;
        }
        filled.push_str(&self.text[at..]);
        filled
    }
}
