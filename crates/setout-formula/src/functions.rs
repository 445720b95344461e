//! The functions of the formula language: a row each, with what it takes and gives.
//!
//! A new function is a row here and, if none of the operations fits, an operation in `code.rs`
//! with its mathematics in `elementary.rs`.

use setout_quantity::nearest;

use crate::code::{Fold, One, Two};
use crate::given::{Find, Gives, Parameter};
use crate::linkages::LINKAGES;

/// A function: its name, how many arguments it takes, what kinds, and what it does.
#[derive(Debug)]
pub struct Function {
    /// As it is called.
    pub name: &'static str,
    /// The arguments, for documents and faults: `x, step`.
    pub arguments: &'static str,
    /// What it gives, in a few words.
    pub gives: &'static str,
    /// A call that stands as an example in the documents; a test evaluates it.
    pub example: &'static str,
    /// What the example gives.
    pub result: &'static str,
    /// The fewest arguments.
    pub(crate) fewest: u32,
    /// The most arguments.
    pub(crate) most: u32,
    pub(crate) rule: Rule,
    pub(crate) does: Does,
    /// What a function that is given by a table or a mechanism calls.
    pub(crate) find: Option<Find>,
    /// Between which numbers that one's value stays the same, if it is a table of ranges.
    pub(crate) ends: Option<fn() -> Vec<f64>>,
}

/// Names are unique, and a function has nothing to it that its name does not say.
impl PartialEq for Function {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

/// How the kind of a call follows from the kinds of its arguments.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Rule {
    /// All arguments of one kind, which is the result's.
    Same,
    /// All arguments of one kind, and the result is a plain number.
    SameToNumber,
    /// A number in, a number out.
    Numbers,
    /// An angle in, a number out.
    AngleToNumber,
    /// A number in, an angle out.
    NumberToAngle,
    /// Two of one kind in, an angle out.
    SameToAngle,
    /// The kind's root.
    Root(i64),
    /// A length and an angle in, a length out.
    ArcLength,
    /// One number, or a quantity and a step of its kind.
    Rounding,
    /// One kind, columns taken apart cell by cell; readings allowed or not.
    Fold { readings: bool },
    /// The cells of a column, or those of its conditions that hold.
    Count,
    /// Fixed parameters.
    Given { parameters: &'static [Parameter], gives: Gives },
}

/// What a call comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Does {
    One(One),
    Two(Two),
    Fold(Fold),
    /// `round`, `floor`, `ceil`: with a step or without.
    Step(One, Two),
    Clamp,
    Hypotenuse,
    Count,
    Given,
}

const MANY: u32 = 4096;

macro_rules! function {
    ($name:literal ($args:literal) $count:expr, $rule:expr, $does:expr, $gives:literal, $example:literal = $result:literal) => {
        Function {
            name: $name,
            arguments: $args,
            gives: $gives,
            example: $example,
            result: $result,
            fewest: $count.0,
            most: $count.1,
            rule: $rule,
            does: $does,
            find: None,
            ends: None,
        }
    };
}

/// All functions, in the order of the documents. `if` is syntax and not among them.
pub static FUNCTIONS: &[Function] = &[
    function!(
        "abs"("x")(1, 1),
        Rule::Same,
        Does::One(One::Abs),
        "the size of x, without its sign",
        "abs(-3 mm)" = "3 mm"
    ),
    function!(
        "sign"("x")(1, 1),
        Rule::SameToNumber,
        Does::One(One::Sign),
        "1, 0 or -1",
        "sign(-3 mm)" = "-1"
    ),
    function!(
        "min"("a, b, …")(1, MANY),
        Rule::Fold { readings: true },
        Does::Fold(Fold::Min),
        "the smallest of the arguments, or of a column's cells",
        "min(3 mm, 2 mm)" = "2 mm"
    ),
    function!(
        "max"("a, b, …")(1, MANY),
        Rule::Fold { readings: true },
        Does::Fold(Fold::Max),
        "the largest of the arguments, or of a column's cells",
        "max(3 mm, 2 mm)" = "3 mm"
    ),
    function!(
        "clamp"("x, low, high")(3, 3),
        Rule::Same,
        Does::Clamp,
        "x, but no less than low and no more than high",
        "clamp(9 mm, 0 mm, 5 mm)" = "5 mm"
    ),
    function!(
        "round"("x, step")(1, 2),
        Rule::Rounding,
        Does::Step(One::Round, Two::Round),
        "x to the nearest step, halves away from zero; a plain number needs no step",
        "round(7.3 mm, 0.5 mm)" = "7.5 mm"
    ),
    function!(
        "ceil"("x, step")(1, 2),
        Rule::Rounding,
        Does::Step(One::Ceil, Two::Ceil),
        "x up to the next step",
        "ceil(7.1 mm, 0.5 mm)" = "7.5 mm"
    ),
    function!(
        "floor"("x, step")(1, 2),
        Rule::Rounding,
        Does::Step(One::Floor, Two::Floor),
        "x down to the last step",
        "floor(7.9 mm, 0.5 mm)" = "7.5 mm"
    ),
    function!(
        "sqrt"("x")(1, 1),
        Rule::Root(2),
        Does::One(One::Sqrt),
        "the square root, of the root's kind; x is not negative",
        "sqrt(16 mm^2)" = "4 mm"
    ),
    function!(
        "cbrt"("x")(1, 1),
        Rule::Root(3),
        Does::One(One::Cbrt),
        "the cube root, of the root's kind",
        "cbrt(27 mm^3)" = "3 mm"
    ),
    function!(
        "hypot"("a, b, …")(2, 3),
        Rule::Same,
        Does::Hypotenuse,
        "the length of the diagonal over two or three sides",
        "hypot(3 mm, 4 mm)" = "5 mm"
    ),
    function!(
        "exp"("x")(1, 1),
        Rule::Numbers,
        Does::One(One::Exp),
        "e to the power x",
        "exp(0)" = "1"
    ),
    function!(
        "ln"("x")(1, 1),
        Rule::Numbers,
        Does::One(One::Ln),
        "the natural logarithm; x is positive",
        "ln(1)" = "0"
    ),
    function!(
        "log10"("x")(1, 1),
        Rule::Numbers,
        Does::One(One::Log10),
        "the decimal logarithm; x is positive",
        "log10(1000)" = "3"
    ),
    function!(
        "sin"("a")(1, 1),
        Rule::AngleToNumber,
        Does::One(One::Sin),
        "the sine of an angle; exact at the quadrants",
        "sin(30 deg)" = "0.5"
    ),
    function!(
        "cos"("a")(1, 1),
        Rule::AngleToNumber,
        Does::One(One::Cos),
        "the cosine of an angle; exact at the quadrants",
        "cos(90 deg)" = "0"
    ),
    function!(
        "tan"("a")(1, 1),
        Rule::AngleToNumber,
        Does::One(One::Tan),
        "the tangent of an angle; none at 90 deg",
        "tan(45 deg)" = "1"
    ),
    function!(
        "asin"("x")(1, 1),
        Rule::NumberToAngle,
        Does::One(One::Asin),
        "the angle from -90 deg to 90 deg whose sine is x; x lies from -1 to 1",
        "asin(1)" = "90 deg"
    ),
    function!(
        "acos"("x")(1, 1),
        Rule::NumberToAngle,
        Does::One(One::Acos),
        "the angle from 0 deg to 180 deg whose cosine is x; x lies from -1 to 1",
        "acos(0)" = "90 deg"
    ),
    function!(
        "atan"("x")(1, 1),
        Rule::NumberToAngle,
        Does::One(One::Atan),
        "the angle from -90 deg to 90 deg whose tangent is x",
        "atan(1)" = "45 deg"
    ),
    function!(
        "atan2"("y, x")(2, 2),
        Rule::SameToAngle,
        Does::Two(Two::Atan2),
        "the angle from the x axis to the point (x, y), above -180 deg and up to 180 deg; not both 0",
        "atan2(1 mm, -1 mm)" = "135 deg"
    ),
    function!(
        "arc_length"("r, a")(2, 2),
        Rule::ArcLength,
        Does::Two(Two::ArcLength),
        "the length of the arc of radius r over the angle a",
        "arc_length(10 mm, 180 deg)" = "31.41592653589793 mm"
    ),
    function!(
        "sum"("column, …")(1, MANY),
        Rule::Fold { readings: false },
        Does::Fold(Fold::Sum),
        "the sum of a column's cells; 0 of none",
        "sum(1 mm, 2 mm)" = "3 mm"
    ),
    function!(
        "mean"("column, …")(1, MANY),
        Rule::Fold { readings: true },
        Does::Fold(Fold::Mean),
        "the arithmetic mean of a column's cells",
        "mean(1 mm, 2 mm)" = "1.5 mm"
    ),
    function!(
        "count"("column")(1, 1),
        Rule::Count,
        Does::Count,
        "how many rows a column has, or in how many of them a condition holds",
        "" = ""
    ),
];

/// The function of a name: one of the language's own, of the linkages, or of `more`.
pub(crate) fn function_named(name: &str, more: &'static [Function]) -> Option<&'static Function> {
    all(more).find(|function| function.name == name)
}

fn all(more: &'static [Function]) -> impl Iterator<Item = &'static Function> {
    FUNCTIONS.iter().chain(LINKAGES).chain(more)
}

/// What other languages call some of the functions.
const OTHER_NAMES: [(&str, &str); 29] = [
    ("log", "ln(x)` or `log10(x)"),
    ("power", "x ^ y"),
    ("square", "x ^ 2"),
    ("root", "sqrt"),
    ("sine", "sin"),
    ("cosine", "cos"),
    ("tangent", "tan"),
    ("arcsin", "asin"),
    ("arccos", "acos"),
    ("arctan", "atan"),
    ("maximum", "max"),
    ("minimum", "min"),
    ("total", "sum"),
    ("len", "count"),
    ("int", "floor"),
    ("trunc", "floor"),
    ("iif", "if"),
    ("pow", "x ^ y"),
    ("avg", "mean"),
    ("average", "mean"),
    ("ceiling", "ceil"),
    ("sgn", "sign"),
    ("mod", "x - floor(x / y) * y"),
    ("radians", "a / 1 rad"),
    ("degrees", "x * 1 rad"),
    ("norm", "hypot"),
    ("not", "!a"),
    ("and", "a && b"),
    ("or", "a || b"),
];

/// What to write instead of an unknown function.
pub(crate) fn help_for(name: &str, more: &'static [Function]) -> String {
    if let Some((_, instead)) = OTHER_NAMES.iter().find(|(other, _)| *other == name) {
        return format!("write `{instead}`");
    }
    let last = name.rsplit('.').next().unwrap_or(name);
    match nearest(last, all(more).map(|function| function.name).chain(["if"])) {
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            let names: Vec<_> = FUNCTIONS.iter().map(|function| function.name).collect();
            format!(
                "to multiply, write `{name} * (…)`; the functions are if, {}, and those for \
                 linkages and hardware",
                names.join(", ")
            )
        }
    }
}
