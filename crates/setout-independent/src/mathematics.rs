//! The functions of the second engine, on the standard library's mathematics. Angles are radians.

/// Functions of numbers that evalexpr is to call.
const CALLED: [&str; 21] = [
    "abs",
    "sign",
    "clamp",
    "round",
    "ceil",
    "floor",
    "sqrt",
    "cbrt",
    "hypot",
    "exp",
    "ln",
    "log10",
    "sin",
    "cos",
    "tan",
    "asin",
    "acos",
    "atan",
    "atan2",
    "arc_length",
    "if",
];

pub(crate) fn is_known(name: &str) -> bool {
    CALLED.contains(&name)
}

/// What a call comes to, `None` if there is no such call. Not a number where it has no value.
pub(crate) fn call(name: &str, arguments: &[f64]) -> Option<f64> {
    Some(match (name, arguments) {
        ("abs", [x]) => x.abs(),
        ("sign", [x]) if *x == 0.0 => 0.0,
        ("sign", [x]) => x.signum(),
        ("clamp", [x, low, high]) if low <= high => x.max(*low).min(*high),
        ("clamp", [_, _, _]) => f64::NAN,
        ("round", [x]) => nearest(*x),
        ("ceil", [x]) => settled(*x).ceil(),
        ("floor", [x]) => settled(*x).floor(),
        ("round", [x, step]) => nearest(x / step) * step,
        ("ceil", [x, step]) => settled(x / step).ceil() * step,
        ("floor", [x, step]) => settled(x / step).floor() * step,
        ("sqrt", [x]) => x.sqrt(),
        ("cbrt", [x]) => x.cbrt(),
        ("hypot", [a, b]) => a.hypot(*b),
        ("hypot", [a, b, c]) => a.hypot(*b).hypot(*c),
        ("exp", [x]) => x.exp(),
        ("ln", [x]) => x.ln(),
        ("log10", [x]) => x.log10(),
        ("sin", [a]) => a.sin(),
        ("cos", [a]) => a.cos(),
        // Where the cosine is 0 but for what the angle was rounded by, there is none.
        ("tan", [a]) if a.cos().abs() <= f64::EPSILON / 2.0 * a.abs() => f64::NAN,
        ("tan", [a]) => a.tan(),
        ("asin", [x]) => x.asin(),
        ("acos", [x]) => x.acos(),
        ("atan", [x]) => x.atan(),
        // The angle of no direction.
        ("atan2", [y, x]) if *y == 0.0 && *x == 0.0 => f64::NAN,
        // A negative zero would turn the angle of -1 round to -180 degrees.
        ("atan2", [y, x]) => (y + 0.0).atan2(x + 0.0),
        ("arc_length", [radius, angle]) => radius * angle,
        _ => return None,
    })
}

/// A fold over numbers: `sum`, `mean`, `min`, `max`. Not a number where one of them is none: the
/// least and the greatest would pass over it.
pub(crate) fn fold(name: &str, numbers: &[f64]) -> Option<f64> {
    if numbers.iter().any(|number| !number.is_finite()) {
        return Some(f64::NAN);
    }
    let sum = || numbers.iter().sum::<f64>();
    Some(match name {
        "sum" => sum() + 0.0,
        "mean" => sum() / numbers.len() as f64,
        "min" => numbers.iter().copied().reduce(f64::min).unwrap_or(f64::NAN),
        "max" => numbers.iter().copied().reduce(f64::max).unwrap_or(f64::NAN),
        _ => return None,
    })
}

/// To a whole number, halves away from zero; what is a half but for its last digits is one.
fn nearest(x: f64) -> f64 {
    (settled(x * 2.0) / 2.0).round()
}

/// A number that is whole but for its last digits is whole: 62 mm over 1 mm is 62, although in
/// metres it comes to 62.00000000000001.
fn settled(x: f64) -> f64 {
    let whole = x.round();
    if (x - whole).abs() <= 1e-12 * whole.abs().max(1.0) { whole } else { x }
}
