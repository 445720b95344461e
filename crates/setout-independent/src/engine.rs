//! evalexpr, and nothing else of it gets out of here.
//!
//! It sees operators, brackets, calls and names like `v7`. All numbers and texts are values behind
//! such names, so no text of a design reaches its reader, and every number is a float.

use evalexpr::{Context, EvalexprError, EvalexprResult, Value};

use crate::mathematics;
use crate::refusal::Refusal;

/// A value of the second engine, in its base units.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Worth {
    Number(f64),
    Text(String),
    Truth(bool),
}

/// The values of one formula.
#[derive(Debug, Default)]
pub(crate) struct Engine {
    values: Vec<Value>,
}

impl Engine {
    /// Keeps a value, and gives the name by which expressions use it.
    pub(crate) fn keep(&mut self, worth: Worth) -> String {
        self.values.push(match worth {
            Worth::Number(number) => Value::Float(number),
            Worth::Text(text) => Value::String(text),
            Worth::Truth(truth) => Value::Boolean(truth),
        });
        format!("v{}", self.values.len() - 1)
    }

    /// The value of an expression.
    pub(crate) fn evaluate(&self, expression: &str) -> Result<Worth, Refusal> {
        match evalexpr::eval_with_context(expression, self) {
            Ok(Value::Float(number)) => Ok(Worth::Number(number)),
            Ok(Value::String(text)) => Ok(Worth::Text(text)),
            Ok(Value::Boolean(truth)) => Ok(Worth::Truth(truth)),
            _ => Err(Refusal::Unreadable),
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
        let numbers: Option<Vec<f64>> = arguments.iter().map(|a| a.as_float().ok()).collect();
        numbers
            .and_then(|numbers| mathematics::call(identifier, &numbers))
            .map(Value::Float)
            .ok_or_else(|| EvalexprError::FunctionIdentifierNotFound(identifier.to_owned()))
    }

    fn are_builtin_functions_disabled(&self) -> bool {
        true
    }

    fn set_builtin_functions_disabled(&mut self, _: bool) -> EvalexprResult<()> {
        Err(EvalexprError::ContextNotMutable)
    }
}
