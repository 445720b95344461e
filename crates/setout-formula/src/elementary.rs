//! Elementary functions, the same bits on every machine: pure Rust, without fused multiply-add.
//!
//! Angles are degrees. They are brought into ±45 degrees exactly, before π is touched at all, so
//! sines and cosines are exact at the quadrants and lose nothing for large angles.

/// π/180 in two parts whose sum is good to 107 bits.
const RADIANS: (f64, f64) = (0.017_453_292_519_943_295, 2.948_652_270_870_168_7e-19);
/// 180/π in two parts.
const DEGREES: (f64, f64) = (57.295_779_513_082_32, -1.987_849_567_057_628_3e-15);

/// The exact product of two floats as a rounded product and its error (Dekker's splitting).
fn product(a: f64, b: f64) -> (f64, f64) {
    let split = |x: f64| {
        let big = x * 134_217_729.0; // 2^27 + 1
        let high = big - (big - x);
        (high, x - high)
    };
    let rounded = a * b;
    let ((a1, a2), (b1, b2)) = (split(a), split(b));
    (rounded, a2 * b2 - (((rounded - a1 * b1) - a2 * b1) - a1 * b2))
}

fn scaled(a: f64, factor: (f64, f64)) -> (f64, f64) {
    let (high, low) = product(a, factor.0);
    (high, low + a * factor.1)
}

/// The quadrant of an angle that is not negative and what is left of it, from -45 to 45 degrees.
/// All steps are exact: the remainder is, and so is the difference of two numbers so close.
fn reduced(degrees: f64) -> (u8, f64) {
    let turn = degrees % 360.0;
    let quadrant = libm::round(turn / 90.0);
    ((quadrant as u8) % 4, turn - 90.0 * quadrant)
}

fn small_sine(degrees: f64) -> f64 {
    let (high, low) = scaled(degrees, RADIANS);
    libm::sin(high) + low * libm::cos(high)
}

fn small_cosine(degrees: f64) -> f64 {
    let (high, low) = scaled(degrees, RADIANS);
    libm::cos(high) - low * libm::sin(high)
}

/// The sine of an angle in degrees.
pub(crate) fn sin(degrees: f64) -> f64 {
    let (quadrant, rest) = reduced(degrees.abs());
    let upper = match quadrant {
        0 => small_sine(rest),
        1 => small_cosine(rest),
        2 => 0.0 - small_sine(rest),
        _ => 0.0 - small_cosine(rest),
    };
    if degrees < 0.0 { 0.0 - upper } else { upper }
}

/// The cosine of an angle in degrees.
pub(crate) fn cos(degrees: f64) -> f64 {
    let (quadrant, rest) = reduced(degrees.abs());
    match quadrant {
        0 => small_cosine(rest),
        1 => 0.0 - small_sine(rest),
        2 => 0.0 - small_cosine(rest),
        _ => small_sine(rest),
    }
}

fn plain_tangent(degrees: f64) -> f64 {
    let (high, low) = scaled(degrees, RADIANS);
    let tangent = libm::tan(high);
    tangent + low * (1.0 + tangent * tangent)
}

/// The cotangent of no more than a degree: 1/x - x/3 - x³/45 - 2x⁵/945 (Abramowitz and Stegun
/// 4.3.70), to which the error of the rounded 1/x is added back.
fn small_cotangent(degrees: f64) -> f64 {
    let (high, low) = scaled(degrees, RADIANS);
    let inverse = 1.0 / high;
    let (one, error) = product(inverse, high);
    let square = high * high;
    let series = high * (1.0 / 3.0 + square * (1.0 / 45.0 + square * (2.0 / 945.0)));
    inverse + (inverse * ((1.0 - one) - error - low * inverse) - series)
}

/// The tangent of an angle in degrees; infinite at the poles.
pub(crate) fn tan(degrees: f64) -> f64 {
    let (quadrant, rest) = reduced(degrees.abs());
    // One over a tangent would be rounded once too often. The sums with 90 are exact: no bit of
    // `rest` lies below the last one of an angle of 45 or more.
    let upper = match quadrant % 2 {
        0 => plain_tangent(rest),
        _ if rest == 0.0 => f64::INFINITY,
        _ if rest.abs() < 1.0 => 0.0 - small_cotangent(rest),
        _ => plain_tangent(rest - 90.0_f64.copysign(rest)),
    };
    if degrees < 0.0 { 0.0 - upper } else { upper }
}

/// Radians to degrees.
pub(crate) fn degrees(radians: f64) -> f64 {
    let (high, low) = scaled(radians, DEGREES);
    high + low
}

/// Radians to degrees. A whole number of half degrees is preferred where it gives `x` back: what
/// `sin(30 deg)` took apart, `asin` then puts together.
fn in_degrees(radians: f64, x: f64, back: impl Fn(f64) -> f64) -> f64 {
    let degrees = degrees(radians);
    let neat = libm::round(degrees * 2.0) / 2.0;
    if (degrees - neat).abs() < 1e-12 && back(neat) == x { neat } else { degrees }
}

/// The angle whose sine is x, in degrees.
pub(crate) fn asin(x: f64) -> f64 {
    in_degrees(libm::asin(x), x, sin)
}

/// The angle whose cosine is x, in degrees.
pub(crate) fn acos(x: f64) -> f64 {
    in_degrees(libm::acos(x), x, cos)
}

/// The angle whose tangent is x, in degrees.
pub(crate) fn atan(x: f64) -> f64 {
    in_degrees(libm::atan(x), x, tan)
}

/// Below this a tangent loses digits when its angle is taken.
const TINY: f64 = 1e-290;
/// 2^200.
const LIFT: f64 = 1.606_938_044_258_990_3e60;

/// The angle of the point (x, y), in degrees, above -180 and up to 180.
pub(crate) fn atan2(y: f64, x: f64) -> f64 {
    let size = y.abs().max(x.abs());
    let diagonal = y.abs() == x.abs();
    let from_axis = match () {
        () if y == 0.0 => 0.0,
        () if x == 0.0 => 90.0,
        () if diagonal => 45.0,
        () => {
            let ratio = y.abs() / size;
            // So slight an angle is its tangent, which is kept out of the range where floats get
            // sparse until the last step.
            if ratio < TINY {
                degrees(y.abs() * LIFT / size) / LIFT
            } else {
                degrees(libm::atan2(ratio, x.abs() / size))
            }
        }
    };
    let upper = if x < 0.0 { 180.0 - from_axis } else { from_axis };
    if y < 0.0 { -upper } else { upper }
}

/// A power with a real exponent; not a number where none exists.
pub(crate) fn pow(base: f64, exponent: f64) -> f64 {
    match exponent {
        1.0 => base,
        2.0 => base * base,
        -1.0 => 1.0 / base,
        _ => libm::pow(base, exponent),
    }
}

/// `x` in whole steps, rounded by `whole`. A step that is one over a whole number (0.1, 0.25) is
/// divided by that number, so that 0.35 lies half-way between two steps of 0.1 and not just below.
/// What lies on a step already stays there: 1.1 in steps of 0.01 comes to 110.00000000000001 of
/// them, and must not be taken up to 1.11.
pub(crate) fn stepped(x: f64, step: f64, whole: impl Fn(f64) -> f64) -> f64 {
    let parts = libm::round(1.0 / step);
    let divides = parts >= 1.0 && 1.0 / parts == step;
    let steps = if divides { x * parts } else { x / step };
    let at = |steps: f64| if divides { steps / parts } else { steps * step };
    if steps.abs() >= ALL_WHOLE || at(libm::round(steps)) == x { x } else { at(whole(steps)) }
}

/// From 2^53 on all floats are whole: among so many steps none can be told from the next.
const ALL_WHOLE: f64 = 9_007_199_254_740_992.0;

/// To the nearest whole number, halves away from zero.
pub(crate) fn round(x: f64) -> f64 {
    libm::round(x)
}
