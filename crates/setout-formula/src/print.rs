//! A formula written again, every operation in brackets: equal texts are equal formulas, however
//! they were spaced.

use crate::Formula;
use crate::syntax::{Binary, Comparison, Node, Unary};
use crate::token::literal;

impl Formula {
    /// The formula in a form that is free of layout, with every name as `name` gives it (by its
    /// index in [`names`](Self::names)). It reads back as the same formula.
    pub fn canonical(&self, name: impl Fn(usize) -> String) -> String {
        let mut texts: Vec<String> = Vec::with_capacity(self.nodes.len());
        for node in &self.nodes {
            let text = |node: &u32| texts[*node as usize].as_str();
            let written = match node {
                Node::Number { plain, unit, .. } => literal(*plain, unit.as_ref()),
                Node::Text(text) => format!("\"{text}\""),
                Node::Truth(truth) => truth.to_string(),
                Node::Name(index) => name(*index as usize),
                Node::Unary(operator, inner) => format!("({}{})", unary(*operator), text(inner)),
                Node::Binary(operator, left, right) => {
                    format!("({} {} {})", text(left), binary(*operator), text(right))
                }
                Node::If(condition, then, otherwise) => {
                    format!("if({}, {}, {})", text(condition), text(then), text(otherwise))
                }
                Node::Call { function, first, count } => {
                    let range = *first as usize..(*first + *count) as usize;
                    let arguments: Vec<&str> = self.args[range].iter().map(text).collect();
                    format!("{}({})", function.name, arguments.join(", "))
                }
                Node::Broken => "?".to_owned(),
            };
            texts.push(written);
        }
        texts.pop().unwrap_or_default()
    }
}

fn unary(operator: Unary) -> &'static str {
    match operator {
        Unary::Minus => "-",
        Unary::Plus => "+",
        Unary::Not => "!",
    }
}

fn binary(operator: Binary) -> &'static str {
    match operator {
        Binary::Add => "+",
        Binary::Subtract => "-",
        Binary::Multiply => "*",
        Binary::Divide => "/",
        Binary::Power => "^",
        Binary::And => "&&",
        Binary::Or => "||",
        Binary::Compare(comparison) => match comparison {
            Comparison::Less => "<",
            Comparison::AtMost => "<=",
            Comparison::Greater => ">",
            Comparison::AtLeast => ">=",
            Comparison::Equal => "==",
            Comparison::Unequal => "!=",
        },
    }
}
