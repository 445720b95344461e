//! evalexpr, and nothing else of it gets out of here.
//!
//! It sees operators, brackets, calls and names like `v7`. All numbers and texts are values behind
//! such names, so no text of a design reaches its reader, and every number is a float.

use evalexpr::{Context, EvalexprError, EvalexprResult, Value};

use crate::functions;
use crate::refusal::Refusal;

/// A value of the second engine, in its base units.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Worth {
    Number(f64),
    Text(String),
    Truth(bool),
}

impl Worth {
    /// What has no value: a root of what is negative, a linkage that does not close, a size that no
    /// table holds.
    pub(crate) const NONE: Self = Self::Number(f64::NAN);

    pub(crate) fn number(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            _ => None,
        }
    }

    /// Whether it has a value.
    pub(crate) fn is_some(&self) -> bool {
        self.number().is_none_or(f64::is_finite)
    }

    fn given(value: &Value) -> Option<Self> {
        match value {
            Value::Float(number) => Some(Self::Number(*number)),
            Value::String(text) => Some(Self::Text(text.clone())),
            Value::Boolean(truth) => Some(Self::Truth(*truth)),
            _ => None,
        }
    }

    fn taken(self) -> Value {
        match self {
            Self::Number(number) => Value::Float(number),
            Self::Text(text) => Value::String(text),
            Self::Truth(truth) => Value::Boolean(truth),
        }
    }
}

/// The values of one formula.
#[derive(Debug, Default)]
pub(crate) struct Engine {
    values: Vec<Value>,
}

impl Engine {
    /// Keeps a value, and gives the name by which expressions use it.
    pub(crate) fn keep(&mut self, worth: Worth) -> String {
        self.values.push(worth.taken());
        format!("v{}", self.values.len() - 1)
    }

    /// The value of an expression.
    pub(crate) fn evaluate(&self, expression: &str) -> Result<Worth, Refusal> {
        match evalexpr::eval_with_context(expression, self) {
            Ok(value) => Worth::given(&value).ok_or(Refusal::Unreadable),
            Err(EvalexprError::CustomMessage(_)) => Ok(Worth::NONE),
            Err(_) => Err(Refusal::Unreadable),
        }
    }
}

impl Context for Engine {
    fn get_value(&self, identifier: &str) -> Option<&Value> {
        self.values.get(identifier.strip_prefix('v')?.parse::<usize>().ok()?)
    }

    fn call_function(&self, identifier: &str, argument: &Value) -> EvalexprResult<Value> {
        let arguments = match argument {
            Value::Tuple(arguments) => arguments.as_slice(),
            one => std::slice::from_ref(one),
        };
        let given: Option<Vec<Worth>> = arguments.iter().map(Worth::given).collect();
        match given.and_then(|given| functions::call(identifier, &given)) {
            // It ends the expression: the power of nothing to 0 would be 1.
            Some(worth) if !worth.is_some() => Err(EvalexprError::CustomMessage("none".into())),
            Some(worth) => Ok(worth.taken()),
            None => Err(EvalexprError::FunctionIdentifierNotFound(identifier.to_owned())),
        }
    }

    fn are_builtin_functions_disabled(&self) -> bool {
        true
    }

    fn set_builtin_functions_disabled(&mut self, _: bool) -> EvalexprResult<()> {
        Err(EvalexprError::ContextNotMutable)
    }
}
