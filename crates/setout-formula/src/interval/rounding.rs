//! Sums, products, quotients and roots of floats, and on which side of them the exact result lies.
//!
//! Floats are rounded to the nearest. The error of each operation is worked out (Knuth for sums,
//! Dekker for products), so that an end is moved by one float where it is inexact, and not at all
//! where it is exact. Where the error itself could be lost to overflow or underflow it counts as
//! unknown, and the end is moved in either case.

/// A rounded result and the exact one less it, of which only the sign counts; not a number where
/// that is unknown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rounded {
    pub(super) value: f64,
    pub(super) error: f64,
}

/// Between these sizes no product of two halves is lost.
const LARGE: f64 = 1e280;
const SMALL: f64 = 1e-270;

impl Rounded {
    fn exact(value: f64) -> Self {
        Self { value, error: 0.0 }
    }

    /// A float that the exact result does not lie below.
    pub(super) fn down(self) -> f64 {
        // An error that is not known may be either way.
        let is_below = self.error.is_nan() || self.error < 0.0;
        if is_below { self.value.next_down() } else { self.value }
    }

    /// A float that the exact result does not lie above.
    pub(super) fn up(self) -> f64 {
        let is_above = self.error.is_nan() || self.error > 0.0;
        if is_above { self.value.next_up() } else { self.value }
    }
}

/// What is infinite because an operand was is exact; what is infinite because it was too large is
/// not, and lies beyond the largest float.
fn overflowed(value: f64, operands: [f64; 2]) -> Option<Rounded> {
    if value.is_finite() {
        return None;
    }
    let was_infinite = operands.iter().any(|operand| operand.is_infinite());
    Some(match was_infinite {
        true => Rounded::exact(value),
        false => Rounded { value, error: 0.0 - value.signum() },
    })
}

pub(super) fn sum(a: f64, b: f64) -> Rounded {
    let value = a + b;
    overflowed(value, [a, b]).unwrap_or_else(|| {
        let b_part = value - a;
        Rounded { value, error: (a - (value - b_part)) + (b - b_part) }
    })
}

/// No member is infinite, so 0 times an infinite end is 0.
pub(super) fn product(a: f64, b: f64) -> Rounded {
    if a == 0.0 || b == 0.0 {
        return Rounded::exact(0.0);
    }
    let value = a * b;
    overflowed(value, [a, b]).unwrap_or(Rounded { value, error: product_error(a, b, value) })
}

/// The exact product less the rounded one.
fn product_error(a: f64, b: f64, value: f64) -> f64 {
    let sizes = [a.abs(), b.abs(), value.abs()];
    if sizes.iter().any(|size| *size > LARGE) || value.abs() < SMALL {
        return f64::NAN;
    }
    let split = |x: f64| {
        let big = x * 134_217_729.0; // 2^27 + 1
        let high = big - (big - x);
        (high, x - high)
    };
    let ((a1, a2), (b1, b2)) = (split(a), split(b));
    a2 * b2 - (((value - a1 * b1) - a2 * b1) - a1 * b2)
}

/// The divisor is not 0.
pub(super) fn quotient(a: f64, b: f64) -> Rounded {
    if a == 0.0 || b.is_infinite() {
        // A finite number over ever larger ones comes to 0, and never quite.
        return Rounded::exact(0.0);
    }
    let value = a / b;
    overflowed(value, [a, b]).unwrap_or_else(|| {
        let rest = (a - value * b) - product_error(value, b, value * b);
        let lost = a.abs() < SMALL || a.abs() > LARGE || value.abs() < SMALL;
        Rounded { value, error: if lost { f64::NAN } else { rest * b.signum() } }
    })
}

/// Of a number that is not negative.
pub(super) fn root(x: f64) -> Rounded {
    let value = x.sqrt();
    if x == 0.0 || x.is_infinite() {
        return Rounded::exact(value);
    }
    let square = value * value;
    Rounded { value, error: (x - square) - product_error(value, value, square) }
}
