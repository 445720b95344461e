//! A typed tree to flat code.

use smallvec::SmallVec;

use crate::code::{Code, Fold, One, Op, Two};
use crate::functions::{Does, Function, Rule};
use crate::given::Gives;
use crate::limits::MOST_OPERATIONS;
use crate::syntax::{Binary, Node, NodeId, Unary};
use crate::typing::{Meaning, Typed};
use crate::{Formula, FormulaFault, Span, Texts};

/// Writes the code of one node of a formula. Types have been checked: nothing here can mismatch.
pub(crate) fn code_of(
    formula: &Formula,
    root: NodeId,
    names: &[Meaning<'_>],
    types: &[Typed],
    texts: &mut Texts,
) -> Result<Code, FormulaFault> {
    let mut writer = Writer {
        formula,
        names,
        types,
        texts,
        ops: SmallVec::new(),
        nodes: SmallVec::new(),
        row: None,
    };
    writer.node(root)?;
    Ok(Code { ops: writer.ops.into_iter().collect(), nodes: writer.nodes.into_iter().collect() })
}

struct Writer<'a> {
    formula: &'a Formula,
    names: &'a [Meaning<'a>],
    types: &'a [Typed],
    texts: &'a mut Texts,
    ops: SmallVec<[Op; 32]>,
    nodes: SmallVec<[u32; 32]>,
    /// Which row of a schedule columns are read at, inside a function that folds them.
    row: Option<usize>,
}

type Written = Result<(), FormulaFault>;

impl Writer<'_> {
    fn push(&mut self, op: Op, node: NodeId) -> Written {
        if self.ops.len() >= MOST_OPERATIONS {
            let reason =
                format!("with all its rows this formula has more than {MOST_OPERATIONS} steps");
            let help = "sum fewer columns in one formula, or split the schedule";
            return Err(FormulaFault::too_large(self.formula.spans[node as usize], reason, help));
        }
        self.ops.push(op);
        self.nodes.push(node);
        Ok(())
    }

    /// Long sums lean to the left, so the left spine is walked in a loop, not by recursion.
    fn node(&mut self, root: NodeId) -> Written {
        let mut spine: SmallVec<[_; 8]> = SmallVec::new();
        let mut lowest = root;
        while let Node::Binary(operator, left, right) = &self.formula.nodes[lowest as usize] {
            spine.push((lowest, *operator, *right));
            lowest = *left;
        }
        self.leaf(lowest)?;
        for (node, operator, right) in spine.into_iter().rev() {
            self.joined(node, operator, right)?;
        }
        Ok(())
    }

    fn joined(&mut self, node: NodeId, operator: Binary, right: NodeId) -> Written {
        let two = match operator {
            Binary::And => return self.shortcut(node, right, false),
            Binary::Or => return self.shortcut(node, right, true),
            Binary::Add => Two::Add,
            Binary::Subtract => Two::Subtract,
            Binary::Multiply => Two::Multiply,
            Binary::Divide => Two::Divide,
            Binary::Power => Two::Power,
            Binary::Compare(comparison) => Two::Compare(comparison),
        };
        self.node(right)?;
        self.push(Op::Two(two), node)
    }

    /// `&&` and `||` leave the right side alone when the left one decides.
    fn shortcut(&mut self, node: NodeId, right: NodeId, on_true: bool) -> Written {
        let arm = |writer: &mut Self, constant: bool| match constant {
            true => writer.push(Op::Const(f64::from(u8::from(on_true))), node),
            false => writer.node(right),
        };
        self.branch(node, |writer| arm(writer, on_true), |writer| arm(writer, !on_true))
    }

    /// A branch on the truth on the stack.
    fn branch(
        &mut self,
        node: NodeId,
        then: impl FnOnce(&mut Self) -> Written,
        otherwise: impl FnOnce(&mut Self) -> Written,
    ) -> Written {
        let branch = self.ops.len();
        self.push(Op::Branch { otherwise: 0 }, node)?;
        then(self)?;
        let skip = self.ops.len();
        self.push(Op::Skip { to: 0 }, node)?;
        self.ops[branch] = Op::Branch { otherwise: self.ops.len() as u32 };
        otherwise(self)?;
        self.ops[skip] = Op::Skip { to: self.ops.len() as u32 };
        Ok(())
    }

    fn leaf(&mut self, node: NodeId) -> Written {
        match &self.formula.nodes[node as usize] {
            Node::Number { base, .. } => self.push(Op::Const(*base), node),
            Node::Truth(truth) => self.push(Op::Const(f64::from(u8::from(*truth))), node),
            Node::Text(text) => {
                let number = self.texts.number(text);
                self.push(Op::Const(number), node)
            }
            Node::Name(index) => self.name(*index, node),
            Node::Unary(operator, inner) => {
                self.node(*inner)?;
                match operator {
                    Unary::Minus => self.push(Op::One(One::Negate), node),
                    Unary::Not => self.push(Op::One(One::Not), node),
                    Unary::Plus => Ok(()),
                }
            }
            Node::If(condition, then, otherwise) => {
                let (then, otherwise) = (*then, *otherwise);
                self.node(*condition)?;
                self.branch(node, |w| w.node(then), |w| w.node(otherwise))
            }
            Node::Call { function, first, count } => {
                let range = *first as usize..(*first + *count) as usize;
                let arguments = &self.formula.args[range];
                self.call(function, arguments, node)
            }
            Node::Binary(..) | Node::Broken => Ok(()),
        }
    }

    fn name(&mut self, index: u32, node: NodeId) -> Written {
        let slot = match (self.names[index as usize], self.row) {
            (Meaning::Value { slot, .. }, _) => Some(slot),
            (Meaning::Column { slots, .. }, Some(row)) => slots.get(row).copied(),
            _ => None,
        };
        match slot {
            Some(slot) => self.push(Op::Load(slot), node),
            None => Err(self.loose_column(node)),
        }
    }

    fn loose_column(&self, node: NodeId) -> FormulaFault {
        let at = self.formula.spans[node as usize];
        let text = at.of(&self.formula.text);
        let reason = format!("`{text}` is a whole column, not one value");
        let help =
            format!("put it into sum, min, max, mean or count: `sum({text})`; or name a row");
        FormulaFault::malformed(at, reason, help)
    }

    fn call(&mut self, function: &'static Function, arguments: &[NodeId], node: NodeId) -> Written {
        let does = function.does;
        match does {
            Does::Fold(fold) => return self.fold(fold, arguments, node),
            Does::Count => return self.count(arguments[0], node),
            _ => {}
        }
        for argument in arguments {
            self.node(*argument)?;
        }
        if let Rule::Given { gives: Gives::Text(results), .. } = function.rule {
            // What it can give has its number before anything runs.
            results.iter().for_each(|text| {
                self.texts.number(text);
            });
        }
        match (does, arguments.len()) {
            (Does::Given, count) => self.push(Op::Given(function, count as u8), node),
            (Does::One(one), _) | (Does::Step(one, _), 1) => self.push(Op::One(one), node),
            (Does::Two(two), _) | (Does::Step(_, two), _) => self.push(Op::Two(two), node),
            (Does::Hypotenuse, count) => {
                for _ in 1..count {
                    self.push(Op::Two(Two::Hypot), node)?;
                }
                Ok(())
            }
            _ => self.push(Op::Clamp, node),
        }
    }

    /// Every column argument gives all its cells, every other argument itself.
    fn fold(&mut self, fold: Fold, arguments: &[NodeId], node: NodeId) -> Written {
        let mut count = 0;
        for argument in arguments {
            count += self.cells(*argument)?;
        }
        self.push(Op::Fold(fold, count), node)
    }

    fn cells(&mut self, argument: NodeId) -> Result<u32, FormulaFault> {
        let Some(rows) = self.rows(argument) else {
            self.node(argument)?;
            return Ok(1);
        };
        let outer = self.row;
        for row in 0..rows {
            self.row = Some(row);
            self.node(argument)?;
        }
        self.row = outer;
        Ok(rows as u32)
    }

    /// How many rows the schedule has that a node runs over.
    fn rows(&self, node: NodeId) -> Option<usize> {
        let wanted = self.types[node as usize].column?;
        self.names.iter().find_map(|name| match name {
            Meaning::Column { schedule, slots, .. } if *schedule == wanted => Some(slots.len()),
            _ => None,
        })
    }

    fn count(&mut self, argument: NodeId, node: NodeId) -> Written {
        if self.types[argument as usize].of != crate::Type::Truth {
            let rows = self.rows(argument).unwrap_or(0);
            return self.push(Op::Const(rows as f64), node);
        }
        // A truth is 1 or 0, so counting is adding.
        let rows = self.cells(argument)?;
        self.push(Op::Fold(Fold::Sum, rows), node)
    }
}

/// The fault of a formula that is a column as a whole.
pub(crate) fn column_fault(formula: &Formula) -> FormulaFault {
    let at = Span::new(0, formula.text.len());
    let reason = format!("`{}` is a whole column, not one value", formula.shown());
    let help = "put it into sum, min, max, mean or count; or name a row's cell";
    FormulaFault::malformed(at, reason, help)
}
