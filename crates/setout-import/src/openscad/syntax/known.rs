//! Calls of functions that formulas have as well.

use super::Read;
use crate::openscad::tree::{Expr, Op};

/// Functions that formulas have as well, with the least and most of their arguments.
const KNOWN: [(&str, usize, usize); 19] = [
    ("abs", 1, 1),
    ("sign", 1, 1),
    ("min", 1, 100),
    ("max", 1, 100),
    ("round", 1, 1),
    ("ceil", 1, 1),
    ("floor", 1, 1),
    ("sqrt", 1, 1),
    ("exp", 1, 1),
    ("ln", 1, 1),
    ("log", 1, 1),
    ("sin", 1, 1),
    ("cos", 1, 1),
    ("tan", 1, 1),
    ("asin", 1, 1),
    ("acos", 1, 1),
    ("atan", 1, 1),
    ("atan2", 2, 2),
    ("pow", 2, 2),
];

/// A call, in the form that formulas have for it.
pub(super) fn call(name: &str, mut arguments: Vec<Expr>) -> Read {
    if matches!(name, "min" | "max" | "norm")
        && let [Expr::Vector(parts)] = arguments.as_mut_slice()
    {
        arguments = std::mem::take(parts);
        if name == "norm" && matches!(arguments.len(), 2 | 3) {
            return Ok(Expr::Call("norm".into(), arguments));
        }
    }
    let Some((_, least, most)) = KNOWN.iter().find(|(known, ..)| *known == name) else {
        return Err(format!("formulas have no `{name}()`"));
    };
    if !(*least..=*most).contains(&arguments.len()) {
        return Err(format!("`{name}()` has {} arguments here", arguments.len()));
    }
    if name == "pow" && arguments.len() == 2 {
        let exponent = arguments.remove(1);
        return Ok(Expr::Binary(Op::Power, arguments.remove(0).into(), exponent.into()));
    }
    Ok(Expr::Call(name.to_owned(), arguments))
}
