//! The functions that random formulas call: how each is written in three languages, and what it
//! is by the standard library's mathematics. Not a number means that it has no value.

use std::f64::consts::PI;

/// A function as three languages write it.
#[derive(Debug)]
pub(crate) struct Function {
    /// As it is told apart here.
    pub(crate) name: &'static str,
    /// What stands before the arguments and behind them in a formula.
    pub(crate) ours: (&'static str, &'static str),
    /// Its name in evalexpr, empty if it has none of the same meaning.
    pub(crate) evalexpr: &'static str,
    /// Its name in the Python program.
    pub(crate) python: &'static str,
    /// Its value.
    pub(crate) value: fn(&[f64]) -> f64,
}

const fn function(
    name: &'static str,
    ours: (&'static str, &'static str),
    evalexpr: &'static str,
    python: &'static str,
    value: fn(&[f64]) -> f64,
) -> Function {
    Function { name, ours, evalexpr, python, value }
}

pub(crate) static FUNCTIONS: [Function; 35] = [
    function("abs", ("abs(", ")"), "math::abs", "abs", |x| x[0].abs()),
    function("min", ("min(", ")"), "min", "min", |x| {
        x.iter().copied().fold(f64::INFINITY, f64::min)
    }),
    function("max", ("max(", ")"), "max", "max", |x| {
        x.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    }),
    function("round", ("round(", ")"), "round", "round", |x| x[0].round()),
    function("floor", ("floor(", ")"), "floor", "floor", |x| x[0].floor()),
    function("ceil", ("ceil(", ")"), "ceil", "ceil", |x| x[0].ceil()),
    function("sqrt", ("sqrt(", ")"), "math::sqrt", "math.sqrt", |x| x[0].sqrt()),
    function("cbrt", ("cbrt(", ")"), "math::cbrt", "cbrt", |x| x[0].cbrt()),
    function("exp", ("exp(", ")"), "math::exp", "math.exp", |x| x[0].exp()),
    function("ln", ("ln(", ")"), "math::ln", "math.log", |x| x[0].ln()),
    function("log10", ("log10(", ")"), "math::log10", "math.log10", |x| x[0].log10()),
    function("hypot", ("hypot(", ")"), "math::hypot", "math.hypot", |x| x[0].hypot(x[1])),
    // Evalexpr's angles are radians and plain numbers, ours are angles.
    function("sin of rad", ("sin((", ") * 1 rad)"), "math::sin", "math.sin", |x| x[0].sin()),
    function("cos of rad", ("cos((", ") * 1 rad)"), "math::cos", "math.cos", |x| x[0].cos()),
    function("tan of rad", ("tan((", ") * 1 rad)"), "math::tan", "math.tan", |x| x[0].tan()),
    function("asin in rad", ("(asin(", ") / 1 rad)"), "math::asin", "math.asin", |x| x[0].asin()),
    function("acos in rad", ("(acos(", ") / 1 rad)"), "math::acos", "math.acos", |x| x[0].acos()),
    function("atan in rad", ("(atan(", ") / 1 rad)"), "math::atan", "math.atan", |x| x[0].atan()),
    function("sin", ("sin(", ")"), "", "sin", |x| x[0].to_radians().sin()),
    function("cos", ("cos(", ")"), "", "cos", |x| x[0].to_radians().cos()),
    function("tan", ("tan(", ")"), "", "tan", |x| x[0].to_radians().tan()),
    function("asin", ("asin(", ")"), "", "asin", |x| x[0].asin().to_degrees()),
    function("acos", ("acos(", ")"), "", "acos", |x| x[0].acos().to_degrees()),
    function("atan", ("atan(", ")"), "", "atan", |x| x[0].atan().to_degrees()),
    function("atan2", ("atan2(", ")"), "", "atan2", |x| {
        if x == [0.0, 0.0] { f64::NAN } else { x[0].atan2(x[1]).to_degrees() }
    }),
    function("hypot of three", ("hypot(", ")"), "", "math.hypot", |x| x[0].hypot(x[1]).hypot(x[2])),
    function("sign", ("sign(", ")"), "", "sign", |x| if x[0] == 0.0 { 0.0 } else { x[0].signum() }),
    function("clamp", ("clamp(", ")"), "", "clamp", |x| {
        if x[1] > x[2] { f64::NAN } else { x[0].clamp(x[1], x[2]) }
    }),
    function("sum", ("sum(", ")"), "", "sum", |x| x.iter().sum()),
    function("mean", ("mean(", ")"), "", "mean", |x| x.iter().sum::<f64>() / x.len() as f64),
    function("round to a step", ("round(", ")"), "", "round", |x| stepped(x, f64::round)),
    function("floor to a step", ("floor(", ")"), "", "floor", |x| stepped(x, f64::floor)),
    function("ceil to a step", ("ceil(", ")"), "", "ceil", |x| stepped(x, f64::ceil)),
    function("arc_length", ("arc_length(", ")"), "", "arc_length", |x| x[0] * x[1] * PI / 180.0),
    function("if", ("if(", ")"), "if", "if", |x| if x[0] == 0.0 { x[2] } else { x[1] }),
];

impl Function {
    /// Whether its values come again with every turn.
    pub(crate) fn turns(&self) -> bool {
        ["sin", "cos", "tan"].contains(&self.name) || self.name.ends_with(" of rad")
    }
}

fn stepped(x: &[f64], whole: fn(f64) -> f64) -> f64 {
    if x[1] > 0.0 { whole(x[0] / x[1]) * x[1] } else { f64::NAN }
}

/// The function that is told apart by this name.
pub(crate) fn function_called(name: &str) -> &'static Function {
    FUNCTIONS.iter().find(|function| function.name == name).expect("a function of the table")
}
