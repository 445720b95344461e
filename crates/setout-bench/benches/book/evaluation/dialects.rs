//! What the peers read, each in the way that is fastest for it.

use evalexpr::{ContextWithMutableVariables, HashMapContext, Node, Value, build_operator_tree};
use fasteval::{Compiler, EvalNamespace, Evaler, Instruction, Parser, Slab};
use setout_bench::made::Dialect;
pub(super) use setout_bench::made::Own;

use super::Slot;

const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// Names are slots: `x12`.
fn slot(index: usize) -> String {
    format!("x{index}")
}

struct ForEvalexpr;

impl Dialect for ForEvalexpr {
    fn amount(&self, amount: f64, _: &str) -> String {
        format!("{amount:?}")
    }
    fn name(&self, _: usize, index: usize) -> String {
        slot(index)
    }
    fn squared(&self, of: &str) -> String {
        format!("{of} ^ 2.0")
    }
    fn root(&self, of: &str) -> String {
        format!("math::sqrt({of})")
    }
    fn sine(&self, of: &str) -> String {
        format!("math::sin({of} * {DEGREE:?})")
    }
    fn larger(&self, a: &str, b: &str) -> String {
        format!("max({a}, {b})")
    }
    fn choice(&self, a: &str, b: &str, yes: &str, no: &str) -> String {
        format!("if({a} > {b}, {yes}, {no})")
    }
}

/// Trees in the order of dependency, and a context by names.
pub(super) struct Evalexpr {
    context: HashMapContext,
    derived: Vec<(String, Node)>,
    slots: usize,
}

impl Evalexpr {
    pub(super) fn new(slots: &[Slot]) -> Self {
        let mut context = HashMapContext::new();
        let mut derived = Vec::new();
        for (index, own) in slots.iter().enumerate() {
            let tree = build_operator_tree(&own.value.written(&ForEvalexpr)).expect("a formula");
            if own.is_chosen {
                let value = tree.eval_with_context(&context).expect("a number");
                context.set_value(slot(index), value).expect("a new name");
            } else {
                derived.push((slot(index), tree));
            }
        }
        Self { context, derived, slots: slots.len() }
    }

    pub(super) fn evaluate(&mut self) {
        for (name, tree) in &self.derived {
            let value = tree.eval_with_context(&self.context).expect("a value");
            self.context.set_value(name.clone(), value).expect("a number");
        }
    }

    pub(super) fn values(&self) -> Vec<f64> {
        let value = |index| match evalexpr::Context::get_value(&self.context, &slot(index)) {
            Some(Value::Float(number)) => *number,
            other => panic!("{other:?}"),
        };
        (0..self.slots).map(value).collect()
    }
}

struct ForFasteval;

impl Dialect for ForFasteval {
    fn amount(&self, amount: f64, _: &str) -> String {
        format!("{amount:?}")
    }
    fn name(&self, _: usize, index: usize) -> String {
        slot(index)
    }
    fn squared(&self, of: &str) -> String {
        // Its power is slower.
        format!("({of} * {of})")
    }
    fn root(&self, of: &str) -> String {
        format!("({of}) ^ 0.5")
    }
    fn sine(&self, of: &str) -> String {
        format!("sin({of} * {DEGREE:?})")
    }
    fn larger(&self, a: &str, b: &str) -> String {
        format!("max({a}, {b})")
    }
    fn choice(&self, a: &str, b: &str, yes: &str, no: &str) -> String {
        // It has no `if`; neither of ours is 0.
        format!("({a} > {b} && ({yes}) || ({no}))")
    }
}

/// Compiled code over slots. A name is the number of its slot: no table of names is asked while it runs,
/// which is the fastest that it has without unsafe code.
pub(super) struct Fasteval {
    slab: Slab,
    derived: Vec<(usize, Instruction)>,
    values: Values,
}

struct Values(Vec<f64>);

impl EvalNamespace for Values {
    fn lookup(&mut self, name: &str, _: Vec<f64>, _: &mut String) -> Option<f64> {
        let digits = name.as_bytes()[1..].iter();
        let index = digits.fold(0, |index, digit| index * 10 + usize::from(digit - b'0'));
        self.0.get(index).copied()
    }
}

impl Fasteval {
    pub(super) fn new(slots: &[Slot]) -> Self {
        let (mut slab, parser) = (Slab::new(), Parser::new());
        let mut values = Values(vec![0.0; slots.len()]);
        let mut derived = Vec::new();
        for (index, own) in slots.iter().enumerate() {
            let text = own.value.written(&ForFasteval);
            let parsed = parser.parse(&text, &mut slab.ps).expect("a formula");
            let code = parsed.from(&slab.ps).compile(&slab.ps, &mut slab.cs);
            if own.is_chosen {
                values.0[index] = code.eval(&slab, &mut values).expect("a number");
            } else {
                derived.push((index, code));
            }
        }
        Self { slab, derived, values }
    }

    pub(super) fn evaluate(&mut self) {
        for (index, code) in &self.derived {
            let value = code.eval(&self.slab, &mut self.values).expect("a value");
            self.values.0[*index] = value;
        }
    }

    pub(super) fn values(&self) -> Vec<f64> {
        self.values.0.clone()
    }
}

/// Python's floats, with `sin` and `sqrt` of its `math`.
pub(super) struct Python;

impl Dialect for Python {
    fn amount(&self, amount: f64, _: &str) -> String {
        format!("{amount:?}")
    }
    fn name(&self, _: usize, index: usize) -> String {
        slot(index)
    }
    fn squared(&self, of: &str) -> String {
        format!("{of} * {of}")
    }
    fn root(&self, of: &str) -> String {
        format!("sqrt({of})")
    }
    fn sine(&self, of: &str) -> String {
        format!("sin({of} * {DEGREE:?})")
    }
    fn larger(&self, a: &str, b: &str) -> String {
        format!("({a} if {a} > {b} else {b})")
    }
    fn choice(&self, a: &str, b: &str, yes: &str, no: &str) -> String {
        format!("({yes} if {a} > {b} else {no})")
    }
}

/// Quantities of pint: amounts are made once, before anything is timed.
pub(super) struct Pint;

impl Dialect for Pint {
    fn amount(&self, amount: f64, unit: &str) -> String {
        if unit.is_empty() { format!("{amount:?}") } else { format!("<{amount:?} {unit}>") }
    }
    fn name(&self, _: usize, index: usize) -> String {
        slot(index)
    }
    fn squared(&self, of: &str) -> String {
        format!("{of} * {of}")
    }
    fn root(&self, of: &str) -> String {
        format!("({of}) ** 0.5")
    }
    fn sine(&self, of: &str) -> String {
        format!("sin({of}.m_as('rad'))")
    }
    fn larger(&self, a: &str, b: &str) -> String {
        format!("max({a}, {b})")
    }
    fn choice(&self, a: &str, b: &str, yes: &str, no: &str) -> String {
        format!("({yes} if {a} > {b} else {no})")
    }
}
